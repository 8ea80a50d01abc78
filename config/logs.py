"""Log lines on the standard output: plain for people, one JSON object a line for machines. Times are UTC."""

import json
import logging
import time
from typing import Any

STYLES = ("plain", "json")


class JsonLines(logging.Formatter):
    """One JSON object a line: when, how serious, who says it, what."""

    def format(self, record: logging.LogRecord) -> str:
        line = {
            "at": time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(record.created)),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
        }
        if record.exc_info:
            line["exception"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False)


class PlainLines(logging.Formatter):
    """UTC time, level, message."""

    def __init__(self) -> None:
        super().__init__("%(asctime)s %(levelname)-7s %(message)s", "%Y-%m-%d %H:%M:%SZ")
        self.converter = time.gmtime


def logging_settings(style: str, level: int) -> dict[str, Any]:
    """Django's LOGGING: everything to the standard output in one of the STYLES."""
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"plain": {"()": "config.logs.PlainLines"}, "json": {"()": "config.logs.JsonLines"}},
        "handlers": {"out": {"class": "logging.StreamHandler", "stream": "ext://sys.stdout", "formatter": style}},
        "root": {"handlers": ["out"], "level": level},
        "loggers": {
            "django": {"handlers": [], "level": level, "propagate": True},
            "celery.app.trace": {"level": max(level, logging.WARNING)},  # a line a minute says nothing
        },
    }
