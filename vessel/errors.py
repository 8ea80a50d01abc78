"""The one base of every "no, because ...".

A refusal is for people: its text says what happened, what was kept and what to do.
"""


class Refused(Exception):
    """A deed or an input that is refused; nothing was changed. `str()` of it is shown to the person."""


class BadInput(Refused):
    """A file or a value that cannot be read; the text names the line, message or field."""


class StaleVersion(Refused):
    """The row was changed by somebody else since it was read; both texts are kept for the person to compare."""
