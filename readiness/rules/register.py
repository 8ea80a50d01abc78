"""RULES: the ordered tuple is the engine. To add a rule, add its file, its test and its line here."""

from readiness.rules import (
    crew_changes,
    dark_arrival,
    forecast_age,
    forecast_cover,
    fuel_reserve,
    gate_on_arrival,
    getting_out,
    hands_at_gate,
    insurance,
    mean_wind,
    number_aboard,
    sea_height,
    shore_contact,
    tide_data,
    under_keel,
    watch_leaders,
    wind_against_stream,
)
from readiness.rules.judgement import Rule

RULES: tuple[Rule, ...] = (
    number_aboard.RULE,
    watch_leaders.RULE,
    hands_at_gate.RULE,
    crew_changes.RULE,
    forecast_cover.RULE,
    forecast_age.RULE,
    mean_wind.RULE,
    sea_height.RULE,
    wind_against_stream.RULE,
    tide_data.RULE,
    under_keel.RULE,
    gate_on_arrival.RULE,
    getting_out.RULE,
    dark_arrival.RULE,
    fuel_reserve.RULE,
    shore_contact.RULE,
    insurance.RULE,
)

RULE_OF = {rule.id: rule for rule in RULES}
