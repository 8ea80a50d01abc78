"""A short run over every reader with a fixed seed; a long one is `python -m tests.fuzz`."""

import time

import pytest

from tests.fuzz.mutator import mutated
from tests.fuzz.running import BY_NAME, Report, alarm, one, run
from tests.fuzz.targets import TARGETS, Target
from vessel.errors import BadInput

FEW = 300
FEW_FACTS = 40  # documents of 100 kB


@pytest.mark.parametrize("target", [target for target in TARGETS if not target.may_die], ids=lambda target: target.name)
def test_no_damage_brings_a_reader_to_anything_but_a_refusal(target: Target) -> None:
    most = FEW_FACTS if target.name == "facts" else FEW

    report = run(target, seed=7, until=time.monotonic() + 60, most=most)

    assert report.failures == {}
    assert report.executions == most
    assert report.refused


@pytest.mark.parametrize("name", ["grib_decoder", "picture"])
def test_a_decoder_that_may_die_refuses_or_dies_and_nothing_else(name: str) -> None:
    report = run(BY_NAME[name], seed=7, until=time.monotonic() + 60, most=60)

    assert report.failures == {}
    assert report.executions == 60
    assert not [why for why in report.deaths if why.startswith("status")]


@pytest.mark.parametrize("target", [target for target in TARGETS if not target.may_die], ids=lambda target: target.name)
def test_every_seed_is_sound(target: Target) -> None:
    refused = 0
    for seed in target.seeds():
        try:
            assert callable(target.read)
            target.read(seed)
        except BadInput:
            refused += 1

    assert refused <= {"facts": 1, "position": 2, "quantity": 9}.get(target.name, 0)


def test_the_same_seed_gives_the_same_damage_and_another_seed_other_damage() -> None:
    seeds = [b"lat 50.1, lon -4.2\n", b"<a/>"]

    first, again, other = ([mutated(seeds, start + number) for number in range(50)] for start in (0, 0, 1000))

    assert first == again
    assert first != other
    assert len(set(first)) > 40


def fault(_data: bytes) -> object:
    raise KeyError("nobody expected this")


def endless(_data: bytes) -> object:
    while True:
        pass


def rambling(_data: bytes) -> object:
    raise BadInput("first line\nsecond line")


def dumb(_data: bytes) -> object:
    raise BadInput(" ")


@pytest.mark.parametrize(
    ("read", "why"),
    [
        (fault, "KeyError: 'nobody expected this'"),
        (endless, "TooSlowError: longer than 0.2 s"),
        (rambling, "a sentence nobody can read aloud"),
        (dumb, "a sentence nobody can read aloud"),
    ],
)
def test_the_fuzzer_sees_what_it_is_for(monkeypatch: pytest.MonkeyPatch, read: object, why: str) -> None:
    monkeypatch.setattr("tests.fuzz.running.LONGEST_S", 0.2)
    report = Report("planted")

    with alarm():
        one(report, read, b"x", 5)  # type: ignore[arg-type]

    assert why in report.failures[5]


def test_a_report_is_one_line() -> None:
    report = run(BY_NAME["quantity"], seed=1, until=time.monotonic() + 60, most=20)

    assert "\n" not in report.line()
    assert "20 run" in report.line()
