"""The leg of the demo: Ostrel Haven to Morrowick Basin, planned for tomorrow morning."""

import numpy as np

from readiness.actions.leg import note_keeper, plan_leg
from readiness.management.demo.coast import REFUGES, Coast, place_at
from readiness.management.demo.moment import DemoMoment
from readiness.models import Leg
from readiness.queries.coastline import coast_near
from vessel.actions.author import By
from vessel.models import Person, Vessel
from vessel.units import KNOT

# name, mile, charted depth, tide station, gate
POINTS = (
    ("Ostrel Haven", 0, 2.2, "ostrel", None),
    ("Brannowmouth, off", 14, 9.0, "ostrel", None),
    ("Skarn Narrows, in", 23, 14.0, "ostrel", "skarn-narrows"),
    ("Hallorn Pool, off", 29, 10.0, "ostrel", None),
    ("Thole Bight, off", 40, 8.0, "ostrel", None),
    ("Morrowick lock", 48, 2.8, "morrowick", "morrowick-lock"),
)
STREAMS = ("ostrel-bay", "brannow-flats", "skarn", "hallorn-reach", "thole-shore")


def demo_leg(vessel: Vessel, coast: Coast, people: dict[str, Person], owner: By, moment: DemoMoment) -> Leg:
    """The leg with its way, refuges, crew, shore contact and the keeper's promise."""
    places = [place_at(mile) for _, mile, _, _, _ in POINTS]
    shores = coast_near(vessel.pk, *np.array(places).T).shores_along(places, [False] * len(STREAMS))
    leg = plan_leg(
        vessel=vessel,
        name="Ostrel Haven to Morrowick Basin",
        by=owner,
        at=moment.ago(hours=20),
        planned_at=moment.planned,
        departure=coast.harbours["ostrel-haven"],
        arrival=coast.harbours["morrowick-basin"],
        speed_mps=7.0 * KNOT,
        running_on_s=0.0,
        watch_plan_counts_autopilot=False,
        contact_name="Ruan Ash",
        contact_details="at home, by telephone",
        contact_told_at=moment.ago(hours=3),
        contact_acknowledged=True,
        overdue_at=moment.after_departure(hours=9.5),
        points=[
            {
                "name": name, "lat_deg": lat_deg, "lon_deg": lon_deg, "charted_m": charted_m, "depth_matters": True,
                "tide_station": coast.stations[station], "gate": coast.gates[gate] if gate else None,
            }
            for (name, _, charted_m, station, gate), (lat_deg, lon_deg) in zip(POINTS, places, strict=True)
        ],
        segments=[
            {
                "exposed": True, "crosses_bar": False, "stream_table": coast.streams[key], "shore_m": shore_m,
                "shore_to_deg": shore_to_deg,
            }
            for key, (shore_m, shore_to_deg) in zip(STREAMS, shores, strict=True)
        ],
        refuges=[coast.harbours[key] for key in REFUGES],
        crew=[people[name] for name in ("Ines", "Tam", "Odile")],
    )  # fmt: skip
    note_keeper(
        leg_id=leg.pk, gate=coast.gates["morrowick-lock"], confirmed=True, keeper="Wat Sorrel", by=owner,
        at=moment.ago(hours=2),
    )  # fmt: skip
    return leg
