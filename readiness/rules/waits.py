"""Where she would have to wait for a gate, how long, and what it costs."""

from dataclasses import dataclass, replace

import numpy as np

from readiness.calc.sweep import sweep
from readiness.calc.track import Track
from readiness.calc.window import Windows, inside, known, last_closing_in, next_opening
from readiness.rules.facts import Facts
from readiness.rules.facts_water import Gate, Place
from readiness.rules.gate_times import gate_calls
from readiness.rules.gates import never_opens
from readiness.rules.passage import Passage
from readiness.rules.record import NOT_KNOWN, Array
from readiness.rules.telling import arrival_zone, day_in, zone_or_none
from readiness.rules.way_out import passes, place_of, why_not_there
from vessel.calc.wording import duration, number
from vessel.units import HOUR, Flags

LONGEST_WAIT_S = 3 * HOUR  # a wait place helps where the gate opens again so soon [practice]
LOOKS = (0.0, 0.5, 1.0)  # moments of the wait at which the place is asked whether it takes her


@dataclass(frozen=True)
class Wait:
    """One wait for one gate; `price` in the money the skipper counts in, NaN not known; `arrives_at` at the last point.

    Berth for each midnight of the place's own clock is a night. What her people cost meanwhile is not counted.
    """

    gate: str
    gate_name: str
    place_name: str
    zone: str
    from_at: float
    to_at: float
    nights: int
    price: float
    currency: str
    arrives_at: float

    @property
    def lasts_s(self) -> float:
        """How long."""
        return self.to_at - self.from_at

    @property
    def cost(self) -> str:
        """What it costs, in words."""
        if not self.nights:
            return "no night to pay"
        nights = "one night" if self.nights == 1 else f"{self.nights} nights"
        money = f"{self.currency} {number(self.price, 2)}".strip()
        return f"{nights}, {money if np.isfinite(self.price) else 'price not known'}"


def can_wait(facts: Facts, passage: Passage, gate: Gate | None, windows: Windows, at: Array) -> Flags:
    """Whether the gate's wait place takes her all the while until the gate opens again, soon enough; [departure]."""
    place = place_of(facts, gate.wait_place if gate is not None else None)
    if place is None:
        return np.zeros(at.shape, np.bool_)
    opens = np.asarray(next_opening(windows, at))
    good = np.asarray(opens - at <= LONGEST_WAIT_S)
    for share in LOOKS if good.any() else ():
        good = good & passes(facts, passage, place, at + share * (opens - at))
    return good


def why_no_wait(facts: Facts, passage: Passage, gate: Gate, windows: Windows, at: Array, index: int) -> str:
    """Why waiting does not help at one departure, in a sentence; "" where no place to wait is named."""
    place = place_of(facts, gate.wait_place)
    if place is None:
        return ""
    opens = np.asarray(next_opening(windows, at))
    lasts = float(opens[index] - at[index])
    moments = (at + share * (opens - at) for share in LOOKS) if lasts <= LONGEST_WAIT_S else (at,)
    reasons = (why_not_there(facts, passage, place, moment, index) for moment in moments)
    too_long = f"Too long to wait for at {place.name}: {duration(lasts)}." if lasts > LONGEST_WAIT_S else ""
    return next((reason for reason in reasons if reason), too_long)


def waits(facts: Facts, passage: Passage, index: int) -> tuple[Wait, ...]:
    """Every wait of one departure by plan, in order, each with those before it counted in; none after a gate at which
    nobody can say how she gets through, and then no arrival.
    """
    node_at, found, through = passage.plan.node_at[index], list[Wait](), True
    for call in sorted(gate_calls(facts, passage), key=lambda call: call.node):
        windows, at = passage.windows.get(call.key), node_at[[call.node]]
        if call.gate is not None and never_opens(call.gate):
            continue
        if call.gate is None or windows is None or not known(windows, at)[0] or np.isnan(call.gate.last_entry_s):
            through = False
            break
        if inside(windows, at)[0] and at[0] < np.asarray(last_closing_in(windows, at))[0] - call.gate.last_entry_s:
            continue
        place = place_of(facts, call.gate.wait_place)
        every = np.where(np.arange(passage.departures) == index, at, np.nan)
        if place is None or not can_wait(facts, passage, call.gate, windows, every)[index]:
            through = False
            break
        opens = float(np.asarray(next_opening(windows, at))[0])
        node_at = _onward(facts, passage, index, node_at, call.node, opens)
        found.append(_wait(facts, call.gate, place, float(at[0]), opens))
    return tuple(replace(wait, arrives_at=float(node_at[-1]) if through else NOT_KNOWN) for wait in found)


def _onward(facts: Facts, passage: Passage, index: int, node_at: Array, node: int, leaves_at: float) -> Array:
    """Her times if she leaves a node at another time, by plan; the sea slows her as it did when she was in time."""
    track = passage.track
    rest = Track(
        track.node_lat_deg[node:],
        track.node_lon_deg[node:],
        track.node_along_m[node:],
        track.step_m[node:],
        track.step_course_deg[node:],
        track.segment[node:],
    )
    if not rest.step_m.size:
        return np.append(node_at[:node], leaves_at)
    run = sweep(
        rest,
        np.array([leaves_at]),
        facts.leg.speed_mps * passage.sea_share[index, node:],
        passage.streams,
        passage.stream_of_step[node:],
        speed_factor=1.0,
        fair_factor=1.0,
        foul_factor=1.0,
        slip_s=0.0,
    )
    return np.concatenate([node_at[:node], run.node_at[0]])


def _wait(facts: Facts, gate: Gate, place: Place, from_at: float, to_at: float) -> Wait:
    zone = place.zone if zone_or_none(place.zone) else arrival_zone(facts)
    first, last = day_in(from_at, zone), day_in(to_at, zone)
    nights = (last - first).days if first is not None and last is not None else 0
    return Wait(
        gate=gate.key,
        gate_name=gate.name,
        place_name=place.name,
        zone=zone,
        from_at=from_at,
        to_at=to_at,
        nights=nights,
        price=nights * place.night_price if nights else 0.0,
        currency=facts.boat.vessel.currency or "",
        arrives_at=NOT_KNOWN,
    )
