"""*Tallow Wren*: particulars, starting list, proofs, electrics, tanks, safety equipment, stock and papers."""

from calendar import monthrange
from datetime import date, timedelta
from typing import Any

from django.contrib.auth.models import User

from maintenance.actions.template import load_template
from maintenance.models import Spare
from readiness.management.demo.lists import lines_of, number_in
from readiness.management.demo.moment import ZONE, DemoMoment
from vessel.actions.author import By
from vessel.actions.history import record
from vessel.actions.particulars import write_down
from vessel.actions.vessel import register_vessel
from vessel.models import (
    Consumable,
    Converter,
    ElectricalSource,
    Equipment,
    Load,
    Paper,
    Proof,
    SafetyEquipment,
    SeaSpeed,
    SpeedPoint,
    Sump,
    Tank,
    Vessel,
)
from vessel.units import KNOT

NAME = "Tallow Wren"
OLDEST_PROOF = 0.4  # every proof has this share of its time behind it at most, so that none runs out during the demo
AUTHOR = "demo"


def demo_vessel(owner: User, moment: DemoMoment) -> Vessel:
    """The vessel with her particulars and her starting list."""
    at = moment.ago(days=200)
    vessel = register_vessel(
        owner=owner, at=at, name=NAME, builders_number="17", built_year=1974, home_port="Ostrel Haven", home_zone=ZONE,
        currency="EUR", hull_material="steel", loa_m=12.2, lwl_m=11.4, beam_m=3.7, draught_m=1.25, air_draught_m=5.1,
        air_draught_folded_m=3.6, displacement_t=13.0, max_persons=8, min_crew=2, cruise_rpm=1800,
        coolant_book_c=82.0, next_haul_out_on=moment.today + timedelta(days=75),
    )  # fmt: skip
    for rpm, knots, burn in ((1500, 6.0, 5.2), (1800, 7.0, 9.0), (2200, 7.8, 16.0)):
        write_down(
            SpeedPoint, vessel=vessel, by=owner, at=at, rpm=rpm, speed_mps=knots * KNOT, burn_l_per_h=burn,
            note="Calm water, clean bottom",
        )  # fmt: skip
    for height_m, ahead, abeam, astern in ((0.5, 0.98, 0.99, 1.0), (1.0, 0.90, 0.96, 1.0), (2.0, 0.68, 0.82, 0.95)):
        write_down(SeaSpeed, vessel=vessel, by=owner, at=at, height_m=height_m, ahead=ahead, abeam=abeam, astern=astern)
    load_template(vessel=vessel, by=owner, at=at)
    return vessel


def prove_everything(vessel: Vessel, owner: By, moment: DemoMoment) -> None:
    """Every item proved within its time, as after a season's start; the AIS is not carried until it is fitted."""
    items = list(Equipment.objects.filter(vessel=vessel))
    Equipment.objects.filter(vessel=vessel, code="NV-08").update(carried=False)
    Proof.objects.bulk_create(
        Proof(
            equipment=item,
            at=moment.ago(days=min(OLDEST_PROOF * (item.keep_days or 400), 60) * (0.3 + 0.7 * (place % 7) / 6)),
            text=item.typical_proof or "Tried",
            where=item.proof_where,
            by=AUTHOR,
        )
        for place, item in enumerate(items)
        if item.code != "NV-08"
    )
    what = f"{len(items) - 1} items were proved."
    record(vessel=vessel, what=what, by=owner, at=moment.ago(days=5), noun="vessel", noun_key=vessel.name)


