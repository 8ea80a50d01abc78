"""manage.py describe_rules: write docs/rules.md from the rules themselves."""

from argparse import ArgumentParser
from pathlib import Path

import msgspec
from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from readiness.rules.judgement import Outcome, Rule, Subject
from readiness.rules.limits import Limits
from readiness.rules.register import RULES
from readiness.rules.report import OUTCOME_WORD

HEAD = """# The rules
Written by `manage.py describe_rules` from the code; do not edit. Each rule gives one answer for each cause and every
departure: passed, advice, condition, not known or no-go; the worst decides. What is not known is never waived.
"""


class Command(BaseCommand):
    help = (
        "Writes docs/rules.md: formula, limits, source and who may waive, rule by rule. Example: describe_rules --check"
    )
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--check", action="store_true", help="write nothing; fail when docs/rules.md is stale")

    def handle(self, *_args: str, **options: bool) -> None:
        path, text = Path(settings.BASE_DIR) / "docs" / "rules.md", described()
        if not options["check"]:
            path.write_text(text)
            self.stdout.write(f"{len(RULES)} rules written to docs/rules.md.")
        elif not path.exists() or path.read_text() != text:
            raise CommandError("docs/rules.md is stale: run manage.py describe_rules and commit it.")


def described() -> str:
    """The whole page."""
    parts = [HEAD]
    for subject in Subject:
        rules = [rule for rule in RULES if rule.subject == subject]
        parts += [f"\n## {subject.value}\n", *(_rule(rule) for rule in rules)] if rules else []
    return "".join(parts)


def _rule(rule: Rule) -> str:
    waive = "; ".join(f"{OUTCOME_WORD[Outcome(outcome)]}: {how.value}" for outcome, how in sorted(rule.waive.items()))
    limits = "".join(f"- limit {_limit(name)}\n" for name in rule.limits)
    return (
        f"\n### {rule.title} (`{rule.id}`)\n\n{rule.formula}\n\n{limits}- worst answer: {OUTCOME_WORD[rule.worst]}\n"
        f"- source: {rule.source}\n- waived: {waive or 'never'}\n"
    )


def _limit(name: str) -> str:
    fields = {field.name: field for field in msgspec.structs.fields(Limits)}
    kinds = msgspec.json.schema(Limits)["$defs"]["Limits"]["properties"][name]
    low, high, unit = kinds["minimum"], kinds["maximum"], kinds["unit"]
    return f"`{name}`: {fields[name].default:.6g} {unit}, may be set from {low:.6g} to {high:.6g}"
