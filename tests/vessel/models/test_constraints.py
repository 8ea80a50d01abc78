"""Every constraint of every noun aboard: kept by a sound row and at its limit, broken past it."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.db.models import CheckConstraint, Model, UniqueConstraint

from readiness.rules import words_of_trade
from tests.factories.broken_rows import breaking, checks_of, uniques_of
from tests.factories.vessel import AT, BY, SOUND, a_source
from vessel import models

pytestmark = pytest.mark.django_db

ALL_CHECKS = checks_of("vessel", SOUND)
AGAINST_ITSELF = "feed_choice_is_another_item"  # has a test of its own below
CHECKS = [(kind, constraint) for kind, constraint in ALL_CHECKS if constraint.name != AGAINST_ITSELF]
DAY = date(2026, 5, 1)
FEED = {"source": None, "converter": None}
# Broken rows for the constraints whose name is no common shape.
BROKEN: dict[str, list[dict[str, Any]]] = {
    "attachment_hash_is_64_hex_digits": [{"sha256": "a" * 63}, {"sha256": "A" * 64}, {"sha256": "g" * 64}],
    "vessel_speed_factor_late_is_within_bounds": [{"speed_factor_late": 0.49}, {"speed_factor_late": 1.01}],
    "vessel_speed_factor_early_is_within_bounds": [{"speed_factor_early": 0.99}, {"speed_factor_early": 1.51}],
    "vessel_waterline_is_not_longer_than_she_is": [{"loa_m": 12.0, "lwl_m": 12.01}],
    "chart_south_deg_is_within_bounds": [{"south_deg": -90.1}],
    "chart_north_deg_is_within_bounds": [{"north_deg": 90.1}],
    "chart_west_deg_is_within_bounds": [{"west_deg": -180.1}, {"west_deg": 180.1}],
    "vessel_currency_is_three_capitals": [{"currency": "eur"}, {"currency": "EURO"}, {"currency": "E"}],
    "sea_speed_ahead_is_within_bounds": [{"ahead": 1.01}],
    "sea_speed_abeam_is_within_bounds": [{"abeam": 1.01}],
    "sea_speed_astern_is_within_bounds": [{"astern": 1.01}],
    "chart_east_deg_is_within_bounds": [{"east_deg": -180.1}, {"east_deg": 180.1}],
    "chart_south_is_south_of_north": [{"south_deg": 47.0, "north_deg": 47.0}],
    "equipment_valid_until_and_valid_until_precision_pair": [{"valid_until": DAY}, {"valid_until_precision": "day"}],
    "equipment_fitted_on_before_removed_on": [{"fitted_on": DAY, "removed_on": DAY}],
    "electrical_source_charge_at_end_is_within_bounds": [
        {"charge_ended_at": AT, "charge_at_end": -0.1}, {"charge_ended_at": AT, "charge_at_end": 1.1}],
    "electrical_source_charge_ended_at_and_charge_at_end_pair": [{"charge_ended_at": AT}, {"charge_at_end": 0.8}],
    "converter_efficiency_is_within_bounds": [{"efficiency": 0.09}, {"efficiency": 1.01}],
    "load_duty_is_within_bounds": [{"duty": -0.1}, {"duty": 1.1}],
    "load_has_one_feed": [FEED],
    "history_starts_at_one": [{"number": 0}],
    "history_first_entry_follows_nothing": [{"number": 2}, {"previous_hash": "a" * 64}],
    "history_private_text_and_salt_pair": [{"salt": None}, {"text": None, "struck_at": AT, "struck_by": BY}],
    "history_private_struck_at_and_struck_by_pair": [{"text": None, "salt": None, "struck_at": AT}],
    "history_private_is_there_or_struck_out": [
        {"text": None, "salt": None}, {"struck_at": AT, "struck_by": BY}],
    "fuel_use_from_engine_hours_before_to_engine_hours": [{"to_engine_hours": 4200.0}],
    "fuel_use_tells_an_engine_or_a_boat_speed": [{"mean_rpm": None, "mean_speed_mps": None}],
    "fuel_use_struck_at_and_struck_by_pair": [{"struck_at": AT}, {"struck_by": BY}],
    "log_entry_struck_at_and_struck_by_pair": [{"struck_at": AT}, {"struck_by": BY}],
    "api_token_digest_is_64_hex_digits": [{"digest": "a" * 63}, {"digest": "A" * 64}],
    "api_token_runs_out_after_it_was_made": [{"expires_at": AT}, {"expires_at": AT - timedelta(1)}],
    "given_answer_hash_is_64_hex_digits": [{"request_sha256": "a" * 63}, {"request_sha256": "A" * 64}],
    "paper_valid_until_and_valid_until_precision_pair": [{"valid_until": DAY}, {"valid_until_precision": "month"}],
    "paper_closed_at_and_evidence_pair": [{"closed_at": AT}, {"evidence": "Photo"}],
    "paper_valid_from_not_after_valid_until": [
        {"valid_from": DAY + timedelta(1), "valid_until": DAY, "valid_until_precision": "day"}],
    "safety_equipment_valid_until_and_valid_until_precision_pair": [
        {"valid_until": DAY}, {"valid_until_precision": "day"}],
    "availability_aboard_from_before_aboard_until": [{"aboard_until": AT}, {"aboard_until": AT - timedelta(hours=1)}],
    "availability_free_to_stay_has_no_time_to_leave": [{"free_to_stay": True, "must_leave_at": AT}],
    "availability_answer_carries_its_time": [{"answer": "yes"}, {"answer": "no"}, {"confirmed_at": AT}],
    "rest_rest_24_h_is_within_bounds": [{"rest_24_h": 24.1}, {"rest_24_h": -0.1, "longest_unbroken_h": -0.1}],
    "rest_longest_unbroken_h_is_within_bounds": [{"longest_unbroken_h": -0.1}],
    "rest_rest_7_days_h_is_within_bounds": [{"rest_7_days_h": -1.0}, {"rest_7_days_h": 168.1}],
    "rest_other_work_h_is_within_bounds": [{"other_work_h": -1.0}, {"other_work_h": 24.1}],
    "rest_unbroken_part_is_not_more_than_all": [{"longest_unbroken_h": 10.1}],
    "tank_unusable_part_is_less_than_it_holds": [{"unusable_l": 450.0}],
    "series_limit_and_limit_outcome_pair": [{"limit": 2.0}, {"limit_outcome": "condition"}],
    "reading_struck_at_and_struck_by_pair": [{"struck_at": AT}, {"struck_by": BY}],
}  # fmt: skip
AT_THE_LIMIT: list[tuple[type[Model], dict[str, Any]]] = [
    (models.Vessel, {"speed_factor_late": 0.5, "speed_factor_early": 1.5, "slip_s": 0, "loa_m": 12.0, "lwl_m": 12.0}),
    (models.Vessel, {"speed_factor_late": 1.0, "speed_factor_early": 1.0, "loa_m": None, "lwl_m": 11.0}),
    (models.Vessel, {"currency": "EUR"}),
    (models.FuelUse, {"mean_rpm": None, "mean_speed_mps": 3.6, "struck_at": AT, "struck_by": BY}),
    (models.SeaSpeed, {"ahead": 1.0, "abeam": 1.0, "astern": 1.0}),
    (models.Chart, {"south_deg": -90.0, "north_deg": 90.0, "west_deg": 180.0, "east_deg": -180.0}),
    (models.Equipment, {"valid_until": DAY, "valid_until_precision": "month", "quantity": 0, "keep_days": None}),
    (models.ElectricalSource, {"charge_ended_at": AT, "charge_at_end": 1.0}),
    (models.ElectricalSource, {"charge_ended_at": AT, "charge_at_end": 0.0, "chemistry": None}),
    (models.Load, {"duty": 1.0, "running_a": 0.0, "essential": None}),
    (models.HistoryPrivate, {"text": None, "salt": None, "struck_at": AT, "struck_by": BY}),
    (models.Paper, {"valid_from": DAY, "valid_until": DAY, "valid_until_precision": "day"}),
    (models.Availability, {"answer": "no", "confirmed_at": AT}),
    (models.Rest, {"rest_24_h": 24.0, "longest_unbroken_h": 24.0, "rest_7_days_h": 168.0, "other_work_h": 0.0}),
    (models.Tank, {"unusable_l": 0.0, "gauge": None}),
    (models.Series, {"limit": 200.0, "limit_outcome": "advice"}),
    (models.Person, {"fit": None}),
]


def test_every_check_is_broken_somewhere() -> None:
    left_out = [c.name for kind, c in ALL_CHECKS if breaking(kind, c.name) is None and c.name not in BROKEN]

    assert left_out == [AGAINST_ITSELF]
    assert set(BROKEN) <= {constraint.name for _, constraint in CHECKS}


def test_every_noun_has_a_sound_row() -> None:
    others = {models.DueWork, models.SetupCode} if hasattr(models, "SetupCode") else {models.DueWork}
    nouns = {kind for kind in vars(models).values() if isinstance(kind, type) and issubclass(kind, Model)}

    assert nouns - others == set(SOUND)


@pytest.mark.parametrize("kind", SOUND, ids=lambda kind: kind.__name__)
def test_a_sound_row_is_kept(kind: type[Model]) -> None:
    row = SOUND[kind]()

    assert kind._default_manager.filter(pk=row.pk).count() == 1
    assert str(row)


@pytest.mark.parametrize(("kind", "values"), AT_THE_LIMIT)
def test_a_row_exactly_at_the_limit_is_kept(kind: type[Model], values: dict[str, Any]) -> None:
    row = SOUND[kind](**values)

    assert kind._default_manager.filter(pk=row.pk, **{k: v for k, v in values.items() if v is not None}).exists()


@pytest.mark.parametrize(("kind", "constraint"), CHECKS, ids=[constraint.name for _, constraint in CHECKS])
def test_a_row_that_breaks_a_check_is_refused_by_the_database(kind: type[Model], constraint: CheckConstraint) -> None:
    for values in BROKEN.get(constraint.name) or [breaking(kind, constraint.name) or {}]:
        with pytest.raises(IntegrityError, match=constraint.name), transaction.atomic():
            SOUND[kind](**values)


@pytest.mark.parametrize(
    ("kind", "constraint"), uniques_of(SOUND), ids=[constraint.name for _, constraint in uniques_of(SOUND)]
)
def test_a_twin_is_refused_by_the_database(kind: type[Model], constraint: UniqueConstraint) -> None:
    fields = {"user": None} if kind is models.Person else {}
    row = SOUND[kind](**fields)
    same = {name: getattr(row, name) for name in constraint.fields}
    if constraint.name == "person_once_for_each_account":
        same["user"] = SOUND[models.Membership]().user
        kind._default_manager.filter(pk=row.pk).update(user=same["user"])
    if constraint.name == "history_never_forks":
        same["number"] = 1

    with pytest.raises(IntegrityError), transaction.atomic():
        SOUND[kind](**same)


def test_two_people_without_an_account_are_kept() -> None:
    vessel = SOUND[models.Vessel]()

    SOUND[models.Person](vessel=vessel)
    SOUND[models.Person](vessel=vessel)

    assert models.Person.objects.filter(vessel=vessel, user=None).count() == 2


def test_an_item_cannot_feed_itself() -> None:
    item = SOUND[models.Equipment]()

    with pytest.raises(IntegrityError, match=AGAINST_ITSELF), transaction.atomic():
        models.FeedChoice.objects.create(equipment=item, feed=item)


def test_a_load_with_two_feeds_is_refused() -> None:
    source = a_source()
    converter = SOUND[models.Converter]()

    with pytest.raises(IntegrityError, match="load_has_one_feed"), transaction.atomic():
        SOUND[models.Load](source=source, converter=converter)


@pytest.mark.parametrize(
    ("database", "facts"),
    [
        (models.EquipmentKind, words_of_trade.Kind),
        (models.HowTaken, words_of_trade.How),
        (models.Chemistry, words_of_trade.Chemistry),
        (models.GaugeKind, words_of_trade.GaugeKind),
        (models.ProofPlace, words_of_trade.TestPlace),
    ],
)
def test_the_words_of_the_database_are_those_of_the_facts(database: Any, facts: Any) -> None:
    assert set(facts) <= set(database.values)
    assert set(database.values) - set(facts) <= {"ashore"}  # she cannot sail before a test ashore
