"""The closed lists of words that facts use. Each is shared with the database's choices."""

from enum import StrEnum


class How(StrEnum):
    MEASURED = "measured"
    READ_OFF = "read off"
    TOLD = "told"
    ASSUMED = "assumed"


class Effect(StrEnum):
    NONE = "none"
    DEGRADES = "degrades"
    DISABLES = "disables"


class JobStatus(StrEnum):
    IDEA = "idea"
    PLANNED = "planned"
    PARTS_WAITING = "parts waiting"
    READY = "ready"
    IN_HAND = "in hand"
    DONE_UNTESTED = "done but not tested"
    PROVED = "proved"
    DROPPED = "dropped"


class Opens(StrEnum):
    HULL = "hull"
    SEA_VALVE = "sea valve"
    OPENING = "hatch, door or window"
    GAS = "gas line"
    FUEL = "fuel line"
    GUARD = "guard"
    WIRING = "wiring"


class TestPlace(StrEnum):
    ALONGSIDE = "alongside"
    AT_SEA = "at sea"


class Skill(StrEnum):
    HELM = "helm"
    NIGHT = "night"
    WATCH_LEADER = "watch leader"
    LINES = "lines"
    ENGINE = "engine"
    RADIO = "radio"
    FIRST_AID = "first aid"


class DueBy(StrEnum):
    HOURS = "engine hours"
    MONTHS = "months"
    BOTH = "engine hours or months"
    CONDITION = "condition"


class GaugeKind(StrEnum):
    DIP = "dip"
    SIGHT = "sight glass"
    GAUGE = "gauge"


class GateKind(StrEnum):
    LOCK = "lock"
    SILL = "sill"
    BAR = "bar"
    BRIDGE = "bridge"
    NARROWS = "narrows"


class StationKind(StrEnum):
    HARMONIC = "harmonic constants"
    TABLE = "printed table"


class TrackKind(StrEnum):
    RHUMB = "rhumb line"
    GEODESIC = "geodesic"


class StreamBy(StrEnum):
    """How a segment finds its stream among the tables."""

    NAMED = "named table"
    NEAREST = "nearest table"
    BETWEEN = "between tables"


class LandOnWay(StrEnum):
    """What the coastline says of a segment; a coastline is not a chart."""

    CLEAR = "clear"
    CROSSED = "crossed"
    AT_AN_END = "at an end"  # only so near to where the leg begins or ends that a coastline is too coarse to tell
    NOT_LOOKED = "not looked"


class WarningKind(StrEnum):
    GALE = "gale or worse"
    STRONG_WIND = "strong wind"
    THUNDER = "thunder"
    OTHER = "other"


class Confidence(StrEnum):
    NORMAL = "normal"
    LOW = "low"


class Chemistry(StrEnum):
    LEAD_ACID = "lead-acid"
    LITHIUM = "lithium"


class Kind(StrEnum):
    """What a piece of equipment is, where a rule must find it whatever its code."""

    HULL = "hull"
    OPENING = "opening"
    SEA_VALVE = "sea valve"
    GLAND = "gland"
    BILGE_PUMP = "bilge pump"
    HAND_BILGE_PUMP = "hand bilge pump"
    ENGINE_BILGE_PUMP = "engine-driven bilge pump"
    BILGE_ALARM = "high-water alarm"
    ENGINE = "engine"
    ENGINE_PART = "engine part"
    ENGINE_ALARM = "engine alarms"
    STERN_GEAR = "stern gear"
    CRANK_BATTERY = "crank battery"
    STARTER = "starter"
    BOOSTER = "booster pack"
    CHARGER = "charger"
    SHIP_BANK = "ship's bank"
    ALTERNATOR = "alternator"
    MAIN_PANEL = "main panel"
    CONVERTER = "converter"
    PANEL = "panel"
    WHEEL_STEERING = "wheel steering"
    RUDDER = "rudder"
    EMERGENCY_TILLER = "emergency tiller"
    EMERGENCY_TILLER_HEAD = "emergency tiller head"
    AUTOPILOT_DRIVE = "autopilot drive"
    AUTOPILOT_CONTROL = "autopilot control"
    COMPASS = "compass"
    POSITION_DISPLAY = "position display"
    HANDHELD_RECEIVER = "handheld receiver"
    PAPER_CHARTS = "paper charts"
    SOUNDER = "echo sounder"
    LEAD_LINE = "lead line"
    RADAR = "radar"
    AIS = "AIS"
    LIGHT = "light"
    SOUND_SIGNAL = "sound signal"
    REFLECTOR = "radar reflector"
    VHF = "VHF"
    AERIAL = "aerial"
    HANDHELD_VHF = "handheld VHF"
    BEACON = "beacon"
    TELEPHONE = "telephone"
    DISTRESS_VISUAL = "visual distress signal"
    ANCHOR = "anchor"
    WINDLASS = "windlass"
    FIRE = "fire gear"
    GAS = "gas"
    GAS_ALARM = "gas or carbon monoxide alarm"
    VENTILATION = "ventilation"
    LIFEJACKETS = "lifejackets"
    LIFERAFT = "liferaft"
    DINGHY = "dinghy"
    RECOVERY = "recovery gear"
    FIRST_AID_KIT = "first-aid kit"
    MOORING = "mooring gear"
    OTHER = "other"
