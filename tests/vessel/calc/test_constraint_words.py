"""A rule of the database in words: each shape, each name of its own, and what is said of one nobody foresaw."""

import pytest

from vessel.calc.constraint_words import SENTENCES, constraint_words

LABELS = {"planned_at": "planned departure"}


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("boat_draught_m_is_above_zero", "Draught must be above zero"),
        ("boat_used_l_is_not_below_zero", "Used cannot be below zero"),
        ("boat_engine_hours_is_not_below_zero", "Engine hours cannot be below zero"),
        ("boat_name_is_not_empty", "Name cannot be left empty"),
        ("boat_kind_is_a_known_word", "Kind must be one of the words offered"),
        ("boat_planned_at_before_seen_at", "Seen at must come after planned departure"),
        ("boat_planned_at_and_seen_at_pair", "Planned departure and seen at go together: give both or neither"),
        ("boat_flow_before_s_and_flow_after_s_pair", "Flow before and flow after go together: give both or neither"),
        ("boat_sails_by_night", "This must hold: sails by night"),
    ],
)
def test_a_rule_is_said_by_its_shape_with_the_labels_of_its_columns(name: str, sentence: str) -> None:
    assert constraint_words(name, "boat", LABELS) == sentence


def test_bounds_are_said_in_the_unit_of_the_column() -> None:
    words = constraint_words("boat_lat_deg_is_within_bounds", "boat", {}, (-90, 90))

    assert words == "Lat must be from −90° to 90°"


def test_a_name_of_its_own_has_a_sentence_of_its_own() -> None:
    words = constraint_words("leg_planned_at_before_overdue_at", "leg", LABELS)

    assert words == "Overdue must come after the planned departure"
    assert not [one for one in SENTENCES.values() if one.endswith(".") or one[0].islower()]
