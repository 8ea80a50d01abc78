"""Placing things on the paper of a picture."""


def percent(value: float) -> str:
    """A share of the paper's width or height, two decimals and no trailing noughts, kept within the paper."""
    return f"{min(100.0, max(0.0, value)):.2f}".rstrip("0").rstrip(".")
