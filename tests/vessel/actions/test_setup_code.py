from datetime import datetime, timedelta

import pytest

from vessel.actions.setup_code import KEEPS, WrongCode, digest_of, new_code, redeem_code
from vessel.models.setup_code import SetupCode
from vessel.queries.setup_code import code_is_waiting

pytestmark = pytest.mark.django_db


def test_a_code_works_once(at: datetime) -> None:
    code = new_code(at=at)

    redeem_code(code=code, at=at + timedelta(minutes=1))

    assert not code_is_waiting(at=at + timedelta(minutes=2))
    with pytest.raises(WrongCode, match="not the one printed last"):
        redeem_code(code=code, at=at + timedelta(minutes=2))


@pytest.mark.parametrize(
    ("after", "works"),
    [(timedelta(0), True), (KEEPS - timedelta(seconds=1), True), (KEEPS, False), (timedelta(seconds=-1), False)],
)
def test_a_code_works_for_thirty_minutes(at: datetime, after: timedelta, works: bool) -> None:
    code = new_code(at=at)

    assert code_is_waiting(at=at + after) is works
    if works:
        redeem_code(code=code, at=at + after)
    else:
        with pytest.raises(WrongCode):
            redeem_code(code=code, at=at + after)


def test_a_new_code_makes_the_one_before_void(at: datetime) -> None:
    first, second = new_code(at=at), new_code(at=at)

    with pytest.raises(WrongCode):
        redeem_code(code=first, at=at)
    redeem_code(code=second, at=at)


def test_the_code_itself_is_kept_nowhere(at: datetime) -> None:
    code = new_code(at=at)

    row = SetupCode.objects.get()
    assert row.digest == digest_of(code)
    assert code.replace("-", "") not in str(row.__dict__)
    assert len(code) == 14


def test_codes_differ(at: datetime) -> None:
    assert len({new_code(at=at) for _ in range(50)}) == 50


def test_a_code_may_be_typed_carelessly(at: datetime) -> None:
    assert digest_of(" 7k3m q2xw-9PO1") == digest_of("7K3M-Q2XW-9P0L")
