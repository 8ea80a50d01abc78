"""Worse days than the worked example: each is bad in a way that damage to the document must not hide."""

from collections.abc import Callable
from datetime import date, timedelta

import numpy as np
from msgspec.structs import replace

from readiness.rules.facts import Facts, changed
from readiness.rules.facts_boat import SeaSpeed
from readiness.rules.facts_people import Clause
from readiness.rules.facts_water import WeatherWarning
from readiness.rules.words_of_trade import Effect, JobStatus, Opens, WarningKind
from tests.factories.worked_example import JUDGED_AT
from tests.readiness.rules.alter import (
    boat,
    forecast,
    fuel,
    gate,
    leg,
    limits,
    person,
    place,
    vessel,
    waived,
    water,
    without,
)
from tests.readiness.rules.full_day import fuel_runs, full_day
from vessel.units import HOUR, KNOT, NAUTICAL_MILE


def _disabled(facts: Facts) -> Facts:
    defects = facts.boat.defects or ()
    return boat(facts, defects=(*defects[:1], replace(defects[1], effect=Effect.DISABLES), *defects[2:]))


def _gate_shut(facts: Facts) -> Facts:
    hours = {"keeps_hours": True, "opens_local_s": 8 * HOUR, "closes_local_s": 12 * HOUR}
    return gate(facts, "morrowick-lock", **hours)


def _many_aboard(facts: Facts) -> Facts:
    more = tuple(replace(facts.people[2], name=f"Guest {number}") for number in range(6))
    return changed(facts, people=(*facts.people, *more))


def _move_with_one_who_cancelled(facts: Facts) -> Facts:
    return leg(person(without(facts, "Odile"), "Tam", confirmed=False), harbour_move=True)


def _crowded_move(facts: Facts) -> Facts:
    return leg(_many_aboard(facts), harbour_move=True)


def _two_policies(facts: Facts) -> Facts:
    assert facts.policies is not None
    second = replace(facts.policies[0], name="Survey", clauses=(
        Clause(text="Survey", due_on=date(2027, 5, 1), met=False), Clause(text="Gas", due_on=date(2027, 5, 2), met=True),
    ))  # fmt: skip
    third = replace(second, name="Laid up", months=(1, 2, 3), clauses=())
    return changed(facts, policies=(*facts.policies, second, third))


def _opened_up(facts: Facts) -> Facts:
    jobs = facts.boat.jobs or ()
    work = replace(jobs[0], status=JobStatus.IN_HAND, opens=(Opens.SEA_VALVE, Opens.HULL), opens_equipment="EN-09")
    return boat(facts, jobs=(work, *jobs[1:]))


def _discharged(facts: Facts) -> Facts:
    crank = facts.boat.crank
    assert crank is not None
    return boat(facts, crank=replace(crank, discharged_at=(JUDGED_AT - timedelta(hours=3),)))


def _train(facts: Facts) -> Facts:
    return person(facts, "Odile", free_to_stay=False, must_leave_at=JUDGED_AT + timedelta(hours=5))


def _lock_to_leave_by(facts: Facts) -> Facts:
    shut = gate(facts, "hallorn-sill", place="ostrel", level_m=3.5, wait_place=None)
    return place(place(shut, "ostrel", gates=("hallorn-sill",)), "hallorn", gates=())


def _strict(facts: Facts) -> Facts:
    return limits(facts, under_keel_m=1.0, height_doubt_m=0.5, fuel_ok=2.0, mean_wind_no_go_mps=20 * KNOT,
                  mean_wind_condition_mps=15 * KNOT, sea_no_go_loa=0.14, steepness_condition=0.04)  # fmt: skip


def _night_strange(facts: Facts) -> Facts:
    return place(facts, "morrowick", familiar=False, lit=False)


def _windy_but_waived(facts: Facts) -> Facts:
    windy = forecast(facts, wind_east_mps=30 * KNOT)
    return waived(windy, "mean_wind", "wind:", 29 * KNOT, 30.5 * KNOT)


def _lapsed_waiver(facts: Facts) -> Facts:
    windy = forecast(facts, wind_east_mps=32 * KNOT)
    return waived(windy, "mean_wind", "wind:", 28 * KNOT, 30.8 * KNOT)


def _shallow(facts: Facts) -> Facts:
    points = facts.leg.points
    return leg(facts, points=(*points[:2], replace(points[2], charted_m=-1.5), *points[3:]))


def _low_and_gusty(facts: Facts) -> Facts:
    return forecast(facts, wave_height_m=2.6, gust_mps=40 * KNOT, pressure_hpa=1045.0)


