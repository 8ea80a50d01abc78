"""The described facts are those of the code, and the example is one that the engine judges."""

from pathlib import Path

import msgspec
import pytest
from django.conf import settings
from django.core.management.base import CommandError

from readiness.management.commands import describe_facts
from readiness.management.commands.describe_facts import Command, documents
from readiness.management.demo.example import example_facts
from readiness.rules.engine import judge
from readiness.rules.facts import Facts, decode, encode
from vessel.errors import BadInput
from vessel.models import Vessel

DOCS = Path(settings.BASE_DIR) / "docs"


@pytest.fixture
def example() -> Facts:
    """The example as it is printed."""
    return decode((DOCS / "facts.example.json").read_bytes())


@pytest.mark.django_db
def test_the_files_are_what_the_code_would_write_and_nothing_is_left_in_the_database() -> None:
    written = documents(example_facts())

    assert all(path.read_text(encoding="utf-8") == text for path, text in written.items())
    assert not Vessel.objects.exists()


def test_the_printed_example_is_judged_a_go_if_when_she_means_to_leave(example: Facts) -> None:
    judged = judge(example)

    assert judged.verdict[judged.index_at(example.leg.planned_at.timestamp())] == 1
    assert encode(decode(encode(example))) == encode(example)


def test_a_document_that_does_not_fit_is_refused_with_the_path_of_the_bad_value() -> None:
    document = msgspec.json.decode((DOCS / "facts.example.json").read_bytes())
    document["water"]["places"][2]["lat_deg"] = "north"

    with pytest.raises(BadInput, match=r"\$\.water\.places\[2\]\.lat_deg"):
        decode(msgspec.json.encode(document))


def test_stale_files_are_named_and_written(
    example: Facts, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "facts.example.json"
    monkeypatch.setattr(describe_facts, "documents", lambda _: {file: "as the code has it\n"})
    monkeypatch.setattr(describe_facts, "_in_a_database_of_its_own", lambda: example)
    file.write_text("old", encoding="utf-8")

    with pytest.raises(CommandError, match=r"Stale: facts\.example\.json"):
        Command().handle(check=True)
    assert file.read_text(encoding="utf-8") == "old"
    Command().handle(check=False)
    Command().handle(check=True)

    assert file.read_text(encoding="utf-8") == "as the code has it\n"
    assert "Written: facts.example.json." in capsys.readouterr().out
