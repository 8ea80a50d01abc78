import numpy as np
import pytest

from readiness.feeds.tide_answer import covers, datum_words, heights, high_and_low
from readiness.feeds.tide_table import read_constants, read_high_low
from tests.factories.tide import epoch

CONSTANTS = b"constituent,amplitude_m,phase_utc_deg\nM2,1.0,0\n"
TABLE = b"time_utc,height_m,type\n2027-05-15 07:30,1.0,L\n2027-05-15 13:30,4.0,H\n2027-05-15 20:00,0.5,L\n"
LEVEL = {"mean_level_m": 2.6, "datum": "chart datum"}


def test_constants_give_heights_above_the_datum_where_the_level_is_known() -> None:
    at = epoch("2027-05-15T10:00Z")

    above_datum = heights(read_constants(CONSTANTS, LEVEL), at)
    above_level = heights(read_constants(CONSTANTS), at)

    assert float(above_datum) - float(above_level) == pytest.approx(2.6)


def test_the_datum_is_named_and_never_made_up() -> None:
    assert datum_words(read_constants(CONSTANTS, LEVEL)) == "chart datum"
    assert datum_words(read_constants(CONSTANTS)).startswith("the mean level")
    assert datum_words(read_high_low(TABLE)) == "a datum that is not stated"


def test_a_table_gives_its_events_and_a_cosine_between_them() -> None:
    file = read_high_low(TABLE)

    assert heights(file, epoch("2027-05-15T10:30Z")) == pytest.approx(2.5)
    assert high_and_low(file, epoch("2027-05-15T07:30Z"), epoch("2027-05-15T13:30Z")).height_m.tolist() == [1.0, 4.0]
    assert np.isnan(heights(file, epoch("2027-05-15T07:29Z")))


def test_a_diurnal_table_is_believed_over_a_longer_gap() -> None:
    text = b"time_utc,height_m,type\n2027-05-15 00:00,1.0,L\n2027-05-15 13:00,2.0,H\n"

    assert np.isnan(heights(read_high_low(text), epoch("2027-05-15T06:30Z")))
    assert heights(read_high_low(text, {"form_number_F": 6.78}), epoch("2027-05-15T06:30Z")) == pytest.approx(1.5)


def test_a_table_covers_its_own_days_and_constants_cover_all() -> None:
    assert covers(read_high_low(TABLE)) == (epoch("2027-05-15T07:30Z"), epoch("2027-05-15T20:00Z"))
    assert covers(read_constants(CONSTANTS)) == (-np.inf, np.inf)
