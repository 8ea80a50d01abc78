"""What a rule of the database asks, in words: from the shape of its name and the labels of its columns."""

import re
from collections.abc import Mapping

from vessel.calc.change_words import column_words, value_words

# The rules whose names have no shape; where there is none here, the name itself is said.
SENTENCES = {
    "coastline_area_has_a_size": "The area of a coastline must have a size",
    "tide_station_secondary_has_reference_and_differences": (
        "A secondary port needs its reference port and its differences"
    ),
    "tide_station_fitted_says_what_the_fit_left_over": "Constants of a fit must say what the fit left over",
    "stream_table_neaps_range_is_below_springs": "The range at neaps must be less than the range at springs",
    "stream_table_is_steady_or_has_a_station": "A stream that is not steady needs the tide station it hangs on",
    "gate_has_a_harbour_or_a_zone": "A gate needs a harbour or a time zone",
    "gate_without_hours_has_none": "A gate that does not open by the clock has no hours",
    "leg_planned_at_before_overdue_at": "Overdue must come after the planned departure",
    "leg_departed_at_before_ended_at": "A leg must end after she departed",
    "equipment_fitted_on_before_removed_on": "A thing cannot be removed before it was fitted",
    "fuel_use_from_engine_hours_before_to_engine_hours": "The hour meter must rise over a run",
    "leg_under_way_has_departed": "A leg under way must say when she departed",
    "leg_is_over_exactly_when_it_has_ended": "A leg that is over must say when it ended, and no other may",
    "leg_planned_has_not_departed": "A leg that is only planned has no time of departure",
    "leg_contact_told_is_a_named_person": "Who was told ashore must have a name",
    "keeper_promise_answer_carries_its_time": "What the keeper answered needs the time of the answer",
    "decision_against_the_verdict_gives_a_reason": "A decision against the verdict needs a reason",
    "forecast_south_is_not_north_of_north": "The south of an area cannot lie north of its north",
    "forecast_first_is_not_after_last": "The first time of a forecast cannot come after its last",
    "forecast_feed_address_is_https": "The address of a feed must begin with https://",
    "waiver_ends_after_it_was_given": "A waiver must end after it was given",
    "warning_look_looked_at_before_good_to": "The time a look is good to must come after the look",
    "defect_date_to_mend_by_goes_with_the_choice": "The choice “a date” and the date to mend by go together",
    "defect_closed_after_it_was_opened": "A defect cannot be closed before it was opened",
    "job_hours_are_in_order": "The hours of a job must rise from least to likeliest to most",
    "job_done_carries_its_time": "A job that is done must say when",
    "job_proved_carries_its_time": "A job that is proved must say when",
    "job_cost_names_its_currency": "A cost needs its currency",
    "job_need_is_another_job": "A job cannot wait for itself",
    "service_done_says_when": "A service that was done needs its date or its engine hours",
    "verdict_that_is_not_go_says_what_decides": "A verdict that is not go must say what decides",
    "forecast_feed_good_is_not_after_tried": "A feed cannot have been good after it was last tried",
    "api_token_runs_out_after_it_was_made": "A token must run out after it was made",
    "vessel_currency_is_three_capitals": "The currency is three capitals, such as EUR",
    "vessel_waterline_is_not_longer_than_she_is": "The waterline cannot be longer than she is",
    "chart_south_is_south_of_north": "The south of a chart must lie south of its north",
    "feed_choice_is_another_item": "A thing cannot be fed by itself",
    "load_has_one_feed": "A load hangs on a source or on a converter, on one of them only",
    "fuel_use_tells_an_engine_or_a_boat_speed": "A run needs its mean rpm or its mean speed",
    "paper_valid_from_not_after_valid_until": "A paper cannot run out before it begins",
    "availability_free_to_stay_has_no_time_to_leave": "Who could stay longer has no time to leave by",
    "availability_answer_carries_its_time": "An answer needs the time it was given",
    "rest_unbroken_part_is_not_more_than_all": "The longest unbroken rest cannot be more than all of it",
    "tank_unusable_part_is_less_than_it_holds": "What cannot be drawn must be less than the tank holds",
}
# A shape of a name: which columns it speaks of, and how it is said of their words.
SHAPES = (
    (re.compile(r"(?P<one>.+)_is_above_zero"), "{one} must be above zero"),
    (re.compile(r"(?P<one>.+)_is_not_below_zero"), "{one} cannot be below zero"),
    (re.compile(r"(?P<one>.+)_is_not_empty"), "{one} cannot be left empty"),
    (re.compile(r"(?P<one>.+)_is_a_known_word"), "{one} must be one of the words offered"),
    (re.compile(r"(?P<one>.+)_is_within_bounds"), "{one} must be from {low} to {high}"),
    (re.compile(r"(?P<one>.+)_and_(?P<two>.+)_pair"), "{one} and {two_small} go together: give both or neither"),
    (re.compile(r"(?P<one>.+)_before_(?P<two>.+)"), "{two} must come after {one_small}"),
)


def constraint_words(name: str, noun: str, labels: Mapping[str, str], bounds: tuple[float, float] | None = None) -> str:
    """A rule as a sentence without its full stop: "Draught must be above zero".

    `noun` is what the names of the model's rules begin with, `labels` the words of its columns, `bounds` the least and
    the most where it has these.

    Source: [own]
    """
    if name in SENTENCES:
        return SENTENCES[name]
    shape = name.removeprefix(f"{noun}_")
    for pattern, sentence in SHAPES:
        if match := pattern.fullmatch(shape):
            return _capital(sentence.format(**_words(match.groupdict(), labels, bounds)))
    plain = shape.replace("_", " ")
    return f"This must hold: {plain}"


def _words(columns: Mapping[str, str], labels: Mapping[str, str], bounds: tuple[float, float] | None) -> dict[str, str]:
    words = {place: _column(column, labels) for place, column in columns.items()}
    small = {f"{place}_small": f"{text[:1].lower()}{text[1:]}" for place, text in words.items()}
    ends = {
        place: value_words(columns["one"], bound, "UTC")
        for place, bound in zip(("low", "high"), bounds or (), strict=False)
    }
    return {"low": "its least", "high": "its most", **words, **small, **ends}


def _column(name: str, labels: Mapping[str, str]) -> str:
    """The words of a column; without its hours a reading of the meter would be the engine itself."""
    spelt = {name: name.replace("_", " ")} if name.endswith("_hours") else {}
    return column_words(name, {**spelt, **labels})


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
