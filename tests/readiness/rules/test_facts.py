"""The document of the facts: nothing is lost on the way, nothing lost is passed over."""

import json
from typing import Any

import numpy as np
import pytest
from msgspec.structs import asdict

from readiness.rules.facts import Facts, changed, count, decode, encode, schema
from readiness.rules.limits import Limits
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import boat, vessel, water
from tests.readiness.rules.worse import WORSE
from vessel.errors import BadInput


def written(facts: Facts) -> dict[str, Any]:
    """The facts as plain data."""
    document: dict[str, Any] = json.loads(encode(facts))
    return document


def read(document: dict[str, Any]) -> Facts:
    """The facts of plain data."""
    return decode(json.dumps(document).encode())


@pytest.mark.parametrize("day", WORSE)
def test_a_document_read_and_written_again_is_the_same_to_the_byte(day: str) -> None:
    document = encode(WORSE[day](worked_example(3)))

    assert encode(decode(document)) == document


def test_not_known_is_null_outside_and_not_a_number_inside() -> None:
    facts = vessel(worked_example(1), draught_m=float("nan"))

    assert written(facts)["boat"]["vessel"]["draught_m"] is None
    assert np.isnan(decode(encode(facts)).boat.vessel.draught_m)


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        (("boat", "vessel", "draught_m"), "deep", "$.boat.vessel.draught_m"),
        (("boat", "defects", 0, "effect"), "annoys", "$.boat.defects[0].effect"),
        (("leg", "planned_at"), "2027-05-15T06:30", "$.leg.planned_at"),
        (("limits", "under_keel_m"), 0.1, "$.limits.under_keel_m"),
        (("format",), 2, "format 2"),
        (("water", "forecast", "gust_mps"), [[1.0], [2.0, 3.0]], "inhomogeneous"),
        (("people", 0, "nickname"), "Skip", "nickname"),
    ],
)
def test_a_bad_value_is_refused_with_its_place(path: tuple[str | int, ...], value: object, told: str) -> None:
    document: Any = written(worked_example(1))
    holder = document
    for key in path[:-1]:
        holder = holder[key]
    holder[path[-1]] = value

    with pytest.raises(BadInput, match="Nothing was judged") as refused:
        read(document)

    assert told in str(refused.value)


@pytest.mark.parametrize("garbage", [b"", b"{", b"[]", b"null", b"\xff\xfe", b'{"format": 1}'])
def test_what_is_no_document_is_refused(garbage: bytes) -> None:
    with pytest.raises(BadInput, match="These facts cannot be read"):
        decode(garbage)


@pytest.mark.parametrize("name", Limits.__struct_fields__)
def test_a_limit_that_was_lost_does_not_fall_back_to_its_default(name: str) -> None:
    document = written(worked_example(1))
    del document["limits"][name]

    with pytest.raises(BadInput, match=rf"no limit {name} is stated"):
        read(document)


@pytest.mark.parametrize(
    ("path", "what"),
    [
        (("boat", "defects"), "defects"), (("boat", "jobs", 0, "takes_out"), "takes_out"),
        (("boat", "equipment", 3, "fed_by"), "feeds"), (("boat", "fuel"), "tanks"), (("boat", "beacons"), "beacons"),
        (("boat", "vessel", "speed_table"), "speeds"), (("boat", "consumables", 0, "added"), "added"),
        (("people",), "people"), (("people", 1, "aboard"), "spans"), (("policies",), "policies"),
        (("leg", "points"), "points"), (("water", "gates"), "gates"), (("water", "places", 4, "gates"), "calls"),
        (("water", "stations", 0, "event_at"), "events"),
    ],
)  # fmt: skip
def test_a_list_that_lost_something_is_damaged_not_better(path: tuple[str | int, ...], what: str) -> None:
    document: Any = written(worked_example(1))
    document["boat"]["equipment"].sort(key=lambda item: not item["fed_by"])
    held = document
    for key in path:
        held = held[key]
    held.pop()

    with pytest.raises(BadInput, match=rf"\d+ {what} are here, \d+ are stated"):
        read(document)


def test_the_counts_follow_a_change() -> None:
    facts = boat(worked_example(1), defects=None)

    assert (facts.counts.defects, facts.counts.located) == (None, None)
    assert asdict(count(facts)) == asdict(facts.counts)
    assert water(facts, gates=()).counts.gates == 0
    assert changed(facts, people=()).counts.spans == 0


def test_the_schema_states_units_and_bounds() -> None:
    definitions = schema()["$defs"]

    assert definitions["Vessel"]["properties"]["draught_m"]["unit"] == "m"
    assert definitions["Limits"]["properties"]["under_keel_m"]["minimum"] == 0.2


@pytest.mark.parametrize(
    ("behind", "harm"),
    [
        (b'"wind_east_mps":', b"[" * 5000 + b"]" * 5000),
        (b"{", b'"a\\u0000b": 1,'),
        (b"{", b'"' + b"y" * 5000 + b'": 1,'),
    ],
)
def test_a_document_made_to_do_harm_is_refused_in_a_sentence_one_can_read(behind: bytes, harm: bytes) -> None:
    document = encode(worked_example()).replace(behind, behind + harm, 1)

    with pytest.raises(BadInput) as refusal:
        decode(document)

    assert str(refusal.value).isprintable()
    assert len(str(refusal.value)) < 400
