"""Moments on pages: the year stands where the day would be taken for another."""

from datetime import UTC, datetime, timedelta

import pytest
import time_machine

from vessel.templatetags.units import local, local_short

ISSUED = datetime(2011, 10, 8, 12, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("passed", "long", "short"),
    [
        (timedelta(days=180), "Sat 8 Oct 13:00 (12:00 UTC)", "Sat 8 Oct 13:00"),
        (timedelta(days=-180), "Sat 8 Oct 13:00 (12:00 UTC)", "Sat 8 Oct 13:00"),
        (timedelta(days=184), "Sat 8 Oct 2011 13:00 (12:00 UTC)", "Sat 8 Oct 2011 13:00"),
        (timedelta(days=-184), "Sat 8 Oct 2011 13:00 (12:00 UTC)", "Sat 8 Oct 2011 13:00"),
        (timedelta(days=5527), "Sat 8 Oct 2011 13:00 (12:00 UTC)", "Sat 8 Oct 2011 13:00"),
    ],
)
def test_a_day_more_than_half_a_year_away_has_its_year(passed: timedelta, long: str, short: str) -> None:
    with time_machine.travel(ISSUED + passed, tick=False):
        assert (local(ISSUED, "Europe/Lisbon"), local_short(ISSUED, "Europe/Lisbon")) == (long, short)
