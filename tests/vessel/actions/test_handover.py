"""The pack for a future owner: complete, plain, private, bound to the chain, and readable with nothing."""

import csv
import io
import json
from datetime import datetime
from html.parser import HTMLParser
from pathlib import Path

import bagit
import pytest
from django.conf import settings
from django.db import transaction

from tests.factories.handover import SECRETS, a_lived_in_vessel, unpacked
from tests.factories.vessel import a_vessel, an_account
from vessel.actions.handover import build_handover
from vessel.actions.history import record, strike_out_private
from vessel.calc.history_chain import Head
from vessel.errors import Refused
from vessel.models import HistoryEntry, HistoryPrivate, Person
from vessel.queries.history import chain_problem, head, history_page

pytestmark = pytest.mark.django_db
BY = "owner-1"


class Page(HTMLParser):
    """The words of a page, its tags, and every address it names."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.addresses: list[str] = []
        self.words: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.addresses += [value or "" for name, value in attrs if name in {"href", "src", "action"}]

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def files_of(at: datetime) -> dict[str, bytes]:
    return unpacked(build_handover(vessel_id=a_lived_in_vessel(at).pk, by=BY, at=at).data)


def rows(files: dict[str, bytes], key: str) -> list[dict[str, object]]:
    return [json.loads(line) for line in files[f"data/{key}.jsonl"].decode().splitlines()]


def test_every_chapter_of_the_list_is_there_as_lines_and_as_a_sheet(at: datetime) -> None:
    files = files_of(at)

    chapters = json.loads(files["data/chapters.json"])
    assert len(chapters) == len(settings.HANDOVER_CHAPTERS) == 11
    for chapter in chapters:
        lines, sheet = rows(files, chapter["key"]), files[f"data/{chapter['key']}.csv"].decode("utf-8-sig")
        assert lines or chapter["key"] in {"passages", "decisions"}  # she has not sailed yet
        assert len(list(csv.reader(io.StringIO(sheet)))) == len(lines) + 1
        names = [column["name"] for column in chapter["columns"]]
        assert all(list(line) == names for line in lines)


def test_open_defects_stand_at_the_top_and_units_are_stated(at: datetime) -> None:
    files = files_of(at)

    assert [row["state"] for row in rows(files, "defects")] == ["OPEN", "mended"]
    assert {"what": "Loa", "value": 12.2, "unit": "m"} in rows(files, "particulars")
    assert [row["done_on"] for row in rows(files, "services")] == ["2026-07-10", None]
    reading = rows(files, "readings")[0]
    assert (reading["value"], reading["unit"], reading["typed"]) == (0.6, "l", "0.6 l")


def test_nothing_private_leaves(at: datetime) -> None:
    files = files_of(at)

    everything = b"\n".join(files.values()).decode()
    assert [secret for secret in SECRETS if secret in everything] == []
    assert "[withheld by owner, 5 words]" in everything
    assert Person.objects.get().token in everything  # crew appear by token


def test_private_text_struck_out_before_leaves_a_whole_chain(at: datetime) -> None:
    vessel = a_lived_in_vessel(at)
    number = HistoryPrivate.objects.filter(vessel_id=vessel.pk).order_by("number")[0].number
    strike_out_private(vessel=vessel, number=number, by=BY, at=at)

    pack = build_handover(vessel_id=vessel.pk, by=BY, at=at)

    assert chain_problem(vessel.pk, (pack.head,)) is None


def test_the_page_needs_no_program_no_script_and_no_network(at: datetime) -> None:
    page = Page(files_of(at)["index.html"].decode())

    assert "script" not in page.tags
    assert "link" not in page.tags
    assert [address for address in page.addresses if not address.startswith("#")] == []
    assert "=HYPERLINK(1)<script>" in page.words
    assert {"Particulars", "Defects", "History"} <= set(page.words)


def test_a_formula_in_a_sheet_is_only_text_and_numbers_stay_numbers(at: datetime) -> None:
    sheet = files_of(at)["data/defects.csv"].decode("utf-8-sig")

    titles = [row["title"] for row in csv.DictReader(io.StringIO(sheet))]
    assert titles[0] == "'=HYPERLINK(1)<script>"


def test_the_handover_is_an_entry_of_its_own_that_binds_every_chapter(at: datetime) -> None:
    vessel = a_lived_in_vessel(at)

    pack = build_handover(vessel_id=vessel.pk, by=an_account(username="Ines"), at=at)

    entry = HistoryEntry.objects.filter(vessel_id=vessel.pk).order_by("-number")[0]
    files = unpacked(pack.data)
    assert (entry.noun, Head(entry.number, entry.hash)) == ("handover", pack.head)
    assert pack.head == head(vessel.pk)
    assert set(entry.changes) == {
        name for name in files if name.startswith("data/") and name not in {"data/history.jsonl", "data/head.json"}
    } | {"index.html"}
    assert json.loads(files["data/head.json"])["hash"] == pack.head.hash
    assert pack.head.hash in files["README.txt"].decode()
    assert history_page(vessel.pk)[0].by == "Ines"


def test_another_program_for_bags_finds_it_whole(at: datetime, tmp_path: Path) -> None:
    for name, data in files_of(at).items():
        place = tmp_path / name
        place.parent.mkdir(exist_ok=True)
        place.write_bytes(data)

    assert bagit.Bag(str(tmp_path)).validate(processes=1)


def test_equal_content_gives_equal_bytes(at: datetime) -> None:
    vessel = a_vessel()
    packs = []
    for _ in range(2):
        with transaction.atomic():
            packs.append(build_handover(vessel_id=vessel.pk, by=BY, at=at).data)
            transaction.set_rollback(True)

    assert packs[0] == packs[1]


def test_a_broken_history_is_not_handed_over(at: datetime) -> None:
    vessel = a_vessel()
    record(vessel=vessel, what="x", by=BY, at=at, noun="x", noun_key="1", private="y")
    HistoryPrivate.objects.update(text="z")

    with pytest.raises(Refused, match=r"The history of Tallow Wren is not whole.*No handover was made"):
        build_handover(vessel_id=vessel.pk, by=BY, at=at)

    assert HistoryEntry.objects.count() == 1


def test_a_page_of_a_long_log_shows_the_newest_and_says_where_the_rest_is(at: datetime) -> None:
    vessel = a_vessel()
    for number in range(401):
        record(vessel=vessel, what=f"Deed {number}.", by=BY, at=at, noun="job", noun_key="1")

    page = unpacked(build_handover(vessel_id=vessel.pk, by=BY, at=at).data)["index.html"].decode()

    assert "400 of 401 rows" in page
    assert "data/history_lines.csv" in page
    assert "Deed 400." in page
    assert "Deed 0." not in page
