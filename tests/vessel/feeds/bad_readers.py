"""Readers that behave as badly as a file can make a real one behave; each is read by a limited process."""

import os
import resource
import signal
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from vessel.errors import BadInput
from vessel.units import Array


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What a reader says back."""

    words: tuple[str, ...]
    numbers: Array


def well(data: bytes, *, name: str = "") -> Told:
    return Told((data.decode(), name), np.array([[1.5, np.nan], [np.inf, -0.0]]))


def refuses(data: bytes) -> Told:
    raise BadInput(f"Line 3: {data.decode()} is no number. Nothing was taken in.")


def breaks(_data: bytes) -> Told:
    raise KeyError("a fault of ours")


def dies(data: bytes) -> Told:
    os.kill(os.getpid(), getattr(signal, data.decode()))
    raise AssertionError


def leaves(_data: bytes) -> Told:
    os._exit(0)


def sleeps(_data: bytes) -> Told:
    time.sleep(60)
    raise AssertionError


def works(_data: bytes) -> Told:
    while True:
        pass


def fills_the_memory(_data: bytes) -> Told:
    held = [bytearray(1 << 20) for _ in range(4096)]
    return Told((str(len(held)),), np.zeros(1))


def fills_an_array(_data: bytes) -> Told:
    return Told((), np.ones(1 << 28))


def surroundings(_data: bytes) -> Told:
    return Told(tuple(sorted(os.environ)), np.zeros(1))


def limits(_data: bytes) -> Told:
    names = ("AS", "DATA", "CPU", "NPROC", "CORE", "FSIZE")
    return Told(names, np.array([resource.getrlimit(getattr(resource, f"RLIMIT_{name}"))[0] for name in names], float))


def modules(_data: bytes) -> Told:
    return Told(tuple(sorted(sys.modules)), np.zeros(1))


def writes(data: bytes) -> Told:
    try:
        Path(data.decode()).write_bytes(b"x")
    except OSError as reason:
        return Told((type(reason).__name__,), np.zeros(1))
    return Told(("written",), np.zeros(1))
