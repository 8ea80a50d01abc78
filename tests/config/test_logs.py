import json
import logging
import sys

import pytest

from config.logs import STYLES, JsonLines, PlainLines, logging_settings


def line(message: str, *, broken: bool = False) -> logging.LogRecord:
    error = None
    if broken:
        try:
            raise ValueError("no wind")
        except ValueError:
            error = sys.exc_info()
    record = logging.LogRecord("readiness", logging.WARNING, "file.py", 1, message, None, error)
    record.created = 1_783_674_000.0  # 10 July 2026, 09:00 UTC
    return record


def test_a_plain_line_gives_the_time_in_utc() -> None:
    assert PlainLines().format(line("late")) == "2026-07-10 09:00:00Z WARNING late"


def test_a_machine_reads_one_object_a_line_whatever_is_said() -> None:
    text = JsonLines().format(line('two\nlines and "quotes"', broken=True))

    said = json.loads(text)
    assert "\n" not in text
    assert (said["at"], said["level"], said["logger"]) == ("2026-07-10T09:00:00Z", "warning", "readiness")
    assert said["message"] == 'two\nlines and "quotes"'
    assert "ValueError: no wind" in said["exception"]


@pytest.mark.parametrize("style", STYLES)
def test_every_style_has_its_formatter(style: str) -> None:
    made = logging_settings(style, logging.INFO)

    assert made["handlers"]["out"]["formatter"] in made["formatters"]
