from readiness.models.coastline import Coastline, LandPolygon
from readiness.models.condition import ConditionMet
from readiness.models.decision import Decision, DecisionWord
from readiness.models.forecast import Forecast
from readiness.models.forecast_feed import FeedKind, ForecastFeed
from readiness.models.gate import Gate
from readiness.models.harbour import Harbour, ShelterSector
from readiness.models.leg import KeeperPromise, Leg, LegCrew, LegPoint, LegSegment, LegStatus, PositionReport
from readiness.models.limits import LimitSet
from readiness.models.tidal_stream import StreamRow, StreamTable
from readiness.models.tide_station import TideEvent, TideStation, TideStationKind
from readiness.models.verdict import OutlookWord, Verdict, VerdictWord
from readiness.models.waiver import Waiver
from readiness.models.warning import WarningLook

__all__ = [
    "Coastline",
    "ConditionMet",
    "Decision",
    "DecisionWord",
    "FeedKind",
    "Forecast",
    "ForecastFeed",
    "Gate",
    "Harbour",
    "KeeperPromise",
    "LandPolygon",
    "Leg",
    "LegCrew",
    "LegPoint",
    "LegSegment",
    "LegStatus",
    "LimitSet",
    "OutlookWord",
    "PositionReport",
    "ShelterSector",
    "StreamRow",
    "StreamTable",
    "TideEvent",
    "TideStation",
    "TideStationKind",
    "Verdict",
    "VerdictWord",
    "Waiver",
    "WarningLook",
]
