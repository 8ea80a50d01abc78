import pytest

from readiness.feeds.forecast_echo import ECHO, Echo, read_echo
from readiness.forms.forecast import BULLETIN


def words(line: str) -> str:
    return read_echo(line.encode()).lines[0].words


@pytest.mark.parametrize(
    ("line", "means"),
    [
        ("wind southwest 4", "11 to 16 kn, from SW"),
        ("wind southwest 4 or 5", "11 to 21 kn, from SW"),
        ("wind west 12", "64 kn or more, from W"),
        ("gusts 30 kn", "30 kn"),
        ("sea moderate", "1.25 to 2.50 m"),
        ("sea state: moderate", "1.25 to 2.50 m"),
        ("swell west 2 m, 9 s", "2.00 m, from W, every 9 s"),
        ("visibility good", "5.0 nmi or more"),
        ("visibility good, occasionally poor", "5.0 nmi or more; 0.5 to 2.0 nmi, at times"),
        ("wind variable 2", "4 to 6 kn, from no one direction"),
        ("wind west 4, increasing 6 later", "11 to 16 kn, from W; 22 to 27 kn, from 12 h after the issue on"),
        ("wind west 4, increasing 6 soon", "11 to 16 kn, from W; 22 to 27 kn, 6 to 12 h after the issue"),
        ("wind west 4, increasing 6 imminent", "11 to 16 kn, from W; 22 to 27 kn, within 6 h of the issue"),
        ("wind west 4, increasing 6", "11 to 16 kn, from W; 22 to 27 kn, at some time"),
        ("source coast radio", ""),
    ],
)
def test_each_line_is_told_as_it_was_understood(line: str, means: str) -> None:
    assert words(line) == means


def test_a_word_that_is_not_known_is_named_with_its_line() -> None:
    echo = read_echo(b"area 50 N 5 W\nwind southwest gusty 5")

    assert "gusty" in echo.lines[1].words
    assert echo.lines[1].words.startswith("Line 2:")
    assert echo.refusal.startswith("Line 2:")


def test_a_whole_bulletin_has_nothing_wrong_and_blank_lines_and_notes_keep_the_count() -> None:
    echo = read_echo(f"# noted at the radio\n\n{BULLETIN}".encode())

    assert echo.refusal == ""
    assert [line.number for line in echo.lines] == list(range(3, 3 + len(BULLETIN.splitlines())))


def test_it_is_the_same_out_of_the_limited_process() -> None:
    echo = ECHO(BULLETIN.encode())

    assert isinstance(echo, Echo)
    assert echo == read_echo(BULLETIN.encode())
