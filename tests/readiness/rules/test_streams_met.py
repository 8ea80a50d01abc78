"""The stream of each step: named, of the nearest table, or between the tables to either side."""

import numpy as np
import pytest
from msgspec.structs import replace

from readiness.calc.track import Track
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Stream
from readiness.rules.streams_met import FARTHEST_M, Shares, shares_of_steps, streams_met
from readiness.rules.under_way import passage_of
from readiness.rules.words_of_trade import StreamBy
from tests.factories.worked_example import worked_example
from tests.factories.worked_water import LATITUDE, NARROWS, longitude, steady
from tests.readiness.rules.alter import leg, water
from vessel.units import HOUR, KNOT, NAUTICAL_MILE

NAN = float("nan")
MILE_DEG = 1 / 60  # of latitude


def table(key: str, mile: float, knots: float, *, set_deg: float = 90.0, off_miles: float = 0.0) -> Stream:
    """A steady stream observed at a mile of the leg, so many miles north of it."""
    return replace(
        steady(key, knots),
        lat_deg=LATITUDE + off_miles * MILE_DEG,
        lon_deg=longitude(mile),
        set_deg=np.array([set_deg]),
    )


def by(facts: Facts, way: StreamBy, *tables: Stream) -> Facts:
    """The facts with every segment finding its stream in one way among some tables."""
    segments = tuple(replace(segment, stream_by=way) for segment in facts.leg.segments)
    return water(leg(facts, segments=segments), streams=tables)


def shares(facts: Facts) -> list[Shares]:
    return list(shares_of_steps(facts, passage_of(facts).track))


def at_mile(facts: Facts, mile: float) -> tuple[float, float]:
    """East and north in knots on the step that holds a mile, at the planned departure."""
    passage = passage_of(facts)
    step = int(np.searchsorted(passage.track.node_along_m, mile * NAUTICAL_MILE)) - 1
    stream = passage.streams[passage.stream_of_step[step]]
    if stream is None:
        return NAN, NAN
    east, north = stream.at(passage.departure_at[0])
    return float(east) / KNOT, float(north) / KNOT


def test_a_named_table_is_taken_wherever_it_was_observed() -> None:
    found = shares(worked_example(1))

    assert found[0] == (("first", 1.0),)
    assert found[-1] == (("fifth", 1.0),)
    assert len(set(found)) == 5


def test_a_segment_that_names_no_table_has_no_stream() -> None:
    facts = worked_example(1)
    segments = tuple(replace(segment, stream=None) for segment in facts.leg.segments)

    passage = passage_of(leg(facts, segments=segments))

    assert list(passage.streams) == [None]
    assert np.isnan(passage.plan.node_at[0, 1:]).all()


def test_the_nearest_table_is_taken_and_the_change_lies_half_way() -> None:
    facts = by(worked_example(1), StreamBy.NEAREST, table("west", 6.0, 1.0), table("east", 14.0, 3.0))

    keys = [one[0][0] if one else "" for one in shares(facts)]

    assert keys[:10] == ["west"] * 10  # to mile 10, and the middle of the eleventh step is 10.5
    assert keys[10:20] == ["east"] * 10
    assert at_mile(facts, 9.5)[0] == pytest.approx(1.0)
    assert at_mile(facts, 10.5)[0] == pytest.approx(3.0)


@pytest.mark.parametrize(("off_miles", "known"), [(9.98, True), (10.02, False), (-9.98, True), (-10.02, False)])
def test_a_table_farther_off_than_ten_miles_is_not_used(off_miles: float, known: bool) -> None:
    facts = by(worked_example(1), StreamBy.NEAREST, table("only", 20.5, 2.0, off_miles=off_miles))

    assert FARTHEST_M == 10 * NAUTICAL_MILE
    assert np.isfinite(at_mile(facts, 20.5)[0]) == known


def test_beyond_the_reach_of_every_table_the_stream_is_not_known_and_so_are_her_times() -> None:
    facts = by(worked_example(1), StreamBy.NEAREST, table("only", 5.0, 2.0))

    passage = passage_of(facts)

    assert np.isfinite(passage.plan.node_at[0, 15])
    assert np.isnan(passage.plan.node_at[0, 16])
    assert np.isnan(passage.late.node_at[0, -1])


@pytest.mark.parametrize("mile", [6.5, 8.5, 10.5, 12.5])
def test_between_two_tables_the_vectors_are_shared_by_the_distance_along_the_way(mile: float) -> None:
    facts = by(
        worked_example(1),
        StreamBy.BETWEEN,
        table("west", 6.0, 2.0, set_deg=0.0),
        table("east", 14.0, 4.0, set_deg=90.0),
    )

    share = (mile - 6.0) / 8.0
    assert at_mile(facts, mile) == pytest.approx((4.0 * share, 2.0 * (1 - share)), abs=0.02)


def test_opposite_streams_between_two_tables_cancel_rather_than_add() -> None:
    facts = by(
        worked_example(1),
        StreamBy.BETWEEN,
        table("west", 6.5, 2.0, set_deg=90.0),
        table("east", 14.5, 2.0, set_deg=270.0),
    )

    assert at_mile(facts, 10.5) == pytest.approx((0.0, 0.0), abs=0.01)


