"""The data folder: hers alone to read, with the secret key in it."""

import os
import secrets
import tempfile
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

KEY_BYTES = 48
SHORTEST_KEY = 40


def open_data_folder(folder: Path) -> Path:
    """The folder, made with mode 0700 when it is not there yet.

    Raises ImproperlyConfigured, naming the folder, when it cannot be made or is not a folder.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as reason:
        raise ImproperlyConfigured(
            f"The data folder {folder} cannot be made: {reason.strerror}. Name another one in DATA."
        ) from reason
    return folder.resolve()


def secret_key(file: Path) -> str:
    """The key in the file; made there once, mode 0600, when there is none.

    Two programs that start together end with the same key: the file appears whole or not at all, and the
    first one stays. Raises ImproperlyConfigured for a key that is unreadable or too short.
    """
    try:
        if not file.exists():
            _write_once(file, secrets.token_urlsafe(KEY_BYTES))
        key = file.read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError) as reason:
        raise ImproperlyConfigured(f"The secret key in {file} cannot be read or written: {reason}.") from reason
    if len(key) < SHORTEST_KEY:
        raise ImproperlyConfigured(
            f"The secret key in {file} is shorter than {SHORTEST_KEY} characters. Remove the file:"
            " a new key is made at the next start, and everybody signs in again."
        )
    return key


def _write_once(file: Path, text: str) -> None:
    handle, draft = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    try:
        with os.fdopen(handle, "w", encoding="ascii") as stream:
            stream.write(text + "\n")
            stream.flush()
            os.fsync(stream.fileno())
        os.link(draft, file)
    except FileExistsError:
        pass
    finally:
        Path(draft).unlink()
