import pytest

from tests.factories.aboard import aboard, signed_in

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("typed", "unit", "told"),
    [
        ("20 in", "m", "= 0.508 m"), ("1/2 pt", "l", "UK pt or US pt?"), ("250 ml", "l", "= 0.250 L"), ("", "l", ""),
        ("lots", "l", ""), ("5 V", "l", ""), ("<b>", "l", ""), ("70 F", "degC", "= 21.111 °C"),
    ],
)  # fmt: skip
def test_what_is_typed_is_told_in_the_unit_kept(typed: str, unit: str, told: str) -> None:
    answer = signed_in(aboard()).get("/quantity/", {"typed": typed, "unit": unit})

    assert (answer.status_code, answer.content.decode()) == (200, told)


def test_a_hostile_unit_is_escaped() -> None:
    answer = signed_in(aboard()).get("/quantity/", {"typed": "5", "unit": "<i>x</i>"})

    assert b"<i>" not in answer.content
