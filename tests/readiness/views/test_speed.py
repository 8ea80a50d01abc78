"""The page of speed and fuel: what it shows, to whom it offers what, and what it costs."""

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from readiness.queries.facts_boat import RUNS
from tests.factories.aboard import aboard, signed_in
from tests.factories.vessel import AT, BY, SOUND, a_vessel
from tests.readiness.views.asked import page
from vessel.models import FuelUse, Membership, Pseudonym, Role, SeaSpeed, SpeedPoint
from vessel.units import KNOT

pytestmark = pytest.mark.django_db
ADD = ("Add an engine speed", "Add a height of sea", "Write down a run", "Strike out", ">Change<")


@pytest.fixture
def ines() -> Membership:
    member = aboard()
    for rpm, knots, burn in ((1500, 6.0, 5.2), (1800, 7.0, 9.0)):
        SOUND[SpeedPoint](vessel=member.vessel, rpm=rpm, speed_mps=knots * KNOT, burn_l_per_h=burn)
    SOUND[SeaSpeed](vessel=member.vessel, height_m=1.0, ahead=0.9, abeam=0.96, astern=1.0)
    for days, used_l in enumerate((59.4, 64.8, 70.2)):
        SOUND[FuelUse](vessel=member.vessel, at=AT - timedelta(days=days), used_l=used_l)
    return member


def test_tables_runs_and_what_they_say_stand_on_one_page(ines: Membership) -> None:
    Pseudonym.objects.create(vessel_id=ines.vessel_id, token=BY, name="Ines Roke")

    text = page(signed_in(ines), "/boat/speed/")

    assert "3 runs used 1.20 of what the table says, the middle half 1.15 to 1.25." in text
    assert [words in text for words in ("1,800 rpm", "7.0 kn", "9.0 L/h", "90 %", "96 %", "1.0 m")] == [True] * 6
    assert text.count('<circle class="spot"') == 3
    assert [f"<b>{share}</b>" in text for share in ("1.10", "1.20", "1.30")] == [True] * 3
    assert "Fri 10 Jul 2026" in text
    assert "10:30 (09:30 UTC)" in text
    assert text.count("Ines Roke") == 3
    assert BY not in text


@pytest.mark.parametrize(
    ("role", "offered"),
    [
        (Role.OWNER, (True, True, True, True, True)),
        (Role.SKIPPER, (True, True, True, True, True)),
        (Role.CREW, (False, False, True, True, False)),
        (Role.VIEWER, (False, False, False, False, False)),
    ],
)
def test_everybody_reads_crew_write_runs_and_who_commands_changes_the_tables(
    ines: Membership, role: str, offered: tuple[bool, ...]
) -> None:
    text = page(signed_in(aboard(ines.vessel, role)), "/boat/speed/").replace("Change<span", ">Change<")

    assert "3 runs used 1.20" in text
    assert tuple(words in text for words in ADD) == offered


def test_a_struck_run_and_an_older_one_stay_readable_and_do_not_count(ines: Membership) -> None:
    for days in range(3, RUNS + 1):
        SOUND[FuelUse](vessel=ines.vessel, at=AT - timedelta(days=days), used_l=108.0 if days == RUNS else 54.0)
    SOUND[FuelUse](
        vessel=ines.vessel,
        used_l=162.0,
        note="Tank was not full",
        struck_at=AT,
        struck_by=BY,
        at=AT - timedelta(hours=1),
    )

    text = page(signed_in(ines), "/boat/speed/")

    counted, _, rest = text.partition("Older runs, which count no more</summary>")
    older, _, struck = rest.partition("Struck out</summary>")
    assert ("108.0 L" in counted, "108.0 L" in older, "162.0 L" in counted + older) == (False, True, False)
    assert "162.0 L" in struck
    assert "Tank was not full" in struck
    assert "struck out Fri 10 Jul 10:30 (09:30 UTC)" in struck
    assert ("Strike out" in older, "Strike out" in struck) == (True, False)
    assert "12 runs used 1.00" in counted


def test_an_empty_page_teaches_what_belongs_there() -> None:
    text = page(signed_in(aboard()), "/boat/speed/")

    assert "Engine speeds belong here" in text
    assert "Effective heights belong here" in text
    assert "Runs belong here" in text
    assert "nothing is taken off for the sea" in text
    assert "There is no speed table to compare runs with." in text
    assert 'class="spot"' not in text


def test_a_gap_in_the_table_is_said_before_the_table(ines: Membership) -> None:
    SpeedPoint.objects.filter(rpm=1500).update(burn_l_per_h=None)
    SOUND[FuelUse](vessel=ines.vessel, mean_rpm=1801)

    text = page(signed_in(ines), "/boat/speed/")

    assert "Fuel burnt at 1500 rpm is not known. So what she burns is not known at any speed." in text
    cells = re.findall(r'data-label="Share of it">(.*?)</td>', text)
    assert sorted(cells) == ['<span class="not-known">not known</span>'] * 3 + ["not compared"]


def test_what_another_vessel_is_like_is_not_shown(ines: Membership) -> None:
    text = page(signed_in(aboard(a_vessel())), "/boat/speed/")

    assert "1,800 rpm: 7.0 kn, 9.0 L/h" in text
    assert "Strike out" not in text
    assert "<tbody>" not in text


def queries(browser: Client) -> int:
    with CaptureQueriesContext(connection) as counted:
        page(browser, "/boat/speed/")
    return len(counted)


def test_the_page_asks_no_more_of_many_rows_than_of_few(ines: Membership) -> None:
    browser = signed_in(ines)
    few = queries(browser)
    for number in range(1, 4):
        SOUND[SpeedPoint](vessel=ines.vessel, rpm=1800 + number)
        SOUND[SeaSpeed](vessel=ines.vessel, height_m=1.0 + number)
        SOUND[FuelUse](vessel=ines.vessel, at=AT - timedelta(days=10 + number))

    assert queries(browser) == few <= 10
