"""Rows of the route editor moved by buttons, without scripts: nothing is saved, nothing typed is lost."""

import pytest
from django.test import Client

from readiness.models import Leg
from tests.readiness.views.sent_route import names, opened, post, sent_back

pytestmark = pytest.mark.django_db


def test_rows_move_up_and_down_and_the_ends_stay_the_ends_of_the_list(owner: Client, leg: Leg) -> None:
    stands = names(opened(owner, leg.pk))

    assert names(post(owner, leg, "up-1")) == [stands[1], stands[0], *stands[2:]]
    assert names(post(owner, leg, "down-1")) == [stands[0], stands[2], stands[1], *stands[3:]]
    assert names(post(owner, leg, "up-0")) == stands
    assert names(post(owner, leg, "down-5")) == stands


def test_a_row_is_put_in_and_taken_out(owner: Client, leg: Leg) -> None:
    stands = names(opened(owner, leg.pk))

    assert names(post(owner, leg, "in-0")) == [stands[0], "Point 2", *stands[1:]]
    assert names(post(owner, leg, "out-2")) == [*stands[:2], *stands[3:]]
    assert names(post(owner, leg, "out-99")) == stands
    assert names(post(owner, leg, "nonsense-3")) == stands


def test_the_other_way_round_turns_points_and_segments(owner: Client, leg: Leg) -> None:
    stands = sent_back(opened(owner, leg.pk))

    turned = sent_back(post(owner, leg, "reverse"))

    assert [turned[f"p{n}-name"] for n in range(6)] == [stands[f"p{n}-name"] for n in range(5, -1, -1)]
    assert [turned[f"p{n}-stream"] for n in range(5)] == [stands[f"p{n}-stream"] for n in range(4, -1, -1)]


def test_a_point_from_the_picture_goes_into_the_nearest_segment(owner: Client, leg: Leg) -> None:
    stands = names(opened(owner, leg.pk))

    text = post(owner, leg, "add", add_lat="46 28 N", add_lon="14 20 W")

    sent = sent_back(text)
    place = names(text).index("Point 4")
    assert names(text) == [*stands[:3], "Point 4", *stands[3:]]
    assert (sent[f"p{place}-lat"], sent[f"p{place}-lon"]) == ("46 28 N", "14 20 W")
    assert sent[f"p{place}-stream"] == sent[f"p{place - 1}-stream"]


def test_a_moved_segment_no_longer_keeps_the_shore_that_was_typed_for_it(owner: Client, leg: Leg) -> None:
    typed = {"p0_shore_m": "0.5 nmi", "p0_shore_to_deg": "10", "p4_shore_m": "2 nmi"}

    sent = sent_back(post(owner, leg, "in-0", **typed))

    assert (sent["p0-shore_m"], sent["p1-shore_m"], sent["p5-shore_m"]) == ("", "", "2 nmi")


def test_nothing_is_said_of_mistakes_before_saving(owner: Client, leg: Leg) -> None:
    text = post(owner, leg, "in-0")

    assert "Not saved yet" not in text
    assert "Point 2 has no position that can be read yet." in text


def test_two_points_put_in_have_names_of_their_own(owner: Client, leg: Leg) -> None:
    text = post(owner, leg, "in-0", p1_name="Point 2", p3_name="Point 3")

    assert names(text)[:5] == [names(opened(owner, leg.pk))[0], "Point 4", "Point 2", *names(text)[3:5]]
    assert len(set(names(text))) == len(names(text))
