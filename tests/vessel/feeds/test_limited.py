"""A stranger's file read in a process of its own: right records come back whole, every end becomes one sentence."""

import logging
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

from tests.vessel.feeds.bad_readers import Told
from vessel.errors import BadInput
from vessel.feeds.limited import USUAL, Limits, Reader


def reader(name: str, limits: Limits = USUAL) -> Reader[Told]:
    return Reader(f"tests.vessel.feeds.bad_readers.{name}", Told, "file", advice="send less", limits=limits)


def test_a_record_comes_back_as_it_was_made_with_its_arrays() -> None:
    told = reader("well")("52° N".encode(), name="friday.csv")

    assert told.words == ("52° N", "friday.csv")
    np.testing.assert_array_equal(told.numbers, [[1.5, np.nan], [np.inf, 0.0]])
    assert told.numbers.flags.writeable
    assert np.signbit(told.numbers[1, 1])


def test_a_refusal_comes_back_word_for_word() -> None:
    with pytest.raises(BadInput, match=r"^Line 3: “x” is no number\. Nothing was taken in\.$"):
        reader("refuses")("“x”".encode())


DEATHS = {
    "SIGSEGV": "This file is damaged or too large: the reader broke down on it. Nothing was taken in.",
    "SIGABRT": "This file is damaged or too large: the reader gave it up. Nothing was taken in.",
    "SIGXCPU": "This file is damaged or too large: reading it took too much work; send less. Nothing was taken in.",
    "SIGKILL": "This file is damaged or too large: reading it took too much work or memory; send less. "
    "Nothing was taken in.",
    "SIGTERM": "This file is damaged or too large: the reader could not finish it. Nothing was taken in.",
}


@pytest.mark.parametrize("name", DEATHS)
def test_a_reader_that_dies_is_a_refusal_and_not_our_end(name: str) -> None:
    with pytest.raises(BadInput) as refusal:
        reader("dies")(name.encode())

    assert str(refusal.value) == DEATHS[name]


@pytest.mark.parametrize("name", ["fills_the_memory", "fills_an_array"])
def test_a_reader_that_wants_more_memory_than_there_is_for_it_is_a_refusal(name: str) -> None:
    with pytest.raises(BadInput, match="reading it took too much memory; send less"):
        reader(name)(b"")


def test_a_reader_that_works_on_and_on_is_stopped() -> None:
    with pytest.raises(BadInput, match="reading it took too much work; send less"):
        reader("works", Limits(work_s=1))(b"")


def test_a_reader_that_waits_for_nothing_is_stopped() -> None:
    with pytest.raises(BadInput, match="Reading this file took too long and was stopped"):
        reader("sleeps", Limits(wait_s=0.5))(b"")


def test_a_fault_of_ours_is_a_refusal_to_the_person_and_told_in_the_log(caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.ERROR), pytest.raises(BadInput, match="the reader could not finish it"):
        reader("breaks")(b"")

    assert "KeyError: 'a fault of ours'" in caplog.text


def test_an_answer_that_makes_no_sense_is_a_refusal() -> None:
    with pytest.raises(BadInput, match="the reader's answer makes no sense"):
        reader("leaves")(b"")


def test_no_secret_of_ours_reaches_a_reader(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LEGWORTHY_SECRET_KEY", "not for strangers")

    told = reader("surroundings")(b"")

    assert "OPENBLAS_NUM_THREADS" in told.words
    assert not [name for name in told.words if name.startswith(("LEGWORTHY", "DJANGO"))]


def test_every_limit_is_set() -> None:
    told = reader("limits")(b"")

    assert dict(zip(told.words, told.numbers, strict=True)) == {
        "AS": 2 << 30, "DATA": 280_000_000, "CPU": 2, "NPROC": 0, "CORE": 0, "FSIZE": 0,
    }  # fmt: skip


def test_a_reader_writes_no_file(tmp_path: Path) -> None:
    place = tmp_path / "left behind"

    told = reader("writes")(str(place).encode())

    assert told.words == ("OSError",)
    assert not place.exists() or not place.read_bytes()


def test_a_reader_loads_neither_the_web_nor_the_database() -> None:
    told = reader("modules")(b"")

    assert not {"django", "sqlite3", "celery", "rest_framework", "eccodes"} & set(told.words)


def test_two_threads_read_at_once_and_neither_hurts_the_other() -> None:
    with ThreadPoolExecutor(4) as pool:
        answers = [pool.submit(reader("well"), f"file {number}".encode()) for number in range(6)]
        deaths = [pool.submit(reader("dies"), b"SIGSEGV") for _ in range(2)]

    assert [answer.result().words[0] for answer in answers] == [f"file {number}" for number in range(6)]
    assert all(isinstance(death.exception(), BadInput) for death in deaths)


def test_a_file_much_larger_than_a_pipe_holds_goes_through() -> None:
    told = reader("well")(b"x" * 10_000_000)

    assert len(told.words[0]) == 10_000_000


def test_a_reader_that_never_reads_its_file_breaks_no_pipe_of_ours() -> None:
    with pytest.raises(BadInput, match="could not finish it"):
        reader("nobody")(b"x" * 10_000_000)
