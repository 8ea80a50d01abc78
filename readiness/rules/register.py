"""RULES: the ordered tuple is the engine. To add a rule, add its file, its test and its line here."""

from readiness.rules.judgement import Rule

RULES: tuple[Rule, ...] = ()

RULE_OF = {rule.id: rule for rule in RULES}
