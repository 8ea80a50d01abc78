"""Loading the whole demo in one transaction, and taking it away again."""

from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db import models, transaction

from maintenance.models import Defect, Job, ServiceItem
from readiness.actions.forecast import note_warnings, take_in_forecast
from readiness.actions.verdict import judge_leg
from readiness.management.demo.boat import (
    NAME,
    demo_electrics,
    demo_stores,
    demo_tanks,
    demo_vessel,
    prove_everything,
)
from readiness.management.demo.coast import demo_coast
from readiness.management.demo.leg import demo_leg
from readiness.management.demo.moment import DemoMoment
from readiness.management.demo.people import demo_people
from readiness.management.demo.season import demo_fuel, demo_log, demo_readings, watch_defects
from readiness.management.demo.shore import demo_shore
from readiness.management.demo.weather import demo_forecast, demo_warnings
from readiness.management.demo.work import demo_defects, demo_haul_out, demo_jobs, demo_services
from readiness.models import Decision, Gate, Harbour, Leg, StreamTable, TideStation, Verdict
from readiness.rules.words_of_trade import Confidence
from vessel.models import Converter, ElectricalSource, Equipment, FeedChoice, Load, Vessel

OWNER = "ines"


@dataclass(frozen=True)
class Loaded:
    """What the demo made."""

    vessel: Vessel
    leg: Leg
    verdict: Verdict
    moment: DemoMoment

    def counts(self) -> dict[str, int]:
        """How many of each thing."""
        held: dict[str, models.QuerySet[models.Model]] = {
            "pieces of equipment": Equipment.objects.filter(vessel=self.vessel),
            "services": ServiceItem.objects.filter(vessel=self.vessel),
            "defects": Defect.objects.filter(vessel=self.vessel),
            "jobs": Job.objects.filter(vessel=self.vessel),
            "log lines": self.vessel.log_entries.all(),
            "people": self.vessel.people.all(),
            "harbours": Harbour.objects.filter(vessel=self.vessel),
        }
        return {name: rows.count() for name, rows in held.items()}


def demo_is_there() -> bool:
    """Whether the demo was loaded. One query."""
    return Vessel.objects.filter(name=NAME).exists()


@transaction.atomic
def load_demo(moment: DemoMoment) -> Loaded:
    """Everything, and the first verdict."""
    leg = write_demo(moment)
    return Loaded(leg.vessel, leg, judge_leg(leg_id=leg.pk, at=moment.now, by="demo"), moment)


@transaction.atomic
def write_demo(moment: DemoMoment) -> Leg:
    """Boat, people, work, water and the leg, not judged yet."""
    owner, _ = User.objects.get_or_create(username=OWNER, defaults={"password": "!", "first_name": "Ines"})
    vessel = demo_vessel(owner, moment)
    prove_everything(vessel, owner, moment)
    demo_stores(vessel, owner, moment)
    series = demo_readings(
        vessel, owner, moment, demo_electrics(vessel, owner, moment), *demo_tanks(vessel, owner, moment)
    )
    people = demo_people(vessel, owner, moment)
    defects = demo_defects(vessel, owner, moment)
    watch_defects(defects, series)
    demo_jobs(vessel, owner, moment)
    demo_haul_out(vessel, owner, moment)
    demo_services(vessel, owner, moment)
    demo_log(vessel, owner, moment)
    demo_fuel(vessel, owner, moment)
    coast = demo_coast(vessel, moment, owner, moment.ago(days=100))
    demo_shore(vessel, owner, moment.ago(days=100))
    take_in_forecast(
        vessel=vessel, forecast=demo_forecast(moment), by=owner, at=moment.now, confidence=Confidence.NORMAL
    )
    note_warnings(vessel=vessel, read=demo_warnings(moment), by=owner, at=moment.now)
    return demo_leg(vessel, coast, people, owner, moment)


@transaction.atomic
def take_demo_away() -> None:
    """The demo's vessel with everything of hers; only her history stays, which nobody can delete."""
    vessels = Vessel.objects.filter(name=NAME)
    Decision.objects.filter(verdict__leg__vessel__in=vessels).delete()
    for kind in (Leg, Gate, Harbour, StreamTable):
        models.QuerySet(kind).filter(vessel__in=vessels).delete()
    TideStation.objects.filter(vessel__in=vessels, reference__isnull=False).delete()
    TideStation.objects.filter(vessel__in=vessels).delete()
    for other in (Load, Converter, ElectricalSource, Job, Defect):
        models.QuerySet(other).filter(vessel__in=vessels).delete()
    FeedChoice.objects.filter(equipment__vessel__in=vessels).delete()
    vessels.delete()