def demo_electrics(vessel: Vessel, owner: By, moment: DemoMoment) -> dict[str, ElectricalSource]:
    """Crank battery, ship's bank, two converters and the loads on them."""
    items = {item.code: item for item in Equipment.objects.filter(vessel=vessel)}
    same: dict[str, Any] = {"vessel": vessel, "by": owner, "at": moment.ago(days=190)}
    crank = write_down(
        ElectricalSource, name="Crank battery", kind="crank", equipment=items["EL-01"], capacity_ah=110.0,
        nominal_v=24.0, chemistry="lead-acid", charger_a=8.0, **same,
    )  # fmt: skip
    ship = write_down(
        ElectricalSource, name="Ship's bank", kind="ship", equipment=items["EL-05"], capacity_ah=230.0,
        nominal_v=24.0, chemistry="lead-acid", charger_a=30.0, **same,
    )  # fmt: skip
    converters = {
        code: write_down(
            Converter, name=name, equipment=items[code], source=ship, output_v=12.0, rating_a=rating,
            peak_a=1.2 * rating, efficiency=0.88, **same,
        )
        for code, name, rating in (("EL-08", "Converter A, navigation", 20.0), ("EL-09", "Converter B, domestic", 15.0))
    }  # fmt: skip
    for name, running_a, essential, converter in (
        ("Position display and sounder", 2.0, True, "EL-08"), ("VHF", 0.8, True, "EL-08"),
        ("Navigation lights", 1.7, True, None), ("Cabin lights", 1.2, False, "EL-09"),
        ("Refrigerator", 2.6, False, None), ("Extraction fan", 1.5, True, None),
    ):  # fmt: skip
        feed = {"converter": converters[converter]} if converter else {"source": ship}
        write_down(Load, name=name, running_a=running_a, essential=essential, **feed, **same)
    return {"crank": crank, "ship": ship}


def demo_tanks(vessel: Vessel, owner: By, moment: DemoMoment) -> tuple[Tank, Sump]:
    """The fuel tank, dipped, and the engine's sump."""
    items = {item.code: item for item in Equipment.objects.filter(vessel=vessel, code__in=["EN-02", "EN-09"])}
    same: dict[str, Any] = {"vessel": vessel, "by": owner, "at": moment.ago(days=190)}
    tank = write_down(
        Tank, name="Main tank", kind="fuel", equipment=items["EN-02"], gauge="dip", capacity_l=450.0, unusable_l=25.0,
        **same,
    )  # fmt: skip
    sump = write_down(Sump, consumable=Consumable.ENGINE_OIL, equipment=items["EN-09"], above_min_l=2.0, **same)
    return tank, sump


def demo_stores(vessel: Vessel, owner: By, moment: DemoMoment) -> None:
    """Safety equipment with its dates, the stock, and the papers."""
    items = {item.code: item for item in Equipment.objects.filter(vessel=vessel)}
    same: dict[str, Any] = {"vessel": vessel, "by": owner, "at": moment.ago(days=180)}
    for line in lines_of("safety_equipment"):
        registered = number_in(line["registered_days_ago"])
        write_down(
            SafetyEquipment, kind=line["kind"], name=line["name"], equipment=items[line["equipment"]],
            size=line["size"] or None, count=int(line["count"]), where_stowed=line["where_stowed"],
            capacity=int(line["capacity"]) if line["capacity"] else None,
            valid_until=months_after(moment.today, int(line["months_left"])), valid_until_precision="month",
            registered_on=moment.today - timedelta(days=registered) if registered else None,
            registered_to_owner=True if registered else None, **same,
        )  # fmt: skip
    for line in lines_of("spares"):
        write_down(
            Spare, part=line["part"], quantity=float(line["quantity"]), unit=line["unit"],
            where_stowed=line["where_stowed"], keep_min=float(line["keep_min"]), counted_at=moment.ago(days=9),
            consumable=line["consumable"] or None, **same,
        )  # fmt: skip
    _papers(moment, same)


def _papers(moment: DemoMoment, same: dict[str, Any]) -> None:
    starts, ends = moment.today - timedelta(days=120), moment.today + timedelta(days=245)
    write_down(
        Paper, kind="policy", name="Hull and liability", valid_from=starts, valid_until=ends,
        valid_until_precision="day", area={"south_deg": 45.0, "north_deg": 48.0, "west_deg": -17.0, "east_deg": -12.0},
        area_text="The Ostrel coast", night_covered=True, single_handed_covered=False,
        conditions=[{"text": "Ashore for a survey at the next haul-out", "due_on": ends.isoformat(), "met": None}],
        **same,
    )  # fmt: skip
    for kind, name, days in (
        ("registration", "Certificate of registry", 900), ("radio_licence", "Ship radio licence", 400),
        ("operators_certificate", "Short range certificate", 5000), ("harbour_dues", "Berth at Ostrel Haven", 120),
    ):  # fmt: skip
        write_down(
            Paper, kind=kind, name=name, valid_from=starts, valid_until=moment.today + timedelta(days=days),
            valid_until_precision="day", **same,
        )  # fmt: skip


def months_after(day: date, months: int) -> date:
    """The last day of the month so many months after a day."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, monthrange(year, month + 1)[1])
