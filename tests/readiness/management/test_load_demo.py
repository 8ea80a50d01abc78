"""The demo loads once, and tells the same story whatever the hour and the season it is loaded in."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from io import StringIO
from zoneinfo import ZoneInfo

import numpy as np
import pytest
import time_machine
from django.contrib.auth.models import User
from django.core.management import call_command

from maintenance.models import Defect, Job
from readiness.actions.decision import decide
from readiness.calc.tide import high_low_of
from readiness.management.demo import load
from readiness.management.demo.coast import HIGH_WATER_AFTER_S, phased
from readiness.management.demo.load import load_demo
from readiness.management.demo.moment import ZONE, DemoMoment
from readiness.management.demo.weather import demo_forecast
from readiness.models import DecisionWord, Leg, TideStation, Verdict
from readiness.rules.engine import Judged, judge
from readiness.rules.facts import decode
from readiness.rules.judgement import Outcome
from vessel.models import Equipment, HistoryEntry, Membership, Vessel

AFTERNOON = datetime(2026, 11, 25, 14, 10, tzinfo=UTC)
WORDS = ("go", "go if", "cannot say yet", "no-go")


def departure(judged: Judged, at: datetime) -> tuple[str, str, set[str]]:
    """Verdict and outlook of the departure nearest to a moment, and the rules that say no-go."""
    index = judged.index_at(at.timestamp())
    against = {
        judgement.rule
        for judgement, outcomes in zip(judged.judgements, judged.outcomes, strict=True)
        if outcomes[index] == Outcome.NO_GO
    }
    return WORDS[judged.verdict[index]], ("good", "fair", "poor")[judged.outlook[index]], against


@pytest.mark.django_db
@pytest.mark.parametrize(
    "now",
    [
        AFTERNOON,
        datetime(2026, 12, 21, 3, 40, tzinfo=UTC),
        datetime(2027, 3, 27, 6, 30, tzinfo=UTC),
        datetime(2027, 6, 21, 22, 59, tzinfo=UTC),
    ],
    ids=["an autumn afternoon", "a winter night", "before the clocks change", "a summer evening"],
)
def test_this_evening_is_a_no_go_tomorrow_a_go_if_and_the_day_after_looks_good(now: datetime) -> None:
    loaded = load_demo(DemoMoment(now))

    judged = judge(decode(loaded.verdict.facts_document))
    evening, tomorrow, day_after = (
        departure(judged, at) for at in (loaded.moment.evening, loaded.moment.planned, loaded.moment.next_day)
    )
    assert evening[0] == "no-go"
    assert "mean_wind" in evening[2]
    assert tomorrow == ("go if", "fair", set())
    assert loaded.verdict.word == "go if"
    assert day_after == ("cannot say yet", "good", set())
    assert len({*loaded.verdict.departures["outlook"]}) == 3


@pytest.mark.parametrize("hour", range(24))
@pytest.mark.parametrize("day", [datetime(2026, 10, 24, tzinfo=UTC), datetime(2027, 3, 27, tzinfo=UTC)])
def test_the_planned_departure_is_ahead_and_the_forecast_no_mere_outlook_by_then(day: datetime, hour: int) -> None:
    moment = DemoMoment(day + timedelta(hours=hour, minutes=37))

    ahead = moment.planned - moment.now
    assert timedelta(hours=5) < ahead < timedelta(hours=24)
    assert moment.planned - moment.issued <= timedelta(hours=24)
    assert moment.now < moment.evening < moment.planned
    assert moment.planned.astimezone(ZoneInfo(ZONE)).minute % 15 == 0


def test_high_water_comes_when_the_demo_wants_it_a_day_after_neaps() -> None:
    moment = DemoMoment(AFTERNOON)
    wanted = moment.planned.timestamp() + HIGH_WATER_AFTER_S

    events = high_low_of(phased(moment), wanted - 8 * 3600, wanted + 8 * 86400)

    high = events.at[events.high]
    assert abs(high - wanted).min() < 600
    heights = events.height_m[events.high]
    assert np.argmin(heights) < 3
    assert heights.max() - heights[0] > 0.7


def test_the_forecast_covers_ten_days_with_nothing_missing() -> None:
    forecast = demo_forecast(DemoMoment(AFTERNOON))

    assert forecast.at[-1] - forecast.issued_at == 10 * 86400
    assert all(np.isfinite(values).all() for values in forecast.variables.values())
    assert np.allclose(
        np.hypot(forecast.variables["wave_from_east"], forecast.variables["wave_from_north"]), 1, atol=1e-3
    )


@pytest.fixture
def told() -> Iterator[StringIO]:
    """What the command said, loaded on an autumn afternoon."""
    said = StringIO()
    with time_machine.travel(AFTERNOON, tick=False):
        call_command("load_demo", stdout=said)
        yield said


@pytest.mark.django_db
def test_the_demo_makes_what_it_promises_and_says_so(told: StringIO) -> None:
    assert Equipment.objects.count() == 100
    assert Defect.objects.count() == 25
    assert Job.objects.filter(project="haul-out").count() == 34
    assert Defect.objects.filter(series__isnull=False).count() == 5
    assert Membership.objects.get().user.username == "ines"
    assert not User.objects.get().has_usable_password()
    assert "phased to the day the demo was loaded" in TideStation.objects.get(key="ostrel").source
    said = told.getvalue()
    for words in ("100 pieces of equipment", "58 services", "25 defects", "GO IF", "Her owner signs in as “ines”"):
        assert words in said


@pytest.mark.django_db
def test_loaded_twice_it_is_there_once(told: StringIO) -> None:
    before = (HistoryEntry.objects.count(), Verdict.objects.get().pk)

    call_command("load_demo", stdout=told)

    assert "nothing was done" in told.getvalue()
    assert (HistoryEntry.objects.count(), Verdict.objects.get().pk) == before
    assert Vessel.objects.count() == 1


@pytest.mark.django_db
def test_again_starts_afresh_after_asking_even_when_somebody_decided(
    told: StringIO, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = Vessel.objects.get().pk
    decide(verdict_id=Verdict.objects.get().pk, word=DecisionWord.NO_GO, by="owner-1", at=AFTERNOON)

    monkeypatch.setattr("builtins.input", lambda _: "no")
    call_command("load_demo", "--again", stdout=told)
    assert Vessel.objects.get().pk == first
    monkeypatch.setattr("builtins.input", lambda _: "yes")
    call_command("load_demo", "--again", stdout=told)

    assert Vessel.objects.get().pk != first
    assert Leg.objects.count() == 1
    assert load.demo_is_there()
