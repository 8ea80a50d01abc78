import numpy as np
import pytest

from readiness.calc.tide_agency import SHARES, agency_of, shares_of
from readiness.calc.tide_constituent import table_speed
from readiness.feeds.tide_table import read_constants
from vessel.errors import BadInput

SHEET = "constituent,amplitude_m,phase_utc_deg\nM2,1.75,60\nS2,0.48,118\n"
SHARED = "constituent,amplitude_m,phase_utc_deg,node_share\nM2,1.75,60,0.25\nS2,0.48,118,\n"


def test_an_agency_is_known_by_its_name_anywhere_in_the_source() -> None:
    assert agency_of("Rijkswaterstaat (Dutch state) harmonic analysis 2009-2012") == "rijkswaterstaat"
    assert agency_of("Another agency") is None
    assert agency_of(None) is None


def test_every_share_lies_between_none_and_all_and_belongs_to_a_known_constituent() -> None:
    for shares in SHARES.values():
        assert all(0 <= share <= 1 for share in shares.values())
        assert not any(np.isnan(table_speed(name)) for name in shares)


def test_constituents_the_agency_does_not_name_keep_all_of_the_swing() -> None:
    shares = shares_of("Rijkswaterstaat", ["M2", "K1", "N2"])

    assert shares is not None
    assert shares.tolist() == [0.53, 1.0, 0.0]


def test_constants_of_that_source_are_read_with_its_shares_and_others_without() -> None:
    theirs = read_constants(SHEET.encode(), {"origin": "Rijkswaterstaat"}).harmonics
    plain = read_constants(SHEET.encode(), {"origin": "made up"}).harmonics

    assert theirs.node_share is not None
    assert theirs.node_share.tolist() == [0.53, 1.0]
    assert plain.node_share is None


def test_a_column_of_shares_goes_before_the_agencys_and_a_blank_cell_means_all() -> None:
    file = read_constants(SHARED.encode(), {"origin": "Rijkswaterstaat"})

    assert file.harmonics.node_share is not None
    assert file.harmonics.node_share.tolist() == [0.25, 1.0]
    assert file.ignored == ()


@pytest.mark.parametrize("share", ["-0.01", "1.01", "55"])
def test_a_share_beyond_none_and_all_is_refused(share: str) -> None:
    with pytest.raises(BadInput, match=r"Line 2, column node_share: A share of .* lies outside 0 to 1"):
        read_constants(SHARED.replace("0.25", share).encode())
