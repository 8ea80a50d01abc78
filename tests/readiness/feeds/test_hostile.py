"""Files made to do harm, each through the limited process: one sentence that names the place, whatever it wanted."""

from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from readiness.feeds.take import take_forecast, take_route
from tests.readiness.feeds.hostile import HOSTILE, Hostile
from vessel.errors import BadInput

REFUSED = [case for case in HOSTILE if case.says]
TAKEN = [case for case in HOSTILE if not case.says]


def take(case: Hostile) -> object:
    data = case.make()
    return take_route(data) if case.kind == "gpx" else take_forecast(data, source="stranger")


@pytest.mark.parametrize("case", REFUSED, ids=lambda case: f"{case.kind}: {case.name}")
def test_it_is_refused_in_one_sentence_that_names_the_place(case: Hostile) -> None:
    with pytest.raises(BadInput) as refusal:
        take(case)

    assert case.says.lower() in str(refusal.value).lower()
    assert "\n" not in str(refusal.value)
    assert str(refusal.value).endswith("Nothing was taken in.")


@pytest.mark.parametrize("case", TAKEN, ids=lambda case: f"{case.kind}: {case.name}")
def test_what_only_looks_hostile_is_taken(case: Hostile) -> None:
    assert take(case) is not None


def test_a_file_of_a_gigabyte_is_not_read_to_its_end(tmp_path: Path) -> None:
    place = tmp_path / "huge.csv"
    with place.open("wb") as file:
        file.write(b"time_utc,latitude,longitude,gust_kn\n")
        file.truncate(1 << 30)

    with pytest.raises(CommandError, match=r"huge\.csv is longer than 25 MB\."):
        call_command("look_into", str(place))
