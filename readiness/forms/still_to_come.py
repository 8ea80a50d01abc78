"""A planned departure that has gone by is no plan."""

from datetime import datetime

from django import forms

from vessel.calc.wording import with_utc


def still_to_come(planned_at: datetime | None, at: datetime | None, zone: str) -> datetime | None:
    """The departure typed, refused where it has gone by at `at`; `at` None: not asked."""
    if planned_at is not None and at is not None and planned_at < at:
        raise forms.ValidationError(
            f"{with_utc(planned_at.timestamp(), zone)} has gone by. Plan a departure that is still to come."
        )
    return planned_at
