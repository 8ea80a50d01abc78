"""What a forecast lacks is one finding of a leg, with every quantity named once."""

import numpy as np
import pytest

from readiness.rules.engine import judge
from readiness.rules.facts import Facts
from readiness.rules.finding import Finding, findings_at, lines_at
from readiness.rules.forecast_lacks import MADE_OF, NAMES, THINGS, blank, lack_of, lacking, together, told_once
from readiness.rules.judgement import Outcome, Words
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import forecast, water

NAN = float("nan")
THIN = {"gust_mps": NAN, "wave_from_east": NAN, "wave_from_north": NAN, "pressure_hpa": NAN}


def starved(facts: Facts) -> Finding:
    """The finding that the forecast is behind."""
    return next(one for one in findings_at(lines_at(judge(facts), 0)) if one.cause == "forecast:")


def test_columns_a_forecast_does_not_have_are_one_finding_that_names_them_all() -> None:
    found = starved(forecast(worked_example(1), **THIN))

    assert {"gusts", "under_keel", "sea_height"} <= {line.rule for line in found.lines}
    assert found.outcome == Outcome.UNKNOWN
    assert found.sentences == ("Along this way the forecast holds no gusts, wave direction or pressure.",)
    assert found.words.title == "Gusts, wave direction and pressure not forecast"
    assert found.words.do == "Take in a forecast with gusts, wave direction and pressure."


def test_one_column_less_is_told_alone() -> None:
    found = starved(forecast(worked_example(1), gust_mps=NAN))

    assert found.sentences == ("Along this way the forecast holds no gusts.",)
    assert (found.words.title, found.words.do) == ("Gusts not forecast", "Take in a forecast with gusts.")


def test_a_gap_is_told_beside_a_column_that_is_not_there() -> None:
    facts = forecast(worked_example(1), gust_mps=NAN)
    held = facts.water.forecast
    assert held is not None
    gap = held.visibility_m.copy()
    gap[6] = np.nan

    found = starved(forecast(facts, visibility_m=gap))

    assert set(found.sentences) == {
        "Along this way the forecast holds no gusts.",
        "The forecast has a gap in the visibility of this passage.",
    }


def test_without_a_forecast_everything_is_told_in_one_sentence() -> None:
    found = starved(water(worked_example(1), forecast=None))

    told = [sentence for sentence in found.sentences if sentence.startswith("No forecast is held: ")]
    assert len(told) == 1
    assert told[0].startswith("No forecast is held: the wind, gusts, sea, visibility, pressure")
    assert told[0].endswith(" are not known.")


def test_a_forecast_of_other_waters_has_no_columns_missing_but_a_gap() -> None:
    facts = forecast(worked_example(1), **dict.fromkeys([*NAMES, "wind_north_mps", "wave_from_north"], NAN))
    held = facts.water.forecast
    assert held is not None

    assert blank(held) == frozenset()
    assert lack_of(held, "gusts", inside=True) == ("gap", ("gusts",))


@pytest.mark.parametrize(
    ("what", "inside", "lack"),
    [
        ("pressure and sea", True, ("blank", ("wave direction", "pressure"))),
        ("sea on the stream", True, ("blank", ("wave direction",))),
        ("wind, visibility, pressure and sea at the arrival", True, ("blank", ("wave direction", "pressure"))),
        ("weather after arrival", True, ("blank", ("gusts", "wave direction"))),
        ("visibility and wind at the arrival", True, ("gap", ("wind", "visibility"))),
        ("gusts", False, ("reach", ("gusts",))),
        ("weather after arrival", False, ("reach", ("weather after arrival",))),
    ],
)
def test_why_a_thing_is_not_there(what: str, inside: bool, lack: tuple[str, tuple[str, ...]]) -> None:
    held = forecast(worked_example(1), **THIN).water.forecast

    assert lack_of(held, what, inside=inside) == lack


def test_everything_a_rule_may_ask_for_is_made_of_names_that_a_forecast_has() -> None:
    assert {name for made_of in MADE_OF.values() for name in made_of} <= set(NAMES.values())
    assert {thing for things in THINGS.values() for thing in things} <= {*NAMES.values(), *MADE_OF}


@pytest.mark.parametrize(
    ("count", "title"), [(2, "Wind and gusts not forecast"), (3, "Wind, gusts and sea not forecast"),
                         (4, "4 things not forecast")],
)  # fmt: skip
def test_a_title_names_three_things_and_counts_more(count: int, title: str) -> None:
    things = ("wind", "gusts", "sea", "visibility")[:count]
    words = [lacking(Words(title=f"{thing} not forecast", sentence=""), "gap", (thing,)) for thing in things]

    assert together(words).title == title
    assert len(told_once(words)) == 1


def test_other_sentences_stand_as_they_are_each_once() -> None:
    words = [Words(title="A", sentence="One."), Words(title="B", sentence="Two."), Words(title="C", sentence="One.")]

    assert told_once(words) == ("One.", "Two.")
    assert together(words) == words[0]
