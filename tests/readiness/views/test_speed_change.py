"""Rows of the speed table and of the seas, and runs: written, changed, taken out, struck out; once, and by whom."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine
from django.test import Client

from tests.factories.aboard import aboard, signed_in
from tests.factories.vessel import SOUND
from tests.readiness.views.asked import page
from vessel.models import DueWork, FuelUse, HistoryEntry, Membership, Role, SeaSpeed, SpeedPoint
from vessel.units import KNOT

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 5, 15, 5, 0, tzinfo=UTC)
SPEED = {"version": "0", "once": "a1", "rpm": "1800", "speed_mps": "7 kn", "burn_l_per_h": "9 L/h"}
SEA = {"version": "0", "once": "a1", "height_m": "1 m", "ahead": "90 %", "abeam": "96 %", "astern": "100 %"}
RUN = {
    "once": "a1", "ended_at": "2027-05-14T17:00", "from_engine_hours": "1204.5", "to_engine_hours": "1213.5",
    "used_l": "82 L", "mean_rpm": "1800",
}  # fmt: skip


@pytest.fixture(autouse=True)
def _hour() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def ines() -> Membership:
    return aboard()


@pytest.fixture
def owner(ines: Membership) -> Client:
    return signed_in(ines)


@pytest.fixture
def point(ines: Membership) -> SpeedPoint:
    """7 kn and 9 litres an hour at 1,800 rpm."""
    made: SpeedPoint = SOUND[SpeedPoint](vessel=ines.vessel, speed_mps=7 * KNOT, burn_l_per_h=9.0)
    return made


@pytest.fixture
def use(ines: Membership) -> FuelUse:
    """54 litres in six hours at 1,800 rpm."""
    made: FuelUse = SOUND[FuelUse](vessel=ines.vessel)
    return made


def judged_again() -> int:
    return DueWork.objects.filter(task="readiness.tasks.judge_coming_legs").count()


def test_an_engine_speed_is_written_down_once(owner: Client, ines: Membership) -> None:
    answers = [owner.post("/boat/speed/table/add/", SPEED) for _ in range(2)]

    row = SpeedPoint.objects.get()
    assert {(answer.status_code, answer["Location"]) for answer in answers} == {(302, "/boat/speed/")}
    assert (row.vessel, row.rpm, row.burn_l_per_h) == (ines.vessel, 1800, 9.0)
    assert row.speed_mps == pytest.approx(7 * KNOT)
    assert HistoryEntry.objects.get().what == "Speed point written down: 1800 rpm."
    assert judged_again() == 1


def test_a_height_of_sea_is_written_down_once(owner: Client, ines: Membership) -> None:
    for _ in range(2):
        answer = owner.post("/boat/speed/sea/add/", SEA, follow=True)

    row = SeaSpeed.objects.get()
    assert (row.vessel, row.height_m, row.ahead, row.abeam, row.astern) == (ines.vessel, 1.0, 0.9, 0.96, 1.0)
    assert "The row is written down. Coming legs are being judged again." in answer.content.decode()


def test_the_same_form_with_other_words_is_asked_about(owner: Client) -> None:
    owner.post("/boat/speed/table/add/", SPEED)

    answer = owner.post("/boat/speed/table/add/", {**SPEED, "rpm": "2200"})

    assert answer.status_code == 422
    assert "was saved already with other words" in answer.content.decode()
    assert SpeedPoint.objects.get().rpm == 1800


@pytest.mark.parametrize(
    ("address", "sent", "told"),
    [
        ("table/add/", {**SPEED, "speed_mps": "fast"}, "“fast” is not a quantity"),
        ("sea/add/", {**SEA, "ahead": "0.9"}, "“0.9” is not from 1 to 100 % of her speed."),
        ("runs/add/", {**RUN, "to_engine_hours": "1200"}, "The meter must rise over a run"),
        ("runs/add/", {**RUN, "ended_at": "2027-05-15T08:00"}, "A run cannot end in the future"),
    ],
)
def test_a_mistake_is_told_at_its_field_and_nothing_is_written(
    owner: Client, address: str, sent: dict[str, str], told: str
) -> None:
    answer = owner.post(f"/boat/speed/{address}", sent)

    text = answer.content.decode()
    assert answer.status_code == 422
    assert told in text.partition('class="field wrong"')[2]
    assert (SpeedPoint.objects.count(), SeaSpeed.objects.count(), FuelUse.objects.count()) == (0, 0, 0)
    assert (HistoryEntry.objects.count(), judged_again()) == (0, 0)


def test_a_second_row_of_a_kind_is_refused_at_its_field(owner: Client, point: SpeedPoint) -> None:
    other: SpeedPoint = SOUND[SpeedPoint](vessel=point.vessel, rpm=2200)
    SOUND[SeaSpeed](vessel=point.vessel)

    answers = [
        owner.post("/boat/speed/table/add/", SPEED),
        owner.post("/boat/speed/sea/add/", SEA),
        owner.post(f"/boat/speed/table/{other.pk}/", {**SPEED, "version": "1"}),
    ]

    told = [answer.content.decode().partition('class="field wrong"')[2] for answer in answers]
    assert [answer.status_code for answer in answers] == [422] * 3
    assert "The table has a row of 1800 rpm already. Change that one." in told[0]
    assert "The table has a row of 1 m already. Change that one." in told[1]
    assert "The table has a row of 1800 rpm already." in told[2]
    assert (SpeedPoint.objects.count(), SeaSpeed.objects.count(), HistoryEntry.objects.count()) == (2, 1, 0)


def test_another_vessels_row_of_that_kind_is_in_nobodys_way(point: SpeedPoint) -> None:
    assert signed_in(aboard()).post("/boat/speed/table/add/", SPEED).status_code == 302
    assert SpeedPoint.objects.count() == 2


def test_a_row_is_changed_and_history_tells_both_figures(owner: Client, point: SpeedPoint) -> None:
    shown = page(owner, f"/boat/speed/table/{point.pk}/")

    answer = owner.post(f"/boat/speed/table/{point.pk}/", {**SPEED, "version": "1", "burn_l_per_h": "9.5"})

    point.refresh_from_db()
    entry = HistoryEntry.objects.get()
    assert [f'value="{words}"' in shown for words in ("1800 rpm", "7 kn", "9 L/h")] == [True] * 3
    assert (answer.status_code, point.burn_l_per_h, point.version) == (302, 9.5, 2)
    assert entry.changes == {"burn_l_per_h": [9.0, 9.5]}
    assert judged_again() == 1


def test_two_people_do_not_overwrite_each_other(owner: Client, point: SpeedPoint) -> None:
    owner.post(f"/boat/speed/table/{point.pk}/", {**SPEED, "version": "1", "burn_l_per_h": "9.5"})

    answer = owner.post(f"/boat/speed/table/{point.pk}/", {**SPEED, "version": "1", "once": "b", "burn_l_per_h": "12"})

    point.refresh_from_db()
    assert answer.status_code == 422
    assert "Burn: yours “12 L/h”, theirs “9.50 L/h”" in answer.content.decode()
    assert 'name="version" value="2"' in answer.content.decode()
    assert point.burn_l_per_h == 9.5


def test_a_row_is_taken_out_as_it_was_seen_and_else_kept(owner: Client, point: SpeedPoint) -> None:
    stale = owner.post(f"/boat/speed/table/{point.pk}/away/", {"version": "7", "once": "a"})

    assert stale.status_code == 422
    assert "it was kept" in stale.content.decode()
    assert "Change 1800 rpm" in stale.content.decode()

    answer = owner.post(f"/boat/speed/table/{point.pk}/away/", {"version": "1", "once": "b"}, follow=True)

    assert not SpeedPoint.objects.exists()
    assert "The row of 1800 rpm is taken out." in answer.content.decode()
    assert HistoryEntry.objects.get().what == "Speed point taken away: 1800 rpm."


def test_a_height_of_sea_is_changed_and_taken_out(owner: Client, ines: Membership) -> None:
    row: SeaSpeed = SOUND[SeaSpeed](vessel=ines.vessel)

    owner.post(f"/boat/speed/sea/{row.pk}/", {**SEA, "version": "1", "ahead": "75 %"})
    row.refresh_from_db()
    changed = (row.ahead, row.version)
    owner.post(f"/boat/speed/sea/{row.pk}/away/", {"version": "2", "once": "b"})

    assert changed == (0.75, 2)
    assert not SeaSpeed.objects.exists()


def test_a_run_is_written_down_once_by_one_of_the_crew(ines: Membership) -> None:
    crew = signed_in(aboard(ines.vessel, Role.CREW))

    answers = [crew.post("/boat/speed/runs/add/", {**RUN, "note": "Calm"}) for _ in range(2)]

    use = FuelUse.objects.get()
    assert {answer.status_code for answer in answers} == {302}
    assert (use.vessel, use.at, use.used_l, use.note) == (
        ines.vessel,
        datetime(2027, 5, 14, 16, tzinfo=UTC),
        82.0,
        "Calm",
    )
    assert (use.mean_rpm, use.mean_speed_mps, use.by.startswith("crew-")) == (1800.0, None, True)
    assert judged_again() == 1


def test_striking_out_asks_first_and_keeps_the_run(owner: Client, use: FuelUse) -> None:
    asked = page(owner, f"/boat/speed/runs/{use.pk}/strike/")

    answers = [owner.post(f"/boat/speed/runs/{use.pk}/strike/", {"once": "a"}, follow=True) for _ in range(2)]

    use.refresh_from_db()
    assert "54.0 L" in asked
    assert "4,200.0 to 4,206.0 engine hours, at 1,800 rpm, ended Fri 10 Jul 2026 at 10:30 (09:30 UTC)." in asked
    assert {answer.status_code for answer in answers} == {200}
    assert use.struck_at == NOW
    assert HistoryEntry.objects.filter(noun="fuel use").count() == 1
    assert "it stays readable and counts no more" in answers[0].content.decode()


def test_a_run_that_is_struck_out_already_says_so(owner: Client, use: FuelUse) -> None:
    owner.post(f"/boat/speed/runs/{use.pk}/strike/", {"once": "a"})

    again = owner.post(f"/boat/speed/runs/{use.pk}/strike/", {"once": "b"})

    assert again.status_code == 422
    assert "This run is struck out already; nothing was changed." in again.content.decode()


@pytest.mark.parametrize(
    ("role", "tables", "runs"),
    [(Role.OWNER, 200, 200), (Role.SKIPPER, 200, 200), (Role.CREW, 403, 200), (Role.VIEWER, 403, 403)],
)
def test_who_commands_changes_the_tables_and_who_is_aboard_writes_runs(
    ines: Membership, point: SpeedPoint, use: FuelUse, role: str, tables: int, runs: int
) -> None:
    row: SeaSpeed = SOUND[SeaSpeed](vessel=ines.vessel)
    browser = signed_in(aboard(ines.vessel, role))

    statuses = [
        {browser.get(f"/boat/speed/{path}").status_code for path in paths}
        for paths in (
            ("table/add/", f"table/{point.pk}/", "sea/add/", f"sea/{row.pk}/"),
            ("runs/add/", f"runs/{use.pk}/strike/"),
        )
    ]

    assert statuses == [{tables}, {runs}]


def test_a_row_or_run_of_another_vessel_is_not_there(point: SpeedPoint, use: FuelUse) -> None:
    sea: SeaSpeed = SOUND[SeaSpeed](vessel=point.vessel)
    stranger = signed_in(aboard())
    sent = {**SPEED, **SEA, "version": "1"}

    paths = (f"table/{point.pk}/", f"table/{point.pk}/away/", f"sea/{sea.pk}/", f"sea/{sea.pk}/away/",
             f"runs/{use.pk}/strike/")  # fmt: skip
    assert {stranger.post(f"/boat/speed/{path}", sent).status_code for path in paths} == {404}
    assert (SpeedPoint.objects.count(), SeaSpeed.objects.count()) == (1, 1)
    use.refresh_from_db()
    assert use.struck_at is None
