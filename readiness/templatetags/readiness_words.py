"""Small words of the judged pages: marks for outcomes, rule names as people read them."""

from django import template

from readiness.rules.judgement import Outcome
from readiness.rules.record import moment
from vessel.calc.wording import is_known

register = template.Library()

MARK_OF = {
    Outcome.PASSED: "go",
    Outcome.ADVICE: "go",
    Outcome.CONDITION: "go-if",
    Outcome.UNKNOWN: "cannot-say",
    Outcome.NO_GO: "no-go",
}


@register.filter
def outcome_mark(outcome: Outcome) -> str:
    """The mark of an outcome; its word always follows."""
    return MARK_OF[outcome]


@register.filter
def spaced(rule: str) -> str:
    """A rule's id as words."""
    return rule.replace("_", " ")


@register.filter
def is_a_figure(value: object) -> bool:
    """Whether there is a figure to print."""
    return is_known(value)


@register.filter
def moment_in_address(at: object) -> str:
    """A time in UTC seconds as an address holds it."""
    return moment(float(at)).isoformat().replace("+00:00", "Z") if is_known(at) else ""  # type: ignore[arg-type]


@register.filter
def zone_words(zone: str) -> str:
    """A time zone as people read it."""
    return zone.replace("_", " ")
