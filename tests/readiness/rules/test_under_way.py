"""The passage of the facts: what it is worked out from, and what it is not."""

from dataclasses import fields
from typing import Any

import numpy as np
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.under_way import passage_of, swept_from
from tests.factories.worked_example import worked_example


def with_nothing_but_the_water(facts: Facts) -> Facts:
    """The same vessel on the same leg with nobody and nothing aboard."""
    boat = replace(
        facts.boat, equipment=(), functions=(), defects=None, jobs=None, services=None, crank=None, bank=None, loads=(),
        fuel=(), consumables=(), lifejackets=(), beacons=(),
    )  # fmt: skip
    return changed(facts, boat=boat, people=(), contact=None, policies=None, waivers=(), met=())


def arrays_of(thing: Any) -> dict[str, Any]:
    """The arrays of a passage and of the runs and weather in it, by name."""
    found: dict[str, Any] = {}
    for field in fields(thing):
        value = getattr(thing, field.name)
        if isinstance(value, np.ndarray):
            found[field.name] = value
        elif field.name in ("plan", "early", "late", "weather", "weather_at_plan", "track"):
            found |= {f"{field.name}.{name}": inner for name, inner in arrays_of(value).items()}
    return found


def test_a_passage_hangs_on_the_parts_it_says_it_is_swept_from_and_on_nothing_else() -> None:
    facts = worked_example(12)
    bare = with_nothing_but_the_water(facts)

    assert all(part is other for part, other in zip(swept_from(facts), swept_from(bare), strict=True))
    expected, found = arrays_of(passage_of(facts)), arrays_of(passage_of(bare))
    assert len(expected) > 30
    for name, values in expected.items():
        np.testing.assert_array_equal(found[name], values, err_msg=name)


def test_a_crawl_that_would_take_for_ever_is_not_known_and_takes_no_room() -> None:
    facts = worked_example(1)
    crawling = changed(facts, leg=replace(facts.leg, speed_mps=1e-9))

    passage = passage_of(crawling)

    assert np.isnan(passage.plan.arrives_at).all()
    assert passage.tides["ostrel"].events.at.size < 300
