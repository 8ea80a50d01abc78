"""Facts of the boat: proofs, readings, stock, loads and dates as the rules may count on them."""

from datetime import date

import numpy as np
import pytest

from maintenance.models import ServiceItem
from readiness.models import LimitSet
from readiness.rules.words_of_trade import Kind
from tests.factories.readiness import again, stored
from tests.factories.worked_example import worked_example
from vessel.models import ElectricalSource, Equipment, Proof, Reading, SafetyEquipment

pytestmark = pytest.mark.django_db


def test_a_newest_proof_that_failed_is_no_proof() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    tiller = Equipment.objects.get(code="ST-04")
    Proof.objects.create(equipment=tiller, at=put_in.judged_at, passed=False, text="Jammed", by="owner-000001")

    facts = again(leg, put_in)

    assert {item.code: item.proved_at for item in facts.boat.equipment}["ST-04"] is None


def test_a_reading_struck_out_counts_no_more() -> None:
    put_in = worked_example()
    leg = stored(put_in, pasts=1)
    newest = Reading.objects.filter(series__kind="tank_level").latest("at")
    newest.struck_at, newest.struck_by = put_in.judged_at, "owner-000001"
    newest.save()

    facts = again(leg, put_in)

    assert facts.boat.fuel[0].reading_l.value == newest.value - 1


def test_equipment_taken_off_the_boat_is_not_among_the_facts() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    Equipment.objects.filter(code="ST-04").update(removed_on=date(2027, 5, 15))

    facts = again(leg, put_in)

    assert "ST-04" not in {item.code for item in facts.boat.equipment}


def test_a_reading_the_engine_outran_keeps_for_no_time() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    level = Reading.objects.get(series__kind="tank_level")
    level.engine_hours = 4100.0
    level.save()
    level.series.keeps_engine_hours = 50.0
    level.series.save()

    facts = again(leg, put_in)

    assert facts.boat.fuel[0].reading_l.keeps_s == 0.0


def test_a_spare_never_counted_leaves_what_is_carried_not_known() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    leg.vessel.spares.create(part="More oil", consumable="engine_oil", unit="l", quantity=None)

    facts = again(leg, put_in)

    assert np.isnan(facts.boat.consumables[0].carried_l)


def test_a_load_on_the_crank_battery_is_no_load_of_the_ship_and_left_on_it_is_a_discharge() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    crank = ElectricalSource.objects.get(kind="crank")
    crank.loads.create(vessel=leg.vessel, name="Chart light", running_a=0.5, left_on_since=put_in.judged_at)

    boat = again(leg, put_in).boat

    assert "Chart light" not in {load.name for load in boat.loads}
    assert boat.crank is not None
    assert boat.crank.discharged_at == (put_in.judged_at,)


def test_a_date_with_only_a_month_runs_to_its_last_day() -> None:
    put_in = worked_example()
    leg = stored(put_in)
    SafetyEquipment.objects.filter(kind="lifejacket").update(
        valid_until=date(2027, 2, 1), valid_until_precision="month"
    )

    assert again(leg, put_in).boat.lifejackets[0].good_through == date(2027, 2, 28)


def test_every_kind_of_equipment_in_the_database_is_a_kind_the_rules_know() -> None:
    assert {word for word, _ in Equipment._meta.get_field("kind").choices or ()} == {kind.value for kind in Kind}


@pytest.mark.parametrize(("stated_pct", "tolerance"), [(None, 0.2), (0.0, 0.0), (5.0, 0.05)])
def test_a_service_without_a_tolerance_of_its_own_takes_the_skippers_limit(
    stated_pct: float | None, tolerance: float
) -> None:
    put_in = worked_example()
    leg = stored(put_in)
    ServiceItem.objects.filter(vessel=leg.vessel, code="SV-01").update(tolerance_pct=stated_pct)
    LimitSet.objects.create(
        vessel=leg.vessel, number=2, values={"service_tolerance": 0.2}, set_at=put_in.judged_at, by="owner-000001"
    )

    services = again(leg, put_in).boat.services or ()

    assert [service.tolerance for service in services if service.key == "SV-01"] == [tolerance]