def _warned(facts: Facts) -> Facts:
    look = facts.water.warnings
    assert look is not None
    until = JUDGED_AT + timedelta(hours=30)
    items = tuple(
        WeatherWarning(kind=kind, area="Skarn", start=JUDGED_AT, end=until, text="")
        for kind in (WarningKind.GALE, WarningKind.THUNDER)
    )
    return water(facts, warnings=replace(look, items=items))


def _doubtful_lee(facts: Facts) -> Facts:
    segments = tuple(replace(one, shore_m=NAUTICAL_MILE, shore_to_deg=90.0) for one in facts.leg.segments)
    windy = forecast(leg(facts, segments=segments), wind_east_mps=20 * KNOT)
    weep, *others = windy.boat.defects or ()
    return boat(windy, defects=(replace(weep, effect=Effect.DEGRADES, equipment="EN-06"), *others))


def _stacked(facts: Facts) -> Facts:
    return forecast(place(facts, "morrowick", familiar=False), wind_east_mps=18 * KNOT, visibility_m=3000.0)


def _gale_later(facts: Facts) -> Facts:
    held = facts.water.forecast
    assert held is not None
    east = held.wind_east_mps.copy()
    east[12:] = 30 * KNOT
    return forecast(facts, wind_east_mps=east)


def _on_the_beam(facts: Facts) -> Facts:
    return forecast(facts, wave_from_east=0.0, wave_from_north=-1.0, wave_height_m=2.0)


def _thirsty(facts: Facts) -> Facts:
    return fuel(boat(full_day(facts), fuel_runs=fuel_runs(1.0, 1.4, 1.5, 1.6)), 140.0)


def _slow_in_a_sea(facts: Facts) -> Facts:
    kept = SeaSpeed(height_m=0.5, ahead=0.5, abeam=0.55, astern=0.6)
    return vessel(full_day(facts), sea_speeds=(kept, replace(kept, height_m=1.0, astern=0.5)))


def _foul(facts: Facts) -> Facts:
    full = full_day(facts)
    against = {"set_deg": np.array([270.0]), "rate_neaps_mps": np.array([5.5 * KNOT])}
    against |= {"rate_springs_mps": against["rate_neaps_mps"]}
    return water(full, streams=tuple(replace(one, **against) if one.steady else one for one in full.water.streams))


def _past_its_end(facts: Facts) -> Facts:
    full = full_day(facts)
    ended = JUDGED_AT + timedelta(hours=4)
    return water(full, stations=tuple(replace(one, valid_to=ended) for one in full.water.stations))


def _blown_on_the_bar(facts: Facts) -> Facts:
    return forecast(gate(full_day(facts), "thole-bar", most_sea_m=0.8), wave_height_m=1.2)


WORSE: dict[str, Callable[[Facts], Facts]] = {
    "emergency tiller disabled": _disabled,
    "lock shut": _gate_shut,
    "a gale": lambda facts: forecast(facts, wind_east_mps=35 * KNOT),
    "high sea": _low_and_gusty,
    "nine aboard": _many_aboard,
    "crowded move": _crowded_move,
    "four jackets for five": lambda facts: boat(
        changed(facts, people=_many_aboard(facts).people[:5]),
        lifejackets=(replace(facts.boat.lifejackets[0], count=4),),
    ),
    "a move and one cancelled": _move_with_one_who_cancelled,
    "policies that do not cover": _two_policies,
    "opened up": _opened_up,
    "discharged": _discharged,
    "a train to catch": _train,
    "shut in": _lock_to_leave_by,
    "strict limits": _strict,
    "strange and dark": _night_strange,
    "waived": _windy_but_waived,
    "waiver lapsed": _lapsed_waiver,
    "shallow": _shallow,
    "little fuel": lambda facts: fuel(facts, 90.0),
    "Tam cancelled": lambda facts: person(facts, "Tam", confirmed=False),
    "warned": _warned,
    "doubtful engine on a lee shore": _doubtful_lee,
    "stacked arrival": _stacked,
    "a gale after arrival": _gale_later,
    "sea on the beam": _on_the_beam,
    "fog": lambda facts: forecast(facts, visibility_m=500.0),
    "everything at once": full_day,
    "thirstier than her table": _thirsty,
    "slow in a sea": _slow_in_a_sea,
    "a foul stream by the tables' places": _foul,
    "tables past their end": _past_its_end,
    "a sea on the bar": _blown_on_the_bar,
    "a low bridge": lambda facts: gate(full_day(facts), "hallorn-bridge", level_m=1.0),
    "narrows running hard": lambda facts: gate(full_day(facts), "skarn-narrows", most_rate_mps=1.0 * KNOT),
    "a high lock sill": lambda facts: gate(full_day(facts), "morrowick-lock", level_m=3.0),
    "old forecast": lambda facts: forecast(facts, issued_at=JUDGED_AT - timedelta(days=2)),
}
