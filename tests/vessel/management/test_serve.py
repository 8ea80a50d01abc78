"""`serve` as it is run: real processes, ended the hard way."""

import os
import signal
import socket
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.vessel.management.running import Service, a_free_port, children, is_gone, manage, start, wait_for
from vessel.queries.service_state import read_deaths

Start = Callable[[int], Service]


@pytest.fixture
def start_serving(tmp_path: Path) -> Iterator[Start]:
    started: list[Service] = []

    def starter(port: int) -> Service:
        started.append(start(tmp_path / "data", port))
        return started[-1]

    yield starter
    for service in started:
        service.end()


def everybody(service: Service) -> list[int]:
    parts = children(service.process.pid)
    return [*parts, *(pid for part in parts for pid in children(part))]


def kill(service: Service, words: str) -> int:
    victim = service.part(words)
    assert victim is not None
    os.kill(victim, signal.SIGKILL)
    return victim


def test_it_serves_starts_a_dead_part_again_and_ends_cleanly(start_serving: Start, tmp_path: Path) -> None:
    service = start_serving(a_free_port())
    assert service.status_of("/live") == 200
    wait_for(lambda: service.status_of("/ready") == 200, service)

    worker, web = kill(service, "manage.py work"), kill(service, "config.web")

    wait_for(lambda: service.part("manage.py work") not in {None, worker}, service)
    wait_for(lambda: service.part("config.web") not in {None, web}, service)
    wait_for(lambda: service.status_of("/live") == 200, service)
    deaths = read_deaths(tmp_path / "data" / "deaths.json") or ()
    assert {(death.part, death.status) for death in deaths} == {("background worker", -9), ("web server", -9)}

    left = everybody(service)
    service.process.send_signal(signal.SIGTERM)
    assert service.process.wait(20) == 0
    assert "Legworthy has stopped." in service.said
    assert all(is_gone(pid) for pid in left)


def test_a_second_one_on_the_same_data_is_refused_and_a_busy_port_is_passed_over(
    start_serving: Start, tmp_path: Path
) -> None:
    busy = a_free_port()
    with socket.socket() as squatter:
        squatter.bind(("127.0.0.1", busy))
        squatter.listen()
        first = start_serving(busy)
        taken = first.port

    second = manage(tmp_path / "data", "serve")

    assert taken > busy
    assert f"Port {busy} is busy; port {taken} is used instead." in first.said
    assert second.returncode == 2
    assert f"is served already by process {first.process.pid} at http://localhost:{taken}" in second.stderr
    assert first.status_of("/live") == 200


def test_nothing_is_left_behind_when_it_is_killed_itself(start_serving: Start) -> None:
    service = start_serving(a_free_port())
    wait_for(lambda: service.status_of("/ready") == 200, service)
    left = everybody(service)
    assert len(left) >= 3, "web server, its worker and the background worker"

    service.process.kill()
    service.process.wait()

    wait_for(lambda: all(is_gone(pid) for pid in left), service)


def test_the_data_folder_is_for_its_owner_alone(tmp_path: Path) -> None:
    manage(tmp_path / "data", "check")

    assert (tmp_path / "data").stat().st_mode & 0o777 == 0o700
    assert (tmp_path / "data" / "secret_key").stat().st_mode & 0o777 == 0o600


def test_a_damaged_database_is_said_in_one_sentence_and_left_as_it_is(tmp_path: Path) -> None:
    damaged = tmp_path / "data" / "legworthy.sqlite3"
    damaged.parent.mkdir()
    damaged.write_bytes(b"salt water" * 1000)

    answer = manage(damaged.parent, "serve")

    assert answer.returncode == 2
    assert "cannot be opened or brought up to date: file is not a database. Nothing was started." in answer.stderr
    assert "Traceback" not in answer.stderr
    assert damaged.read_bytes() == b"salt water" * 1000


def test_a_database_of_a_newer_program_is_refused(tmp_path: Path) -> None:
    data = tmp_path / "data"
    assert manage(data, "migrate", "--verbosity=0").returncode == 0
    with sqlite3.connect(data / "legworthy.sqlite3") as database:
        database.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('vessel', '9999_later', '2030-01-01')"
        )

    answer = manage(data, "serve")

    assert answer.returncode == 2
    assert "The database is newer than this program (vessel 9999_later)." in answer.stderr


@pytest.mark.parametrize("port", ["eighty", "0", "65536", "-1"])
def test_a_port_that_is_none_is_refused_in_one_sentence(tmp_path: Path, port: str) -> None:
    answer = manage(tmp_path / "data", "serve", f"--port={port}")

    assert answer.returncode == 2
    said = f"The port is '{port}'; it must be a number from 1 to 65535. Nothing was started."
    assert said in answer.stderr
    assert "Traceback" not in answer.stderr
