"""Speed lost in waves on the passage: what the forecast brings, what it lacks, and the sentence."""

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.calc.sea_state import wave_on_stream
from readiness.rules.facts import Facts
from readiness.rules.facts_boat import SeaSpeed
from readiness.rules.passage import Passage
from readiness.rules.refuge_reach import in_reach
from readiness.rules.slowed_by_sea import NO_TABLE, sea_speed_sentence, unseen_sea_sentence
from readiness.rules.turn_back import last_turn
from readiness.rules.under_way import passage_of
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import forecast, place, vessel, water
from vessel.units import HOUR, KNOT

NAN = float("nan")
ROWS = (
    SeaSpeed(height_m=1.0, ahead=0.9, abeam=0.95, astern=1.0),
    SeaSpeed(height_m=2.0, ahead=0.6, abeam=0.8, astern=0.9),
)


def measured(facts: Facts, rows: tuple[SeaSpeed, ...] = ROWS) -> Facts:
    return vessel(facts, sea_speeds=rows)


def from_ahead(facts: Facts, height_m: float = 1.0) -> Facts:
    """A sea from the east, from ahead all the way."""
    return forecast(facts, wave_from_east=1.0, wave_height_m=height_m)


def hours(passage: Passage, index: int = 0) -> float:
    return float(passage.duration_s[index]) / HOUR


def test_without_a_table_nothing_is_taken_off_to_the_last_bit() -> None:
    calm, rough = (passage_of(from_ahead(worked_example(4), height)) for height in (0.1, 3.0))

    assert np.array_equal(calm.plan.node_at, rough.plan.node_at)
    assert (calm.sea_share == 1.0).all()
    assert sea_speed_sentence(worked_example(1), calm, 0) == NO_TABLE


def test_the_first_step_keeps_the_share_of_the_sea_on_its_stream() -> None:
    facts = measured(from_ahead(worked_example(1), 0.5))

    passage = passage_of(facts)

    sea = wave_on_stream(0.5, 4.5, 90.0, 0.6 * KNOT, 0.0).hs_eff_m
    assert passage.sea_share[0, 0] == pytest.approx(1 - 0.1 * float(sea))
    assert hours(passage) > hours(passage_of(from_ahead(worked_example(1), 0.5)))


def test_plan_early_and_late_are_all_slowed() -> None:
    plain, slowed = (
        passage_of(facts) for facts in (from_ahead(worked_example(1)), measured(from_ahead(worked_example(1))))
    )

    for run in ("plan", "early", "late"):
        assert getattr(slowed, run).arrives_at[0] > getattr(plain, run).arrives_at[0] + 600


def test_a_sea_from_astern_takes_less_off_than_one_from_ahead() -> None:
    astern, ahead = (passage_of(measured(facts)) for facts in (worked_example(1), from_ahead(worked_example(1), 0.9)))

    assert hours(astern) < hours(ahead)


@pytest.mark.parametrize("height_m", [0.2, 1.0, 1.9])
def test_what_is_not_forecast_is_never_faster(height_m: float) -> None:
    facts = measured(from_ahead(worked_example(8), height_m))
    known = passage_of(facts)

    for less in (
        water(facts, forecast=None),
        forecast(facts, wave_height_m=NAN),
        forecast(facts, wave_from_east=NAN),
        forecast(facts, wave_period_s=NAN),
    ):
        assert (passage_of(less).duration_s >= known.duration_s - 1e-6).all()


def test_an_unseen_sea_counts_the_worst_row_and_says_so() -> None:
    facts = measured(water(worked_example(1), forecast=None))

    passage = passage_of(facts)

    assert (passage.sea_share == 0.6).all()
    assert sea_speed_sentence(facts, passage, 0) == (
        "The sea takes up to 40 % off her speed by plan, from Ostrel Haven to Brannowmouth, off; for 48.0 nmi no "
        "sea is forecast and the worst row counts."
    )


def test_times_that_reckon_with_an_unseen_sea_say_so() -> None:
    nothing = measured(water(worked_example(1), forecast=None))
    ahead = measured(from_ahead(worked_example(1), 0.5))

    told = unseen_sea_sentence(nothing, passage_of(nothing), 0)

    assert told == (
        "For 48.0 nmi the sea is not known: her slowest share is taken there, 60 % of her speed, and she may arrive sooner."
    )
    assert unseen_sea_sentence(ahead, passage_of(ahead), 0) == ""


def test_a_sea_without_its_direction_is_not_known_on_a_stream_and_that_is_said() -> None:
    facts = measured(forecast(worked_example(1), wave_from_east=NAN, wave_from_north=NAN))

    assert "the sea is not known" in unseen_sea_sentence(facts, passage_of(facts), 0)


def test_an_unseen_sea_that_takes_nothing_off_is_no_news() -> None:
    bare = water(worked_example(1), forecast=None)
    tireless = measured(bare, (SeaSpeed(height_m=1.0, ahead=1.0, abeam=1.0, astern=1.0),))
    torn = measured(bare, (replace(ROWS[0], abeam=NAN), ROWS[1]))

    assert [unseen_sea_sentence(facts, passage_of(facts), 0) for facts in (bare, tireless, torn)] == ["", "", ""]


def test_the_sentence_says_how_much_and_where() -> None:
    facts = measured(from_ahead(worked_example(1), 0.5))

    assert sea_speed_sentence(facts, passage_of(facts), 0).startswith("The sea takes up to ")
    calm = measured(from_ahead(worked_example(1), 0.02))
    assert sea_speed_sentence(calm, passage_of(calm), 0) == "The sea takes nothing off her speed by plan."


def test_a_table_with_a_gap_leaves_her_times_not_known() -> None:
    facts = measured(worked_example(1), (replace(ROWS[0], abeam=NAN), ROWS[1]))

    passage = passage_of(facts)

    assert np.isnan(passage.plan.arrives_at[0])
    assert sea_speed_sentence(facts, passage, 0).startswith("What the sea takes off her speed is not known")


def test_refuges_and_the_last_turn_reckon_with_the_slower_speed() -> None:
    plain = place(from_ahead(worked_example(44)), "ostrel", lit=False)
    slow = measured(plain)

    passages = [passage_of(facts) for facts in (plain, slow)]

    counts = [
        int(in_reach(facts, passage)[:, 43].sum()) for facts, passage in zip((plain, slow), passages, strict=True)
    ]
    assert passages[1].refuges.to_go_s[1, 43, 0] > passages[0].refuges.to_go_s[1, 43, 0] * 1.1
    assert all(counts)
    turns = [last_turn(facts, passage).along_m[43] for facts, passage in zip((plain, slow), passages, strict=True)]
    assert turns[1] < turns[0]
