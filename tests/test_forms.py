"""The catalogue of forms and the names people use."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction as F
from pathlib import Path

import pytest
from books import FORMS, read_as_shop

from kitmaker.forms import BUILT_IN_FORMS, Catalogue, Form, UnknownFormError, form_id_of
from kitmaker.lengths import CENTIMETER


@pytest.mark.parametrize(
    ("typed", "form_id"),
    [
        ("Fat Quarter", "fat-quarter"),
        ("FQ", "fat-quarter"),
        ("fat quarters", "fat-quarter"),
        ("FAT-EIGHTH", "fat-eighth"),
        ("2.5 strip", "strip-2.5"),
        ("2½-inch strips", "strip-2.5"),
        ("strip 2 1/2", "strip-2.5"),
        ('5" squares', "square-5"),
        ("10-inch square", "square-10"),
        ("half yard", "half-yard"),
        ("fat halves", "fat-half"),
        ("off the bolt", "yardage"),
    ],
)
def test_forms_answer_to_the_names_people_use(typed: str, form_id: str) -> None:
    assert Catalogue().find(typed).form_id == form_id


@pytest.mark.parametrize("form", BUILT_IN_FORMS, ids=lambda form: form.form_id)
def test_every_form_answers_to_its_own_names(form: Form) -> None:
    catalogue = Catalogue()
    for name in (form.form_id, form.name, form.plural, form.name.upper()):
        assert catalogue.find(name) is form


@pytest.mark.parametrize("form", BUILT_IN_FORMS, ids=lambda form: form.form_id)
def test_no_form_counts_on_more_cloth_than_it_is_sold_as(form: Form) -> None:
    assert form.usable_across <= form.nominal_across
    if form.usable_along is not None and form.nominal_along is not None:
        assert form.usable_along <= form.nominal_along


def test_an_unknown_form_is_answered_with_the_nearest() -> None:
    with pytest.raises(UnknownFormError) as caught:
        Catalogue().find("fat quater")
    assert caught.value.nearest[0] == "fat-quarter"
    assert "fat-quarter" in caught.value.suggestion


def test_the_shops_form_replaces_the_built_in_one_of_its_name() -> None:
    own = Form(
        form_id=form_id_of("Fat Quarter"),
        name="fat quarter",
        plural="fat quarters",
        nominal_across=F(21),
        nominal_along=F(18),
        usable_across=F(20),
        usable_along=F(17),
        cost=Decimal("2.60"),
        own=True,
    )
    catalogue = Catalogue().with_own([own])
    assert catalogue.find("FQ").usable_along == 17
    assert len(list(catalogue)) == len(BUILT_IN_FORMS)


def test_metric_fat_quarters_are_exact_centimeters() -> None:
    assert Catalogue().find("metric fat quarter").usable_across == 50 * CENTIMETER


def test_a_name_means_a_form_by_any_of_its_names_and_no_other() -> None:
    catalogue = Catalogue()
    form = catalogue.find("fat quarter")
    assert catalogue.means("FQ", form)
    assert catalogue.means("Fat Quarters", form)
    assert not catalogue.means("fat eighth", form)
    assert not catalogue.means("flying carpet", form)
    assert not catalogue.means(None, form)


@pytest.mark.parametrize(
    ("count", "whole_only", "said"),
    [
        (19, False, ""),
        (20, False, "1 bundle of 20"),
        (47, False, "2 bundles of 20 plus 7"),
        (4, True, "1 bundle of 20"),
        (21, True, "2 bundles of 20"),
    ],
)
def test_forms_are_said_in_bundles(count: int, whole_only: bool, said: str) -> None:
    form = replace(Catalogue().find("fat quarter"), bundle_count=20)
    assert form.bundle_phrase(count, whole_only=whole_only) == said
    assert replace(form, bundle_count=None).bundle_phrase(count, whole_only=whole_only) == ""


@pytest.mark.parametrize(
    ("name", "count", "said"),
    [
        ("fat quarter", 1, "1 fat quarter"),
        ("strip-2.5", 6, "6 strips, 2½ in"),
        ("strip-2.5", 1, "1 strip, 2½ in"),
        ("10 inch square", 12, "12 squares, 10 in"),
        ("fat half", 2, "2 fat halves"),
    ],
)
def test_a_count_never_runs_into_the_number_of_a_name(name: str, count: int, said: str) -> None:
    assert Catalogue().find(name).count_phrase(count) == said


def test_a_shops_own_name_that_begins_with_a_number_is_kept_apart_from_the_count() -> None:
    form = replace(Catalogue().find("fat quarter"), name="9 patch pack", plural="9 patch packs")
    assert form.count_phrase(3) == "3 × 9 patch packs"


def test_a_shops_own_name_that_ends_with_a_number_is_not_put_in_the_plural(tmp_path: Path) -> None:
    reading = read_as_shop(tmp_path, {"Forms": [FORMS, ("Square 12", 12, 12, 12, 12)]})
    form = reading.shop.catalogue.find("square 12")
    assert [form.count_phrase(count) for count in (1, 13)] == ["1 × Square 12", "13 × Square 12"]
