"""One line of a bulletin, word by word."""

import math

import pytest

from readiness.calc.forecast_terms import Band
from readiness.feeds.forecast_words import Piece, Subject, pieces_of
from vessel.errors import BadInput
from vessel.units import HOUR, KNOT, NAUTICAL_MILE

LATER, SOON, IMMINENT = Band(12 * HOUR, math.inf), Band(6 * HOUR, 12 * HOUR), Band(0, 6 * HOUR)


def kn(low: float, high: float) -> Band:
    return Band(pytest.approx(low * KNOT), pytest.approx(high * KNOT))  # type: ignore[arg-type]


SAID: dict[tuple[str, Subject], tuple[Piece, ...]] = {
    ("southwest 4 or 5", "wind"): (Piece(kn(11, 21), 225),),
    ("SW force 4-5", "wind"): (Piece(kn(11, 21), 225),),
    ("westerly 15 to 20 kn", "wind"): (Piece(kn(15, 20), 270),),
    ("north-west gale 8 imminent", "wind"): (Piece(kn(34, 40), 315, window=IMMINENT),),
    ("severe gale 9 from the north", "wind"): (Piece(kn(41, 47), 0),),
    ("north fresh breeze", "wind"): (Piece(kn(17, 21), 0),),
    ("S 4, 5 or 6", "wind"): (Piece(kn(11, 16), 180), Piece(kn(17, 27))),
    ("south to southwest 3", "wind"): (Piece(kn(7, 10), 202.5),),
    ("W 4, veering northwest later", "wind"): (Piece(kn(11, 16), 270), Piece(None, 315, window=LATER, changes=True)),
    ("W 4 increasing 6 at times soon", "wind"): (
        Piece(kn(11, 16), 270), Piece(kn(22, 27), window=SOON, changes=True, passing=True),
    ),
    ("W 4, occasionally 6", "wind"): (Piece(kn(11, 16), 270), Piece(kn(22, 27), passing=True)),
    ("8 m/s", "wind"): (Piece(Band(8, 8)),),
    ("calm", "wind"): (Piece(Band(0, 0)),),
    ("30 kn", "gusts"): (Piece(kn(30, 30)),),
    ("moderate or rough", "sea"): (Piece(Band(1.25, 4)),),
    ("very rough, decreasing moderate later", "sea"): (Piece(Band(4, 6)), Piece(Band(1.25, 2.5), window=LATER, changes=True)),
    ("calm", "sea"): (Piece(Band(0, 0.1)),),
    ("1 to 2 m, 6 s, from southwest", "sea"): (Piece(Band(1, 2), 225, Band(6, 6)),),
    ("S 2 m 9 s", "swell"): (Piece(Band(2, 2), 180, Band(9, 9)),),
    ("good, occasionally very poor", "visibility"): (Piece(Band(9260, math.inf)), Piece(Band(0, 1000), passing=True)),
    ("2 nmi to 5 nmi", "visibility"): (Piece(Band(2 * NAUTICAL_MILE, 5 * NAUTICAL_MILE)),),
    ("500 m", "visibility"): (Piece(Band(500, 500)),),
}  # fmt: skip


@pytest.mark.parametrize(("text", "subject"), SAID)
def test_a_line_falls_into_pieces(text: str, subject: Subject) -> None:
    assert pieces_of(text, subject, 3) == SAID[text, subject]


def test_a_wind_of_three_or_less_may_be_none_and_has_no_direction() -> None:
    (piece,) = pieces_of("variable 3 or less", "wind", 1)

    assert piece.band == kn(0, 10)
    assert piece.from_deg is not None
    assert math.isnan(piece.from_deg)


REFUSED: dict[tuple[str, Subject], str] = {
    ("west 15", "wind"): "Line 3: is 15 in knots? Write 15 kn; a bare number is a force from 0 to 12.",
    ("west 4.5", "wind"): "Line 3: is 4.5 in knots?",
    ("west breezy", "wind"): "Line 3: 'breezy' is not a word known here for the wind.",
    ("west 20 mph", "wind"): "Line 3: 'mph' is not taken; write it in kn.",
    ("west 20 m", "wind"): "Line 3: 'm' is not a word known here for the wind.",
    ("gale 7", "wind"): "Line 3: 'gale' is force 8, and 7 stands behind it.",
    ("west 6 to 4", "wind"): "Line 3: the band of the wind runs from more to less; write the lower figure first.",
    ("west 4 5 6", "wind"): "Line 3: a band of the wind is one figure or two, not 3.",
    ("west east north 4", "wind"): "Line 3: too much is said about the wind between two commas.",
    ("variable west 4", "wind"): "Line 3: too much is said about the wind between two commas.",
    ("west 4, later", "wind"): "Line 3: a word about the wind says when or how, and not what comes.",
    ("west", "wind"): "Line 3: the wind begins without saying how much it is.",
    ("", "wind"): "Line 3: the wind begins without saying how much it is.",
    ("west 10 kn to 8 m/s", "wind"): "Line 3: 'kn' and 'm/s' stand in one band.",
    ("2", "sea"): "Line 3: in which unit is 2? Write it after the number.",
    ("1,5 m", "sea"): "Line 3: is the comma in a number a decimal comma? Write it with a point.",
    ("6 feet", "sea"): "Line 3: 'feet' is not taken; write it in m.",
    ("lumpy", "sea"): "Line 3: 'lumpy' is not a word known here for the sea.",
    ("moderate m", "sea"): "Line 3: 'm' is not a word known here for the sea.",
    ("1 m to 2 m 3 m", "sea"): "Line 3: the sea is given twice between two commas.",
    ("rough", "swell"): "Line 3: 'rough' is not a word known here for the swell.",
    ("3 miles", "visibility"): "Line 3: 'miles' is not taken; write it in nmi.",
    ("x" * 401, "sea"): "Line 3: it is longer than 400 characters.",
}


@pytest.mark.parametrize(("text", "subject"), REFUSED)
def test_what_is_not_understood_is_asked_by_line_and_word(text: str, subject: Subject) -> None:
    with pytest.raises(BadInput) as refusal:
        pieces_of(text, subject, 3)

    assert str(refusal.value).startswith(REFUSED[text, subject])
    assert str(refusal.value).endswith(" Nothing was taken in.")
