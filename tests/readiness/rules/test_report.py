"""A judged departure as words and as data."""

import json

import pytest

from readiness.rules.changes import changes
from readiness.rules.engine import judge
from readiness.rules.report import as_data, as_text, outlook_word, verdict_word
from tests.factories.worked_example import worked_example
from tests.readiness.rules.alter import person
from tests.readiness.rules.worse import WORSE

EVERY_FIELD = {
    "leg", "verdict", "outlook", "departure", "judged_at", "engine_version", "early", "plan", "late", "findings",
    "subjects", "margins", "changes", "departures",
}  # fmt: skip


def test_the_data_hold_every_field_a_program_relies_on() -> None:
    data = as_data(judge(worked_example(8)), 0)

    assert set(data) == EVERY_FIELD
    assert {"rule", "outcome", "cause", "demand", "limit", "unit", "sentence", "source"} <= set(data["findings"][0])
    assert set(data["departures"][0]) == {"at", "verdict", "outlook", "deciding_rule"}
    assert (data["verdict"], data["departure"]) == ("Go if", "2027-05-15T06:30:00Z")
    assert [data[name][:19] for name in ("early", "plan", "late")] == [
        "2027-05-15T12:54:02", "2027-05-15T13:22:27", "2027-05-15T14:37:11",
    ]  # fmt: skip
    assert data["departures"][0]["deciding_rule"] in {finding["rule"] for finding in data["findings"]}


@pytest.mark.parametrize("day", WORSE)
def test_the_data_are_plain_and_say_what_the_words_say(day: str) -> None:
    judged = judge(WORSE[day](worked_example(4)))

    data, text = as_data(judged, 0), as_text(judged, 0)

    assert json.loads(json.dumps(data, allow_nan=False)) == data
    assert text.startswith(data["verdict"].upper())
    assert all(finding["sentence"] in text for finding in data["findings"] if finding["outcome"] == "no-go")
    assert (data["verdict"], data["outlook"]) == (verdict_word(judged, 0), outlook_word(judged, 0))


@pytest.mark.parametrize("day", WORSE)
def test_no_word_of_a_finding_is_raw_and_none_is_blank(day: str) -> None:
    text = as_text(judge(WORSE[day](worked_example(4))), 0)

    assert all(raw not in text for raw in ("nan", "None", "inf ", "Outcome.", "np."))


def test_the_text_tells_headline_findings_margins_changes_strip_and_cautions_in_that_order() -> None:
    judged = judge(worked_example(96))

    text = as_text(judged, 0)

    parts = ("GO IF: Ostrel Haven to Morrowick Basin", "CONDITION: Emergency steering", "Thinnest margins",
             "What would change it", "Departures, a sign a quarter", "the skipper decides")  # fmt: skip
    places = [text.index(part) for part in parts]
    assert places == sorted(places)
    assert all(change.text in text for change in changes(judged, 0))
    assert "leave Sat 15 May 07:30 (06:30 UTC)" in text


def test_the_strip_has_a_sign_for_every_departure() -> None:
    text = as_text(judge(worked_example(96)), 0)

    strip = [
        line.split()[-1] for line in text.splitlines() if " from " in line and set(line.split()[-1]) <= set("#=?.")
    ]
    assert sum(len(signs) for signs in strip) == 96


def test_an_outlook_stands_beside_cannot_say_yet_only() -> None:
    waiting, sure = judge(person(worked_example(1), "Tam", confirmed=None)), judge(worked_example(1))

    assert as_text(waiting, 0).startswith("CANNOT SAY YET (outlook fair): ")
    assert "outlook" not in as_text(sure, 0).splitlines()[0]
