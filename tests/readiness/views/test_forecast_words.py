from datetime import UTC, datetime, timedelta

import pytest

from readiness.feeds.look_record import Extent, Look, Part
from readiness.models import Forecast, WarningLook
from readiness.views.forecast_words import (
    NO_ISSUE_TIME,
    area_words,
    forecast_line,
    forecast_terms,
    look_sentence,
    look_terms,
    part_words,
    turned,
    warning_words,
)

AT = datetime(2027, 5, 15, 6, 0, tzinfo=UTC)
NOW = AT.timestamp()


@pytest.mark.parametrize(("lon_deg", "kept"), [(-15.0, -15.0), (180.0, 180.0), (190.0, -170.0), (-190.0, 170.0)])
def test_a_longitude_past_180_is_brought_back(lon_deg: float, kept: float) -> None:
    assert turned(lon_deg) == kept


def test_waters_are_told_by_two_corners_or_one_place() -> None:
    assert area_words(Extent(46.0, 179.0, 47.0, 181.0)) == "46°00.00′ N 179°00.00′ E to 47°00.00′ N 179°00.00′ W"
    assert area_words(Extent(46.5, -15.0, 46.5, -15.0)) == "one place, 46°30.00′ N 015°00.00′ W"


def test_what_a_forecast_does_not_say_is_told() -> None:
    row = Forecast(
        taken_in_at=AT, by="roke", south_deg=46, north_deg=47, west_deg=-16, east_deg=-13, first_at=AT, last_at=AT
    )

    terms = dict(forecast_terms(row, "Roke", "UTC", NOW))

    assert (terms["Issued"], terms["Confidence"]) == (NO_ISSUE_TIME, "not known")
    assert terms["Members"] == "one forecast, no ensemble"
    assert terms["Taken in"] == "Sat 15 May 06:00 UTC by Roke"


def test_an_ensemble_says_which_member_is_drawn_and_an_issue_time_has_an_age() -> None:
    row = Forecast(
        taken_in_at=AT, by="roke", south_deg=46, north_deg=47, west_deg=-16, east_deg=-13, first_at=AT, last_at=AT,
        members=51, issued_at=AT - timedelta(hours=2), confidence="low",
    )  # fmt: skip

    terms = dict(forecast_terms(row, "Roke", "UTC", NOW))

    assert terms["Issued"] == "Sat 15 May 04:00 UTC, 2 h old"
    assert terms["Members"] == "51; drawn is the first, the control"
    assert terms["Confidence"] == "low"


@pytest.mark.parametrize(("hours", "word"), [(1, "speaks until Sat 15 May 07:00"), (0, "spoke until Sat 15 May 06:00")])
def test_a_bulletin_that_has_run_out_is_told_in_the_past(hours: int, word: str) -> None:
    look = WarningLook(looked_at=AT - timedelta(hours=3), good_to=AT + timedelta(hours=hours), items=[])

    told = look_sentence(look, "UTC", NOW)

    assert told == f"None in force, looked Sat 15 May 03:00, 3 h ago; the bulletin {word}."


def test_nobody_having_looked_is_not_none_in_force() -> None:
    assert "is not known" in look_sentence(None, "UTC", NOW)


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        (None, None, "Gale or worse, Outer Sound, until it is lifted: gale 8"),
        (
            "2027-05-15T20:00:00+00:00",
            None,
            "Gale or worse, Outer Sound, from Sat 15 May 20:00 until it is lifted: gale 8",
        ),
        (None, "2027-05-16T06:00:00+00:00", "Gale or worse, Outer Sound, until Sun 16 May 06:00: gale 8"),
    ],
)
def test_a_warning_is_told_with_its_times(start: str | None, end: str | None, words: str) -> None:
    item = {"kind": "gale or worse", "area": "Outer Sound", "start": start, "end": end, "text": "gale 8"}

    assert warning_words(item, "UTC") == words


def test_what_a_file_holds_is_told_before_it_is_taken_in() -> None:
    look = Look(
        kind="GRIB", name="a.grib", size=10, counts={"fields": 1200, "times": 41}, first_at=NOW, last_at=NOW + 3600
    )

    terms = dict(look_terms(look, "UTC", NOW))

    assert terms["Issued"] == "not known: it will have no age"
    assert terms["Times"] == "Sat 15 May 06:00 UTC to Sat 15 May 07:00 UTC"
    assert terms["Holds"] == "1,200 fields, 41 times"
    assert "Waters" not in terms
    assert part_words(Part("10u", 41, "fields", "m/s", missing=7)) == "10u: 41 fields, m/s, 7 values missing"


def test_an_old_forecast_is_told_with_its_year_and_its_age() -> None:
    old = datetime(2011, 10, 8, 18, 0, tzinfo=UTC)
    row = Forecast(
        taken_in_at=AT, by="roke", south_deg=46, north_deg=47, west_deg=-16, east_deg=-13, first_at=old, last_at=old,
        issued_at=old,
    )  # fmt: skip
    look = Look(kind="GRIB", name="a", size=1, counts={}, first_at=old.timestamp(), last_at=old.timestamp(),
                issued_at=old.timestamp())  # fmt: skip

    held, seen = dict(forecast_terms(row, "Roke", "UTC", NOW)), dict(look_terms(look, "UTC", NOW))

    assert held["Issued"] == seen["Issued"] == "Sat 8 Oct 2011 18:00 UTC, 15 years old"
    assert held["Times"] == seen["Times"] == "Sat 8 Oct 2011 18:00 UTC to Sat 8 Oct 2011 18:00 UTC"
    assert held["Taken in"] == "Sat 15 May 06:00 UTC by Roke"
    assert forecast_line(row, NOW, is_used=True).is_over


@pytest.mark.parametrize(("seconds", "over"), [(-1, True), (0, False), (1, False)])
def test_a_forecast_is_over_once_its_last_time_has_gone_by(seconds: int, over: bool) -> None:
    row = Forecast(south_deg=46, north_deg=47, west_deg=-16, east_deg=-13, last_at=AT + timedelta(seconds=seconds))

    assert forecast_line(row, NOW, is_used=True).is_over is over
