"""Which departure is meant by a typed time."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from readiness.rules.departure import departure_index
from readiness.rules.engine import Judged, judge
from tests.factories.worked_example import worked_example
from vessel.calc.wording import with_utc
from vessel.errors import BadInput


@pytest.fixture(scope="module")
def judged() -> Judged:
    return judge(worked_example())


def text_of(at: float) -> str:
    """The time as it is typed."""
    return datetime.fromtimestamp(at, UTC).isoformat()


def test_nothing_typed_means_the_planned_departure(judged: Judged) -> None:
    at = judged.passage.departure_at

    assert departure_index(judged, None, float(at[7])) == 7


def test_each_departure_is_found_by_its_own_time(judged: Judged) -> None:
    at = judged.passage.departure_at

    found = [departure_index(judged, text_of(float(each)), 0.0) for each in at]

    assert found == list(range(len(at)))


def test_a_time_in_another_zone_means_the_same_moment(judged: Judged) -> None:
    at = datetime.fromtimestamp(float(judged.passage.departure_at[4]), timezone(timedelta(hours=5, minutes=45)))

    assert departure_index(judged, at.isoformat(), 0.0) == 4


@pytest.mark.parametrize(("past_the_last_s", "is_one"), [(0, True), (900, True), (901, False)])
def test_a_time_past_the_last_departure_is_refused_beyond_one_interval(
    judged: Judged, past_the_last_s: float, is_one: bool
) -> None:
    at = judged.passage.departure_at
    typed = text_of(float(at[-1]) + past_the_last_s)

    if is_one:
        assert departure_index(judged, typed, 0.0) == len(at) - 1
    else:
        first, last = (with_utc(float(one), "Europe/London") for one in (at[0], at[-1]))
        with pytest.raises(BadInput) as refusal:
            departure_index(judged, typed, 0.0)
        assert str(refusal.value).endswith(f"the departures judged: the first is {first}, the last {last}.")


@pytest.mark.parametrize(
    ("typed", "says"),
    [("soon", "soon is not a time"), ("", "is not a time"), ("2027-05-15T06:30", "has no zone. Write")],
)
def test_a_text_that_is_no_moment_is_refused(judged: Judged, typed: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        departure_index(judged, typed, 0.0)
