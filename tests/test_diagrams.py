"""Drawings of layouts: every piece once, in proportion, to be read without color."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from fractions import Fraction
from typing import Any

import plan_builder
import pytest
from quilt import fabric, one_way, pattern, piece
from test_kit import plan

from kitmaker.cutting_jobs import CutLayout
from kitmaker.forms import Catalogue
from kitmaker.lengths import Unit
from kitmaker.paper.diagrams import PieceName, describe_layout, draw_layout
from kitmaker.paper.sheets.layout_view import piece_names, view_layouts
from kitmaker.plans import KitPlan
from kitmaker.shop import Bag

SVG = "{http://www.w3.org/2000/svg}"


def every_layout(plan: KitPlan) -> list[tuple[CutLayout, dict[str, PieceName], Any]]:
    return [
        (layout, piece_names(fabric.job), fabric.form)
        for fabric in plan.fabrics
        if fabric.job
        for layout in fabric.job.layouts
    ]


def rects(svg: str, kind: str) -> list[dict[str, str]]:
    return [
        dict(one.attrib)
        for one in ET.fromstring(svg).iter(f"{SVG}rect")
        if one.get("class") == kind
    ]


def test_each_piece_and_the_usable_area_are_one_rect_each(class_plan: KitPlan) -> None:
    for layout, names, form in every_layout(class_plan):
        svg = draw_layout(layout, names, Unit.INCH, form)
        assert len(rects(svg, "usable")) == 1
        assert len(rects(svg, "piece")) == len(layout.pieces)
        assert sum(1 for _ in ET.fromstring(svg).iter(f"{SVG}rect")) == len(layout.pieces) + 1


def test_pieces_lie_in_proportion_inside_the_usable_area(class_plan: KitPlan) -> None:
    for layout, names, form in every_layout(class_plan):
        svg = draw_layout(layout, names, Unit.INCH, form)
        usable = rects(svg, "usable")[0]
        per_inch = float(usable["width"]) / float(layout.sheet[0])
        assert float(usable["height"]) == pytest.approx(per_inch * float(layout.sheet[1]), abs=0.01)
        for placed, drawn in zip(layout.pieces, rects(svg, "piece"), strict=True):
            for inches, said, origin in (
                (placed.x, drawn["x"], float(usable["x"])),
                (placed.y, drawn["y"], float(usable["y"])),
                (placed.w, drawn["width"], 0.0),
                (placed.h, drawn["height"], 0.0),
            ):
                assert float(said) - origin == pytest.approx(float(inches) * per_inch, abs=0.01)


def test_offcuts_arrows_and_folds_are_never_boxes(class_plan: KitPlan) -> None:
    for layout, names, form in every_layout(class_plan):
        root = ET.fromstring(draw_layout(layout, names, Unit.INCH, form))
        paths = list(root.iter(f"{SVG}path"))
        assert sum(1 for one in paths if one.get("class") == "offcut") == len(layout.offcuts)
        assert all("Z" not in (one.get("d") or "").upper() for one in paths)
        assert any(one.get("class") == "grain" for one in paths)
        assert any(one.get("class") == "fold" for one in paths) is layout.folded


def test_a_whole_width_has_two_selvages_half_a_width_one_a_square_none() -> None:
    catalogue = Catalogue()
    for form_name, selvages in (("yardage", 2), ("fat quarter", 1), ("square-5", 0)):
        form = catalogue.find(form_name)
        along = form.usable_along or Fraction(5)
        part = plan_builder.sheet(form.usable_across, along, [])
        layout = CutLayout(
            name="Layout 1",
            form_id=form.form_id,
            source="",
            sheet=(part.across, part.along),
            copies=1,
            folded=False,
            steps=(),
            pieces=(),
            offcuts=part.offcuts(),
            levels=1,
        )
        root = ET.fromstring(draw_layout(layout, {}, Unit.INCH, form))
        found = [one for one in root.iter(f"{SVG}path") if one.get("class") == "selvage"]
        assert len(found) == selvages, form_name


def test_every_kind_of_piece_bears_its_letter_even_where_it_is_tiny() -> None:
    tiny = plan_builder.row(
        Fraction(40), Fraction(1, 2), [("a", Fraction(1, 4), 3), ("b", Fraction(9), 1)]
    )
    part = plan_builder.sheet(Fraction(40), Fraction(150), [tiny])
    layout = CutLayout(
        name="Layout 1",
        form_id="yardage",
        source="",
        sheet=(part.across, part.along),
        copies=1,
        folded=False,
        steps=(),
        pieces=part.placed(),
        offcuts=part.offcuts(),
        levels=2,
    )
    names = {"a": PieceName("AA", "peg"), "b": PieceName("B", "bar")}
    root = ET.fromstring(draw_layout(layout, names, Unit.INCH))
    texts = [one.text for one in root.iter(f"{SVG}text")]
    assert "AA" in texts
    assert "B" in texts
    assert any(one.get("class") == "leader" for one in root.iter(f"{SVG}path"))


def test_every_letter_of_every_layout_is_drawn(class_plan: KitPlan) -> None:
    for layout, names, form in every_layout(class_plan):
        root = ET.fromstring(draw_layout(layout, names, Unit.INCH, form))
        said = " ".join(one.text or "" for one in root.iter(f"{SVG}text")).split()
        for placed in layout.pieces:
            assert names[placed.key].letter in said


def test_a_drawing_is_an_image_with_words(class_plan: KitPlan) -> None:
    layout, names, form = every_layout(class_plan)[0]
    root = ET.fromstring(draw_layout(layout, names, Unit.INCH, form))
    said = describe_layout(layout, names, Unit.INCH)
    assert root.get("role") == "img"
    assert root.get("aria-label") == said
    assert root.find(f"{SVG}title") is None, "a screen reader would say it twice"
    assert said == (
        "Layout 1, 20 × 16 in usable: 8 of A Lantern body, 5 of B Lantern cap, 8 of C Lantern base"
    )


def test_names_are_text_in_a_drawing_never_markup(class_plan: KitPlan) -> None:
    layout, names, form = every_layout(class_plan)[0]
    hostile = {key: PieceName('"><script>', "</svg>{{ 7 * 7 }}") for key in names}
    root = ET.fromstring(draw_layout(layout, hostile, Unit.INCH, form))
    assert not list(root.iter(f"{SVG}script"))
    assert "</svg>{{ 7 * 7 }}" in (root.get("aria-label") or "")


A4_BETWEEN_MARGINS = (210 - 2 * 13) / 25.4 * 72
BESIDE_ITS_KEY = Fraction(64, 100)


@pytest.mark.parametrize("narrow", [False, True])
def test_a_drawing_is_printed_at_its_own_size_so_that_no_type_shrinks_below_six_points(
    class_plan: KitPlan, *, narrow: bool
) -> None:
    room = A4_BETWEEN_MARGINS * float(BESIDE_ITS_KEY if narrow else 1)
    for layout, names, form in every_layout(class_plan):
        root = ET.fromstring(draw_layout(layout, names, Unit.INCH, form, narrow=narrow))
        assert float((root.get("width") or "").removesuffix("pt")) <= room + 12
        assert all(float(one.get("font-size") or 0) >= 6 for one in root.iter(f"{SVG}text"))


def test_many_layouts_are_set_densely_and_few_are_not(class_plan: KitPlan) -> None:
    fabric = class_plan.fabrics[0]
    assert fabric.job is not None
    few = view_layouts(fabric.job, fabric.form, Unit.INCH, Catalogue())
    many = replace(fabric.job, layouts=fabric.job.layouts * 7)
    assert not any(view.dense for view in few)
    for view in view_layouts(many, fabric.form, Unit.INCH, Catalogue()):
        assert view.dense
        assert view.beside


def test_where_cloth_comes_from_is_said_where_it_differs(class_plan: KitPlan) -> None:
    job = next(one.job for one in class_plan.fabrics if one.job and len(one.job.layouts) > 1)
    form = class_plan.fabrics[0].form
    assert {one.source for one in view_layouts(job, form, Unit.INCH, Catalogue())} == {""}
    first, *rest = job.layouts
    mixed = replace(job, layouts=(replace(first, source="the remnant"), *rest))
    assert view_layouts(mixed, form, Unit.INCH, Catalogue())[0].source == "the remnant"


def test_the_key_does_not_say_a_pieces_letter_twice(class_plan: KitPlan) -> None:
    fabric = class_plan.fabrics[0]
    assert fabric.job is not None
    named = tuple(
        replace(one, piece=replace(one.piece, name=f"{one.letter}: {one.piece.name}"))
        for one in fabric.job.pieces
    )
    view = view_layouts(replace(fabric.job, pieces=named), fabric.form, Unit.INCH, Catalogue())[0]
    assert (view.makes[0].letter, view.makes[0].name) == ("A", "Lantern body")


def job_of(*pieces: object, kits: int, **options: object) -> CutLayout:
    made = plan(pattern(fabric("Stripe", *pieces)), kits=kits, **options)  # type: ignore[arg-type]
    job = made.fabrics[0].job
    assert job is not None
    return job.layouts[0]


def drawing(layout: CutLayout) -> str:
    names = {placed.key: PieceName("A", "") for placed in layout.pieces}
    return draw_layout(layout, names, Unit.INCH, Catalogue().yardage)


PIECES = ((None, Bag.PIECES),)


def test_a_very_long_length_is_drawn_with_breaks_and_its_pieces_stay_legible() -> None:
    layout = job_of(
        one_way("border", "6.5", "152.5", 2), one_way("edge", "2.5", 54, 7), kits=2, bags=PIECES
    )
    assert layout.sheet[1] > 3 * layout.sheet[0]
    svg = drawing(layout)
    assert 'class="break"' in svg
    assert "drawn shorter at the zigzags" in svg
    drawn = rects(svg, "piece")
    assert len(drawn) == len(layout.pieces)
    assert min(float(one["width"]) for one in drawn) >= 9
    for placed, one in zip(layout.pieces, drawn, strict=True):
        for other, two in zip(layout.pieces, drawn, strict=True):
            if placed.y + placed.h <= other.y:
                assert float(one["y"]) + float(one["height"]) <= float(two["y"]) + 0.01


def test_the_fold_line_leaves_out_pieces_that_bear_words() -> None:
    layout = job_of(piece("a", 8, 8, 5), kits=3, bags=PIECES)
    assert layout.folded
    middle = sorted(rects(drawing(layout), "piece"), key=lambda rect: float(rect["x"]))[2]
    top, bottom = float(middle["y"]), float(middle["y"]) + float(middle["height"])
    (fold,) = re.findall(r'class="fold" d="([^"]*)"', drawing(layout))
    strokes = re.findall(r"M[\d.]+ ([\d.]+)V([\d.]+)", fold)
    assert len(strokes) == 2
    for start, end in strokes:
        assert float(end) <= top + 3 or float(start) >= bottom - 3


def test_cuts_bear_the_numbers_of_the_first_kits_steps_and_parts_their_names() -> None:
    layout = job_of(one_way("a", 5, 6, 8), one_way("b", 3, 2, 13), kits=4, bags=PIECES)
    said = [one.text for one in ET.fromstring(drawing(layout)).iter(f"{SVG}text")]
    cutting = [step for step in layout.steps if step.measures]
    firsts = {str(step.number) for step in cutting if step.first}
    assert firsts
    assert firsts <= set(said)
    others = {str(step.number) for step in cutting if not step.first}
    assert others
    assert not others & set(said), "two numbers on a line crowd out letters"
    named = {measure.gives for step in cutting for measure in step.measures if not measure.is_piece}
    assert {f"part {name}" for name in named} <= set(said)


def test_the_trim_of_an_opened_middle_is_drawn_with_its_number() -> None:
    layout = job_of(piece("a", 8, 8, 5), kits=1, bags=PIECES)
    opened = next(step for step in layout.steps if step.action == "open and cut")
    assert opened.cuts == 1
    assert str(opened.number) in {cut.name for cut in layout.cuts}
    said = [one.text for one in ET.fromstring(drawing(layout)).iter(f"{SVG}text")]
    assert str(opened.number) in said


def test_no_type_in_a_drawing_but_a_pieces_size_is_below_nine_points() -> None:
    layout = job_of(piece("a", 8, 8, 5), kits=3, bags=PIECES)
    for one in ET.fromstring(drawing(layout)).iter(f"{SVG}text"):
        assert float(one.attrib["font-size"]) >= 9, one.text


def test_every_part_is_named_in_the_drawing_and_no_fold_is_drawn_where_the_cloth_is_opened() -> (
    None
):
    pieces = (one_way("a", "6.5", "62.5", 2), piece("b", 2, "9.25", 24), piece("c", 3, 3, 20))
    layout = job_of(*pieces, kits=4, bags=PIECES)
    said = {text.text for text in ET.fromstring(drawing(layout)).iter(f"{SVG}text")}
    assert any(step.action == "lay flat and cut" for step in layout.steps)
    assert {f"part {part.name}" for part in layout.parts} <= said
    assert "fold" not in said
