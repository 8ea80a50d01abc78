"""JSON as a request may hold it: of bounded size, no name twice, no NaN, not nested without end."""

import json
from collections.abc import Mapping
from typing import IO, Any

from rest_framework.exceptions import APIException, ParseError
from rest_framework.parsers import JSONParser

LARGEST = 256 * 1024  # bytes


class TooLarge(APIException):
    status_code = 413
    default_detail = f"The request holds more than {LARGEST:,} bytes."


class StrictJSONParser(JSONParser):
    """Raises ParseError with one sentence, or TooLarge."""

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,  # noqa: ARG002
        parser_context: Mapping[str, Any] | None = None,  # noqa: ARG002
    ) -> Any:
        text = stream.read(LARGEST + 1)
        if len(text) > LARGEST:
            raise TooLarge
        try:
            return json.loads(text.decode("utf-8"), object_pairs_hook=_once, parse_constant=_never)
        except (ValueError, RecursionError) as error:
            raise ParseError(f"The request is not JSON that can be read: {error}.") from error


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        raise ValueError(f"the name {next(name for name in names if names.count(name) > 1)} stands twice")
    return found


def _never(name: str) -> Any:
    raise ValueError(f"{name} is not a number; not known is null")
