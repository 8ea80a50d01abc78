"""Small words of the judged pages: marks for outcomes, rule names as people read them."""

from django import template

from readiness.rules.judgement import Outcome
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
