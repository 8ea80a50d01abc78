"""The start, in a process of its own: what it refuses, and in which words."""

import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

from config.data_folder import open_data_folder, secret_key
from config.environment import refuse_unknown_names, secret_from
from tests.habits.source import ROOT
from tests.vessel.management.running import environment

ASK = "from config import settings as s; print(s.{name})"


def started(data: Path, name: str = "SECURE", **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(  # noqa: S603 our own command
        [sys.executable, "-c", ASK.format(name=name)],
        cwd=ROOT,
        env=environment(data, **more),
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [
        ("LEGWORTHY_DEBGU", "1", "LEGWORTHY_DEBGU, which is no setting. Did you mean LEGWORTHY_DEBUG?"),
        ("LEGWORTHY_DEBUG", "perhaps", 'Environment variable "LEGWORTHY_DEBUG" invalid: Not a valid boolean.'),
        ("LEGWORTHY_LOG", "loud", "LEGWORTHY_LOG is 'loud'; it can be plain or json."),
        ("LEGWORTHY_SECRET_KEY_FILE", "/nowhere/key", "LEGWORTHY_SECRET_KEY_FILE names /nowhere/key, which cannot be"),
        ("LEGWORTHY_FEED_ADDRESSES", "plotter.local", "LEGWORTHY_FEED_ADDRESSES holds what is no address"),
        ("LEGWORTHY_DATA", "/proc/nowhere", "The data folder /proc/nowhere cannot be made"),
    ],
)
def test_a_setting_that_cannot_be_meant_stops_the_start(tmp_path: Path, name: str, value: str, sentence: str) -> None:
    answer = started(tmp_path / "data", **{name: value})

    assert answer.returncode == 1
    assert sentence in answer.stderr


def test_without_any_setting_it_starts_closed_and_in_the_clear(tmp_path: Path) -> None:
    names = "(s.DEBUG, s.SECURE, s.SESSION_COOKIE_SECURE, s.SESSION_COOKIE_NAME)"

    answer = started(tmp_path / "data", name=f"BASE_DIR and {names}")

    assert answer.stdout == "(False, False, False, 'legworthy_on_board_session')\n", answer.stderr


def test_with_https_the_cookies_are_tied_to_it(tmp_path: Path) -> None:
    names = "(s.SESSION_COOKIE_SECURE, s.CSRF_COOKIE_SECURE, s.SESSION_COOKIE_NAME, s.SECURE_SSL_REDIRECT)"

    answer = started(tmp_path / "data", name=f"BASE_DIR and {names}", LEGWORTHY_SECURE="1")

    assert answer.stdout == "(True, True, '__Host-legworthy_session', True)\n", answer.stderr


def test_the_key_is_made_once_and_then_kept(tmp_path: Path) -> None:
    first, second = secret_key(tmp_path / "key"), secret_key(tmp_path / "key")

    assert first == second
    assert len(first) >= 50
    assert (tmp_path / "key").stat().st_mode & 0o777 == 0o600
    assert [file.name for file in tmp_path.iterdir()] == ["key"], "no draft is left behind"


def test_every_data_folder_has_a_key_of_its_own(tmp_path: Path) -> None:
    assert secret_key(tmp_path / "one") != secret_key(tmp_path / "two")


@pytest.mark.parametrize("damaged", ["", "short", "x" * 39])
def test_a_short_key_is_refused(tmp_path: Path, damaged: str) -> None:
    (tmp_path / "key").write_text(damaged)

    with pytest.raises(ImproperlyConfigured, match=r"shorter than 40 characters\. Remove the file"):
        secret_key(tmp_path / "key")


def test_a_file_in_place_of_the_data_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("a letter")

    with pytest.raises(ImproperlyConfigured, match=r"cannot be made.*Name another one in DATA"):
        open_data_folder(tmp_path / "data")


def test_a_secret_is_given_in_one_way(tmp_path: Path) -> None:
    file = tmp_path / "key"
    file.write_text("from a file\n")

    assert secret_from("as text", None, "X") == "as text"
    assert secret_from(None, str(file), "X") == "from a file"
    assert secret_from(None, None, "X") is None
    with pytest.raises(ImproperlyConfigured, match="not both"):
        secret_from("as text", str(file), "X")


def test_an_unknown_name_far_from_any_other_is_answered_with_all_of_them(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LEGWORTHY_1234567890", "1")

    with pytest.raises(ImproperlyConfigured, match="Known are LEGWORTHY_A, LEGWORTHY_B"):
        refuse_unknown_names(["LEGWORTHY_A", "LEGWORTHY_B"])


def test_the_policy_lets_nothing_unsafe_in() -> None:
    values = [value for directive in settings.SECURE_CSP.values() for value in directive]

    assert settings.SECURE_CSP["default-src"] == ["'self'"]
    assert not [value for value in values if "unsafe" in value or "*" in value or "http" in value]
