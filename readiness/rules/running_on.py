"""Further running before fuel can be bought: what fuel and oil must last for besides the leg itself."""

from readiness.rules.facts import Facts
from readiness.rules.record import NOT_KNOWN
from vessel.calc.wording import duration, is_known

NOT_STATED = "Further running before fuel can be bought is not stated"
STATE_IT = "State the further running in the plan; 0 when there is none."


def running_on_s(facts: Facts) -> float:
    """So many seconds of it; NaN where nobody stated it, or what cannot be."""
    return facts.leg.running_on_s if facts.leg.running_on_s >= 0 else NOT_KNOWN


def running_words(facts: Facts, leg_s: float) -> str:
    """All the running ahead as a sum: "7 h 8 min", "(7 h 8 min + 2 h further running)"."""
    further = running_on_s(facts)
    if further == 0:
        return duration(leg_s)
    told = f"{duration(further)} further running" if is_known(further) else "further running not stated"
    return f"({duration(leg_s)} + {told})"
