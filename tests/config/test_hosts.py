import pytest
from django.test import Client
from django.urls import reverse

from config.hosts import own_names


def test_this_computer_answers_to_its_names_and_its_address_on_board() -> None:
    names = own_names("192.168.1.20")

    assert {"localhost", "127.0.0.1", "[::1]", "192.168.1.20"} <= set(names)
    assert len(names) == len(set(names))
    assert "*" not in names


def test_without_a_network_it_answers_on_this_computer() -> None:
    assert None not in own_names(None)
    assert "localhost" in own_names(None)


@pytest.mark.parametrize(("host", "status"), [("localhost", 200), ("somewhere.example", 400)])
@pytest.mark.django_db
def test_a_foreign_name_that_points_here_is_refused(client: Client, host: str, status: int) -> None:
    assert client.get(reverse("account_login"), headers={"host": host}).status_code == status
