"""What a verdict stands on, in words: the forecast with its members and holes, and the look at the warnings."""

from datetime import timedelta
from typing import Any

import numpy as np
from msgspec.structs import replace

from readiness.rules.engine import judge
from readiness.rules.facts import Facts
from readiness.rules.facts_water import WeatherWarning
from readiness.rules.words_of_trade import WarningKind
from readiness.views.standing_on import Age, ages_of
from tests.factories.ensemble import with_members
from tests.factories.worked_example import JUDGED_AT, worked_example
from tests.readiness.rules.alter import forecast, water


def ages(facts: Facts) -> list[Age]:
    """The inputs of the verdict on some facts."""
    return ages_of(judge(facts))


def looked(**parts: Any) -> Age:
    """The line on the warnings, with parts of the look replaced."""
    facts = worked_example(1)
    assert facts.water.warnings is not None
    return next(age for age in ages(water(facts, warnings=replace(facts.water.warnings, **parts))) if _warns(age))


def _warns(age: Age) -> bool:
    return age.name.startswith("Weather warnings")


def test_the_forecast_says_how_many_members_it_has() -> None:
    plain, crowded = (ages(facts)[0] for facts in (worked_example(1), with_members(worked_example(1), 51)))

    assert (plain.name, plain.old) == ("Forecast, issued 04:00", "2 h")
    assert crowded.name == "Forecast, issued 04:00, 51 members"


def test_a_hole_in_the_forecast_is_a_line_of_its_own() -> None:
    facts = worked_example(1)
    held = facts.water.forecast
    assert held is not None
    kept = np.delete(np.arange(len(held.at)), 6)
    grids = {name: getattr(held, name)[kept] for name in held.__struct_fields__ if np.ndim(getattr(held, name)) == 2}

    found = ages(forecast(facts, at=tuple(held.at[row] for row in kept), **grids))

    assert found[1].name.startswith("It jumps 2 h from Sat 15 May 09:00 (08:00 UTC)")
    assert found[1].old == "uneven"
    assert _warns(ages(facts)[1])


def test_the_look_at_the_warnings_says_its_count_its_age_and_how_long_it_keeps() -> None:
    gale = WeatherWarning(kind=WarningKind.GALE, area="Skarn", start=None, end=None, text="")

    assert looked() == Age("Weather warnings, none, good to Mon 17 May 04:00", "2 h", "24 h")
    assert looked(items=(gale,)).name == "Weather warnings, 1 in force or to come, good to Mon 17 May 04:00"


def test_a_look_is_stale_after_a_day_or_when_its_bulletin_has_ended() -> None:
    hour = timedelta(hours=1)

    assert not looked(looked_at=JUDGED_AT - 24 * hour).is_stale
    assert looked(looked_at=JUDGED_AT - 24 * hour - timedelta(seconds=1)).is_stale
    assert looked(good_to=JUDGED_AT - timedelta(seconds=1)).is_stale


def test_where_nobody_looked_or_nobody_knows_until_when_it_is_not_known() -> None:
    nobody = next(age for age in ages(water(worked_example(1), warnings=None)) if _warns(age))

    assert not nobody.is_known
    assert not looked(good_to=None).is_known
