from vessel.models.attachment import Attachment
from vessel.models.due_work import DueWork
from vessel.models.electrics import Chemistry, Converter, ElectricalSource, Load, SourceKind
from vessel.models.equipment import Equipment, FeedChoice, Proof, ProofPlace
from vessel.models.equipment_kind import EquipmentKind, Subject
from vessel.models.fuel_use import FuelUse
from vessel.models.function import Function
from vessel.models.history import HistoryEntry, HistoryPrivate, Pseudonym
from vessel.models.log_entry import PRIVATE_KINDS, LogEntry, LogKind
from vessel.models.membership import Membership, Role
from vessel.models.paper import Paper, PaperKind
from vessel.models.person import Answer, Availability, Fitness, Person, Rest
from vessel.models.precision import DatePrecision
from vessel.models.safety_equipment import JacketSize, SafetyEquipment, SafetyKind
from vessel.models.series import HowTaken, LimitOutcome, LimitSide, Reading, Series, SeriesKind
from vessel.models.setup_code import SetupCode
from vessel.models.tank import Consumable, GaugeKind, Sump, Tank, TankKind
from vessel.models.token import ApiToken, GivenAnswer, Scope
from vessel.models.vessel import Chart, HullMaterial, SeaSpeed, SpeedPoint, Vessel

__all__ = [
    "PRIVATE_KINDS",
    "Answer",
    "ApiToken",
    "Attachment",
    "Availability",
    "Chart",
    "Chemistry",
    "Consumable",
    "Converter",
    "DatePrecision",
    "DueWork",
    "ElectricalSource",
    "Equipment",
    "EquipmentKind",
    "FeedChoice",
    "Fitness",
    "FuelUse",
    "Function",
    "GaugeKind",
    "GivenAnswer",
    "HistoryEntry",
    "HistoryPrivate",
    "HowTaken",
    "HullMaterial",
    "JacketSize",
    "LimitOutcome",
    "LimitSide",
    "Load",
    "LogEntry",
    "LogKind",
    "Membership",
    "Paper",
    "PaperKind",
    "Person",
    "Proof",
    "ProofPlace",
    "Pseudonym",
    "Reading",
    "Rest",
    "Role",
    "SafetyEquipment",
    "SafetyKind",
    "Scope",
    "SeaSpeed",
    "Series",
    "SeriesKind",
    "SetupCode",
    "SourceKind",
    "SpeedPoint",
    "Subject",
    "Sump",
    "Tank",
    "TankKind",
    "Vessel",
]