def test_of_several_tables_the_two_that_bracket_the_step_count() -> None:
    tables = [table(name, mile, 1.0) for name, mile in (("a", 2.0), ("b", 8.0), ("c", 12.0), ("d", 18.0))]
    facts = by(worked_example(1), StreamBy.BETWEEN, *tables)

    (west, west_share), (east, east_share) = shares(facts)[9]

    assert (west, east) == ("b", "c")
    assert (west_share, east_share) == pytest.approx((0.625, 0.375), abs=0.01)


def test_beyond_the_outermost_table_that_one_alone_counts_as_far_as_it_reaches() -> None:
    facts = by(worked_example(1), StreamBy.BETWEEN, table("west", 6.0, 2.0), table("east", 14.0, 4.0))

    found = shares(facts)

    assert found[2] == (("west", 1.0),)
    assert found[18] == (("east", 1.0),)
    assert found[24] == ()


def test_one_of_the_two_that_cannot_be_known_leaves_the_stream_between_them_not_known() -> None:
    lost = replace(table("east", 14.0, 4.0), steady=False, station="nowhere")
    facts = by(worked_example(1), StreamBy.BETWEEN, table("west", 6.0, 2.0), lost)

    assert np.isnan(at_mile(facts, 10.5)[0])
    assert at_mile(facts, 3.5)[0] == pytest.approx(2.0)


@pytest.mark.parametrize("way", [StreamBy.NEAREST, StreamBy.BETWEEN])
def test_a_table_that_lost_its_place_leaves_no_other_to_stand_in_for_it(way: StreamBy) -> None:
    lost = replace(table("west", 6.0, 2.0), lon_deg=NAN)

    assert set(shares(by(worked_example(1), way, lost, table("east", 14.0, 4.0)))) == {()}


def test_a_table_that_somebody_names_needs_no_place() -> None:
    facts = by(worked_example(1), StreamBy.NEAREST, steady("first", 1.0), table("east", 14.0, 4.0))
    segments = (replace(facts.leg.segments[0], stream_by=StreamBy.NAMED), *facts.leg.segments[1:])

    found = shares(leg(facts, segments=segments))

    assert found[0] == (("first", 1.0),)
    assert found[15] == (("east", 1.0),)


def test_without_any_table_nothing_is_known() -> None:
    facts = by(worked_example(1), StreamBy.BETWEEN)

    assert set(shares(facts)) == {()}
    assert list(passage_of(facts).streams) == [None]


def test_tables_of_different_ports_change_each_at_its_own_time() -> None:
    other = replace(
        NARROWS, key="other", lat_deg=LATITUDE, lon_deg=longitude(14.0),
        from_high_water_s=np.array([-6.5, -4.0, 1.0]) * HOUR,
    )  # fmt: skip
    here = replace(NARROWS, lat_deg=LATITUDE, lon_deg=longitude(6.0))
    facts = by(worked_example(1), StreamBy.BETWEEN, here, other)

    passage = passage_of(facts)
    held = passage.streams[passage.stream_of_step[9]]
    alone = passage_of(by(worked_example(1), StreamBy.NEAREST, here)).streams[0]

    assert held is not None
    assert alone is not None
    assert held.changes_at.size > 1.5 * alone.changes_at.size
    offsets = np.diff(held.changes_at)
    assert offsets.min() == pytest.approx(HOUR, abs=1.0)  # from −5.0 to −4.0 h


def test_over_the_date_line_a_table_on_the_other_side_is_near() -> None:
    facts = worked_example(1)
    points = tuple(
        replace(point, lon_deg=(point.lon_deg + 15.0 - 0.5 + 180.0 + 180.0) % 360.0 - 180.0)
        for point in facts.leg.points
    )
    beyond = replace(table("beyond", 0.0, 2.0), lon_deg=-179.9)
    before = replace(table("before", 0.0, 1.0), lon_deg=179.9)
    turned = leg(by(facts, StreamBy.NEAREST, beyond, before), points=points)

    track: Track = passage_of(turned).track
    keys = [one[0][0] if one else "" for one in shares_of_steps(turned, track)]

    middle = (track.node_lon_deg[:-1] % 360.0 + track.node_lon_deg[1:] % 360.0) / 2
    used = {key: middle[[key == one for one in keys]] for key in ("before", "beyond")}
    assert sum(one.size for one in used.values()) >= 20
    assert used["before"].max() < 180.0 < used["beyond"].min()


def test_streams_of_tables_are_kept_by_key_for_gates_on_the_way() -> None:
    facts = worked_example(1)
    passage = passage_of(facts)

    met = streams_met(facts, passage.tides, passage.track, passage.departure_at[0], passage.departure_at[0] + 48 * HOUR)

    assert set(met.by_table) == {"first", "second", "skarn", "fourth", "fifth"}
    skarn = met.by_table["skarn"]
    assert skarn is not None
    assert np.hypot(*skarn.at(passage.departure_at[0])) / KNOT == pytest.approx(4.0, abs=2.6)
