"""Waivers and met conditions, laid over what the rules said."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from msgspec import structs
from msgspec.structs import replace

from readiness.rules.engine import judge
from readiness.rules.facts import Facts, Met, changed
from readiness.rules.judgement import Judgement, Outcome, Verdict, Words
from readiness.rules.register import RULES
from readiness.rules.waiver import holds
from tests.factories.worked_example import JUDGED_AT, worked_example
from tests.readiness.rules.alter import forecast, gate, person, vessel, waived, water
from vessel.units import KNOT, NAUTICAL_MILE

WIND = ("mean_wind", "wind:")
NAN = float("nan")
PLANNED = datetime(2027, 5, 15, 6, 30, tzinfo=UTC)


def windy(knots: float = 30.0) -> Facts:
    """The worked example in so much wind: a no-go."""
    return forecast(worked_example(1), wind_east_mps=knots * KNOT)


def standing(facts: Facts, rule: str = WIND[0], index: int = 0) -> Outcome:
    """The worst answer of a rule as it stands with waivers laid over."""
    judged = judge(facts)
    rows = [row for row, one in enumerate(judged.judgements) if one.rule == rule]
    return Outcome(int(judged.standing[rows, index].max()))


def test_a_waiver_eases_a_no_go_to_a_condition_that_is_counted() -> None:
    facts = waived(windy(), *WIND, 30 * KNOT, 33 * KNOT)

    others = tuple(rule for rule in RULES if rule.id != "slack_before_weather")  # speaks of the same wind

    judged = judge(facts, others)

    row = next(row for row, one in enumerate(judged.judgements) if one.rule == "mean_wind")
    assert (judged.outcomes[row, 0], judged.standing[row, 0]) == (Outcome.NO_GO, Outcome.CONDITION)
    assert Verdict(int(judged.verdict[0])) == Verdict.GO_IF
    assert Verdict(int(judge(windy(), others).verdict[0])) == Verdict.NO_GO


@pytest.mark.parametrize(
    ("knots", "expected"), [(33.0, Outcome.CONDITION), (33.01, Outcome.NO_GO), (29.0, Outcome.CONDITION)]
)
def test_it_lapses_by_its_value(knots: float, expected: Outcome) -> None:
    assert standing(waived(windy(knots), *WIND, 30 * KNOT, 33 * KNOT + 1e-9)) == expected


@pytest.mark.parametrize(
    ("shift_s", "expected"),
    [(0, Outcome.CONDITION), (1800, Outcome.CONDITION), (1801, Outcome.NO_GO), (-1800, Outcome.CONDITION),
     (-1801, Outcome.NO_GO)],
)  # fmt: skip
def test_it_lapses_when_the_departure_moves_more_than_half_an_hour(shift_s: int, expected: Outcome) -> None:
    facts = waived(windy(), *WIND, 30 * KNOT, 33 * KNOT, departure_at=PLANNED - timedelta(seconds=shift_s))

    assert standing(facts) == expected


@pytest.mark.parametrize(
    ("miles", "expected"),
    [(48.0, Outcome.CONDITION), (43.7, Outcome.CONDITION), (43.5, Outcome.NO_GO), (53.2, Outcome.CONDITION),
     (53.5, Outcome.NO_GO), (NAN, Outcome.NO_GO)],
)  # fmt: skip
def test_it_lapses_when_the_leg_is_more_than_a_tenth_longer_or_shorter(miles: float, expected: Outcome) -> None:
    facts = waived(windy(), *WIND, 30 * KNOT, 33 * KNOT, leg_distance_m=miles * NAUTICAL_MILE)

    assert standing(facts) == expected


def test_it_lapses_when_the_crew_changes_or_somebody_cancels() -> None:
    facts = waived(windy(), *WIND, 30 * KNOT, 33 * KNOT)
    jory = replace(facts.people[2], name="Jory Pask")

    assert standing(changed(facts, people=(*facts.people, jory))) == Outcome.NO_GO
    assert standing(changed(facts, people=facts.people[:2])) == Outcome.NO_GO
    assert standing(person(facts, "Odile", confirmed=False)) == Outcome.NO_GO


@pytest.mark.parametrize("lost", ["value", "lapses_at_value"])
def test_a_waiver_that_lost_its_figures_does_not_hold(lost: str) -> None:
    facts = waived(windy(), *WIND, 30 * KNOT, 33 * KNOT)
    damaged = tuple(structs.replace(one, **{lost: NAN}) for one in facts.waivers)

    assert standing(changed(facts, waivers=damaged)) == Outcome.NO_GO


def test_another_rule_or_cause_is_not_waived_by_it() -> None:
    assert standing(waived(windy(), "mean_wind", "sea:", 30 * KNOT, 33 * KNOT)) == Outcome.NO_GO
    assert standing(waived(windy(), "sea_height", "wind:", 30 * KNOT, 33 * KNOT)) == Outcome.NO_GO


def test_what_may_never_be_waived_stays() -> None:
    shut = gate(worked_example(1), "morrowick-lock", before_s=-3600.0, after_s=7200.0, wait_place=None)
    crowded = changed(worked_example(1), people=tuple(
        replace(worked_example(1).people[2], name=f"Guest {number}") for number in range(9)
    ))  # fmt: skip

    assert (
        standing(waived(shut, "gate_on_arrival", "gate:morrowick-lock", 1.0, 1e9), "gate_on_arrival") == Outcome.NO_GO
    )
    assert standing(waived(crowded, "number_aboard", "people:most", 9.0, 99.0), "number_aboard") == Outcome.NO_GO


def test_what_is_not_known_is_never_waived() -> None:
    facts = water(worked_example(1), forecast=None)
    waivers = [("mean_wind", "forecast:"), ("forecast_cover", "forecast:"), ("forecast_age", "forecast:")]
    for rule, cause in waivers:
        facts = waived(facts, rule, cause, 0.0, 1e12)

    assert [standing(facts, rule) for rule, _ in waivers] == [Outcome.UNKNOWN] * 3


def test_a_falling_figure_lapses_when_it_falls() -> None:
    facts = person(worked_example(1), "Tam", confirmed=False)
    hands = ("hands_at_gate", "gate hands:morrowick-lock")

    assert standing(waived(facts, *hands, 2.0, 1.8), "hands_at_gate") == Outcome.CONDITION
    fewer = person(facts, "Odile", fit=False)
    assert standing(waived(fewer, *hands, 2.0, 1.8), "hands_at_gate") == Outcome.NO_GO


def holds_until_date(facts: Facts) -> bool:
    """Whether the one waiver of the facts holds for a service that is overdue, which may be waived until a date."""
    overdue = Judgement(
        rule="engine_service", cause=("service", "SV-01"), outcome=np.array([Outcome.NO_GO], np.int8), demand=1.0,
        limit=0.0, unit="", say=lambda _: Words(title="", sentence=""),
    )  # fmt: skip
    departure = np.array([facts.departures.first.timestamp()])
    return bool(holds(facts, facts.waivers[0], overdue, departure, 48 * NAUTICAL_MILE)[0])


@pytest.mark.parametrize(
    ("until", "given", "haul_out", "expected"),
    [
        (PLANNED + timedelta(seconds=1), JUDGED_AT, date(2027, 10, 4), True),
        (PLANNED, JUDGED_AT, date(2027, 10, 4), False),
        (None, JUDGED_AT, date(2027, 10, 4), False),
        (PLANNED + timedelta(days=300), PLANNED - timedelta(days=90) + timedelta(seconds=1), date(2027, 10, 4), True),
        (PLANNED + timedelta(days=300), PLANNED - timedelta(days=90), date(2027, 10, 4), False),
        (PLANNED + timedelta(days=30), PLANNED - timedelta(days=10), date(2027, 5, 14), False),
        (PLANNED + timedelta(days=30), JUDGED_AT, None, False),
    ],
    ids=["before its end", "at its end", "no end", "within 90 days", "90 days", "hauled out", "haul-out not dated"],
)
def test_a_waiver_until_a_date_ends_there_or_after_ninety_days_or_at_haul_out(
    until: datetime | None, given: datetime, haul_out: date | None, expected: bool
) -> None:
    facts = waived(worked_example(1), "engine_service", "service:SV-01", 1.0, 1.1, until=until, at=given)

    assert holds_until_date(vessel(facts, haul_out_on=haul_out)) == expected


@pytest.mark.parametrize(
    ("shift_s", "expected"), [(0, Outcome.PASSED), (900, Outcome.PASSED), (901, Outcome.CONDITION)]
)
def test_a_condition_somebody_met_passes_for_that_departure_only(shift_s: int, expected: Outcome) -> None:
    stale = forecast(worked_example(1), issued_at=PLANNED - timedelta(hours=7))
    done = Met(rule="forecast_age", cause="forecast:", by="Ines Roke", at=JUDGED_AT, note="",
               departure_at=PLANNED + timedelta(seconds=shift_s))  # fmt: skip

    assert standing(changed(stale, met=(done,)), "forecast_age") == expected


def test_a_condition_met_never_passes_a_no_go_or_an_unknown() -> None:
    windy_met = Met(rule="mean_wind", cause="wind:", by="Ines Roke", at=JUDGED_AT, note="", departure_at=PLANNED)
    old_met = replace(windy_met, rule="forecast_age", cause="forecast:")
    old = forecast(worked_example(1), issued_at=PLANNED - timedelta(days=2))

    assert standing(changed(windy(), met=(windy_met,))) == Outcome.NO_GO
    assert standing(changed(old, met=(old_met,)), "forecast_age") == Outcome.UNKNOWN


def test_laying_over_leaves_what_the_rules_said() -> None:
    facts = windy()

    plain, over = judge(facts), judge(waived(facts, *WIND, 30 * KNOT, 33 * KNOT))

    assert (plain.outcomes == over.outcomes).all()
