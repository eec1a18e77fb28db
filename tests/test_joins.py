"""Pieces too long for a form, cut in parts that are sewn together: from the row to the sheets."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction as F
from pathlib import Path
from typing import Any

import pytest
from books import write
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from quilt import fabric, one_way, pattern, piece, strip

import kitmaker as km
from kitmaker.arithmetic.joins import equal_parts
from kitmaker.cli import main
from kitmaker.commands.options import spell_out_join
from kitmaker.errors import KitmakerError, UsageError
from kitmaker.forms import Catalogue
from kitmaker.kits.demands import demands_for
from kitmaker.kits.joins import as_in_pattern, in_parts, joined_of, joins_for
from kitmaker.lengths import Unit
from kitmaker.pattern import Fabric, PatternReading, Piece, PieceKind, Shape
from kitmaker.plans import FabricPlan, KitPlan
from kitmaker.reading.join_words import says_joined
from kitmaker.table.checker import Need, Parts, check_parts

SAMPLES = Path(__file__).parent.parent / "sample_patterns"
HEADINGS = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Notes", "Direction", "Join")
SASH = ("Sash", "sash", 2.5, 38.5, 38)
BORDER = ("Border", "border strip", 5, "WOF", 6, "join end to end")
BINDING = ("Binding", "binding strip", 2.5, "WOF", 7, "join at 45 degrees")


def book(
    tmp_path: Path, *rows: Sequence[Any], finishing: Sequence[Sequence[Any]] = (), unit: str = "in"
) -> Path:
    sheets: dict[str, Sequence[Sequence[Any]]] = {
        "Pattern": [("Pattern", "Salt Marsh"), ("Unit", unit)],
        "Pieces": [HEADINGS, *rows],
    }
    if finishing:
        sheets["Finishing"] = finishing
    return write(tmp_path / "salt-marsh.xlsx", sheets)


def run(*words: object) -> tuple[int, str, str]:
    result = CliRunner().invoke(main, [str(word) for word in words])
    return result.exit_code, result.stdout, result.stderr


def cut(what: Fabric, form: str, most_seams: int = 1, unit: Unit = Unit.INCH) -> list[Piece]:
    """Return the parts that a fabric's pieces are cut in, all joins allowed."""
    joins = joins_for(what, pattern(what), is_asked=True, most_seams=most_seams)
    keyed = [(one.name, one, one.quantity) for one in what.pieces]
    return [one for _, one, _ in in_parts(keyed, Catalogue().find_mix(form), joins, unit)]


def joined(*pieces: Piece, form: str = "fat-quarter", most_seams: int = 1) -> list[int]:
    """Return the parts of each piece; 1 for one that stays whole."""
    found = cut(fabric("Sky", *pieces), form, most_seams)
    return [1 if one.sewn is None else one.sewn.parts for one in found]


# ---- what may be joined ----------------------------------------------------------------------


@pytest.mark.parametrize(
    "shape",
    [shape for shape in Shape if shape not in (Shape.RECTANGLE, Shape.SQUARE)],
    ids=lambda shape: shape.name,
)
def test_what_is_cut_on_a_slant_is_never_sewn_of_parts(shape: Shape) -> None:
    assert joined(piece("A", 14, 30, 2, shape=shape)) == [1]
    assert joined(piece("A", 14, 30, 2)) == [2]


def test_strips_are_one_length_only_where_that_is_said() -> None:
    assert joined(strip("A", 5, 6)) == [1]
    assert joined(replace(strip("A", 5, 6), is_joined=True)) == [13]
    assert joined(replace(strip("A", 5, 6), join=True)) == [13]
    (binding,) = cut(fabric("Binding", strip("A", "2.5", 7)), "fat-quarter")
    assert binding.sewn is not None
    assert (binding.sewn.parts, binding.sewn.at_45) == (16, True), "a binding goes all round"


@settings(deadline=None)
@given(
    long=st.fractions(F(9), F(120), max_denominator=8),
    wide=st.fractions(F(2), F(9), max_denominator=8),
    count=st.integers(1, 40),
    form=st.sampled_from(("fat-quarter", "fat-eighth", "fat-half", "long-quarter", "square-10")),
    strips=st.booleans(),
)
def test_parts_reach_what_is_needed_and_fewer_would_not(
    long: F, wide: F, count: int, form: str, *, strips: bool
) -> None:
    what = piece("A", wide, long, count)
    if strips:
        what = replace(strip("A", wide, count), is_joined=True)
    (part,) = cut(fabric("Sky", what), form, most_seams=2)
    sewn = part.sewn
    if sewn is None:
        return
    cloth = Catalogue().find(form)
    assert demands_for([("a", part, part.quantity)], cloth, Unit.INCH).why == ""
    assert part.quantity % sewn.parts == 0
    assert sewn.parts * sewn.part_length - sewn.seams * sewn.loss >= sewn.needed
    fewer = sewn.parts - 1
    if strips:
        assert fewer * sewn.part_length - (fewer - 1) * sewn.loss < sewn.needed
    else:
        assert sewn.part_length >= 4
        whole = replace(what, length=equal_parts(long, fewer, sewn.loss)) if fewer > 1 else what
        assert demands_for([("a", whole, 1)], cloth, Unit.INCH).why, "one seam fewer does not fit"


def test_the_strips_of_a_strip_set_are_never_sewn_end_to_end() -> None:
    assert joined(replace(strip("A", 5, 6), is_joined=True, cross_cut=F(5, 2))) == [1]
    assert joined(replace(strip("A", 5, 6), join=True, cross_cut=F(50))) == [1]


@pytest.mark.parametrize(
    ("words", "is_said"),
    [
        ("join end to end", True),
        ("Joined at 45°", True),
        ("sew end-to-end", True),
        ("piece end to end and trim", True),
        ("sew into one long strip", True),
        ("sew together along the short ends", True),
        ("join to make 218 in", True),
        ("join to the B strips", False),
        ("join three strips with C", False),
        ("sew into a strip set", False),
        ("do not join", False),
        ("used without a join", False),
        ("join into strip sets", False),
        ("join the long edges", False),
        ("sew in pairs", False),
        ("beside the jointed owl", False),
    ],
)
def test_words_that_join_strips_end_to_end(words: str, *, is_said: bool) -> None:
    assert says_joined(words) is is_said


def test_instructions_as_written_join_the_strips_above(tmp_path: Path) -> None:
    rows = [
        ("Fabric", "Requirement", "Cutting instructions"),
        ("Border", "1 yd", 'Cut (6) 4½" × WOF strips.\nJoin end to end.'),
        ("Sky", "1 yd", 'Cut (6) 4½" × WOF strips.'),
    ]
    found = km.read_pattern(write(tmp_path / "p.xlsx", {"Fabrics": rows}))
    assert [one.pieces[0].is_joined for one in found.pattern.fabrics] == [True, False]


def test_a_piece_that_fits_is_never_cut_in_parts() -> None:
    assert joined(piece("A", 5, 20, 3), piece("B", 16, 20, 1)) == [1, 1]
    whole = replace(strip("A", 5, 6), is_joined=True)
    for form in ("yardage", "half-yard", "long-quarter"):
        assert joined(whole, form=form) == [1]


def test_strips_planned_wider_than_the_cloth_are_joined_of_more() -> None:
    """6 × 44 − 5 × ½ = 261½; 7 × 40 − 6 × ½ = 277, 6 give 237½."""
    wide = replace(fabric("Sky", replace(strip("A", 5, 6), is_joined=True)), usable_width=F(44))
    joins = joins_for(wide, pattern(wide), is_asked=True)
    keyed = [("a", wide.pieces[0], 6)]
    (one,) = in_parts(keyed, Catalogue().yardage, joins, Unit.INCH, F(44))
    assert (one[1].kind, one[2]) == (PieceKind.STRIP, 7)


def test_three_parts_only_where_two_seams_are_allowed() -> None:
    assert joined(piece("A", 4, 56, 1)) == [1]
    assert joined(piece("A", 4, 56, 1), most_seams=2) == [3]
    assert joined(piece("A", 4, 39, 1), most_seams=2) == [2], "never more seams than needed"


def test_a_one_way_piece_keeps_its_direction_in_parts() -> None:
    (tall,) = cut(fabric("Sky", one_way("A", 3, 30, 1)), "fat-quarter")
    (wide,) = cut(fabric("Sky", one_way("A", 30, 3, 1)), "fat-quarter")
    assert (tall.across, tall.along, tall.may_turn) == (3, F(61, 4), False)
    assert (wide.across, wide.along, wide.may_turn) == (F(61, 4), 3, False)
    border = replace(one_way("A", 3, 30, 1), kind=PieceKind.STRIP, length=None, is_joined=True)
    (part,) = cut(fabric("Sky", border), "fat-half")
    assert (part.across, part.along, part.may_turn) == (20, 3, False), "not along its 34 in"


def test_in_a_metric_pattern_parts_are_rounded_up_to_a_millimeter() -> None:
    """(100 cm + 1.27 cm) ÷ 2 = 50.635 cm."""
    centimeter = F(50, 127)
    (part,) = cut(
        fabric("Sky", piece("A", 3, 100 * centimeter, 1)), "fat-half", unit=Unit.CENTIMETER
    )
    assert part.length == F(507, 10) * centimeter


def test_in_a_mix_the_form_with_the_fewest_parts_gives_the_length() -> None:
    assert joined(piece("A", 3, 30, 1), form="fat-quarter+fat-half") == [1]
    border = replace(strip("A", 5, 6), is_joined=True)
    assert joined(border, form="fat-quarter+fat-half") == [8]


def test_parts_remember_the_piece_they_are_of() -> None:
    what = fabric("Sky", piece("A", "2.5", "38.5", 38), replace(strip("B", 5, 6), is_joined=True))
    joins = joins_for(what, pattern(what), is_asked=True)
    keyed = tuple((one.name, one, one.quantity) for one in what.pieces)
    parts = in_parts(keyed, Catalogue().find("fat-quarter"), joins, Unit.INCH)
    assert [count for _, _, count in parts] == [76, 13]
    assert as_in_pattern(parts) == keyed
    told = [(one.piece, one.parts, one.part_length, one.seams) for one in joined_of(parts)]
    assert told == [("A", 2, F(39, 2), 1), ("B", 13, F(20), 12)]


# ---- the Join column and what is typed wrong -------------------------------------------------


def test_a_join_of_maybe_is_an_error_that_names_its_cell(tmp_path: Path) -> None:
    path = book(tmp_path, (*SASH, None, None, "maybe"))
    code, _, err = run("check", path)
    assert code == 1
    assert "sheet 'Pieces', cell H2: 'maybe' does not say" in err


def test_the_join_column_wins_over_the_option(tmp_path: Path) -> None:
    yes = (*SASH, None, None, "yes")
    no = ("Sash", "rail", 2.5, 38.5, 4, None, None, "no")
    reading = km.read_pattern(book(tmp_path, yes))
    assert parts_in(km.plan(reading, forms="fat-quarter")) == {"sash": (2, 76)}
    with pytest.raises(KitmakerError, match="rail"):
        km.plan(km.read_pattern(book(tmp_path, yes, no)), forms="fat-quarter", join=True)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (("Sky", "A", 1.5, 30, 4), "only 1½ in wide"),
        (("Sky", "A", 30, 30, 4, "square cut once on the diagonal"), None),
    ],
)
def test_a_join_that_cannot_be_is_told_by_its_cell(
    tmp_path: Path, row: Sequence[Any], said: str | None
) -> None:
    headings = ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Shape", "Join")
    shape = row[5] if len(row) > 5 else None
    path = write(tmp_path / "p.xlsx", {"Pieces": [headings, (*row[:5], shape, "yes")]})
    (problem,) = km.read_pattern(path).problems
    assert not problem.is_error
    assert problem.location is not None
    assert problem.location.cell == "G2"
    assert (said or "is never sewn of parts") in problem.message


def test_a_seam_in_a_narrow_piece_and_a_part_too_short_are_refused_with_the_cell(
    tmp_path: Path,
) -> None:
    narrow = km.read_pattern(book(tmp_path, ("Sky", "A", 1.5, 30, 4)))
    with pytest.raises(KitmakerError) as refused:
        km.plan(narrow, forms="fat-quarter", join=True)
    (problem,) = refused.value.problems
    assert "no seam is sewn in a piece only 1½ in wide" in problem.message
    assert problem.location is not None
    assert problem.location.address == "Pieces!B2"
    short = km.read_pattern(book(tmp_path, ("Sky", "A", 3, 5.5, 4)))
    with pytest.raises(KitmakerError, match="shorter than 4 in"):
        km.plan(short, forms="square-5", join=True)


def test_a_fabric_that_the_pattern_does_not_have_is_no_fabric_to_join(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="'Bordr'"):
        km.plan(km.read_pattern(book(tmp_path, SASH)), join="Bordr")


@pytest.mark.parametrize(
    ("typed", "spelled"),
    [
        ("p.xlsx --join", "p.xlsx --join="),
        ("--join p.xlsx", "--join= p.xlsx"),
        ("p.xlsx --join Sky Sea --json", "p.xlsx --join=Sky --join=Sea --json"),
        ("--join Sky p.xlsx --join Sea", "--join=Sky p.xlsx --join=Sea"),
        ("p.xlsx --join=Sky --kits 3", "p.xlsx --join=Sky --kits 3"),
        ("p.xlsx -- --join", "p.xlsx -- --join"),
    ],
)
def test_join_takes_no_fabric_one_or_several(typed: str, spelled: str) -> None:
    assert spell_out_join(typed.split()) == spelled.split()


# ---- a plan ----------------------------------------------------------------------------------


def parts_in(plan: KitPlan) -> dict[str, tuple[int, int]]:
    """Return, of what is sewn of parts, how many make one and how many one kit needs."""
    jobs = [one.job for one in plan.fabrics if one.job is not None]
    needed = [one for job in jobs for one in job.pieces]
    return {
        one.piece.name: (one.piece.sewn.parts, one.per_kit)
        for one in needed
        if one.piece.sewn is not None
    }


def of_role(plan: KitPlan, role: str) -> FabricPlan:
    return next(one for one in plan.fabrics if one.role == role)


@pytest.fixture
def salt_marsh(tmp_path: Path) -> PatternReading:
    return km.read_pattern(book(tmp_path, SASH, BORDER, BINDING))


def test_a_plan_counts_and_proves_the_parts(salt_marsh: PatternReading) -> None:
    """76 parts of 2½ × 19½: 6 to a fat quarter. 13 of 5 × 20: 3 to one. 16 of 2½ × 20: 6."""
    plan = km.plan(salt_marsh, kits=3, forms="fat-quarter", join=True)
    assert parts_in(plan) == {"sash": (2, 76), "border strip": (13, 13), "binding strip": (16, 16)}
    counts = {one.role: (one.per_kit.count, one.per_kit.proven) for one in plan.fabrics}
    assert counts == {"Sash": (13, True), "Border": (5, True), "Binding": (3, True)}
    assert ("Sewn of shorter parts", "all fabrics", "the caller") in [
        (one.label, one.value, one.source) for one in plan.choices
    ]


def test_one_form_fewer_is_told_with_the_parts_of_that_size(salt_marsh: PatternReading) -> None:
    """At 22 wide 12 parts of 22 reach 237½ in: 4 fat quarters of 3 each."""
    plan = km.plan(salt_marsh, forms="fat-quarter", join=True)
    assert of_role(plan, "Border").per_kit.one_fewer_at == (22, 16)


def test_only_the_fabrics_named_are_joined(salt_marsh: PatternReading) -> None:
    forms = {"Sash": "yardage", "Binding": "yardage", "Border": "fat-quarter"}
    plan = km.plan(salt_marsh, forms=forms, join=["Border"])
    assert set(parts_in(plan)) == {"border strip"}
    with pytest.raises(KitmakerError, match="Sash: sash"):
        km.plan(salt_marsh, forms="fat-quarter", join=["Border", "Binding"])


def test_without_join_nothing_is_joined_and_it_is_said_that_it_might(
    salt_marsh: PatternReading,
) -> None:
    with pytest.raises(KitmakerError) as refused:
        km.plan(salt_marsh, forms="fat-quarter")
    said = [str(one) for one in refused.value.problems]
    assert len(said) == 3
    assert all("It fits if it is sewn of shorter parts: add --join." in one for one in said)


def test_the_finishing_sheet_says_how_long_strips_must_be(tmp_path: Path) -> None:
    """2 × (48 + 48) + 8 = 200 in: 12 × 20 − 11 × 2½ = 212½, 11 give 195; the row's 7 are 277."""
    labels = [
        ("Quilt width", 48),
        ("Quilt length", 48),
        ("Binding width", 2.5),
        ("Binding allowance", 8),
        ("Binding fabric", "Binding"),
    ]
    reading = km.read_pattern(book(tmp_path, BINDING, finishing=labels))
    assert reading.pattern.fabrics[0].pieces[0].run == 200
    plan = km.plan(reading, forms="fat-quarter", join=True)
    assert parts_in(plan) == {"binding strip": (12, 12)}
    alone = km.read_pattern(book(tmp_path, SASH, finishing=labels))
    plan = km.plan(alone, forms={"Binding": "fat-quarter"}, join="Binding")
    assert parts_in(plan) == {"binding": (12, 12)}
    with pytest.raises(KitmakerError, match="joined of strips across the whole width"):
        km.plan(alone, forms={"Binding": "fat-quarter"})


def test_a_running_length_comes_off_the_bolt_in_strips_as_ever(tmp_path: Path) -> None:
    """7 strips of 40 give 280 less 6 × 2½ = 265: enough for 262, not for 266."""
    for allowance, strips in ((8, 7), (12, 8)):
        labels = [("Quilt width", 64), ("Quilt length", 63), ("Binding allowance", allowance)]
        reading = km.read_pattern(book(tmp_path, SASH, finishing=[*labels, ("Binding width", 2.5)]))
        plan = km.plan(reading)
        assert parts_in(plan) == {"binding": (strips, strips)}


def test_a_seam_through_a_one_way_print_is_told(tmp_path: Path) -> None:
    row = ("Sash", "sash", 2.5, 30, 4, None, "one-way")
    plan = km.plan(km.read_pattern(book(tmp_path, row)), forms="fat-quarter", join=True)
    (told,) = [one for one in plan.problems if "the print breaks at each seam" in one.message]
    assert not told.is_error
    assert told.location is not None
    assert told.location.address == "Pieces!B2"
    guide = km.write(plan, tmp_path / "kits") / "students-cutting-guide.html"
    assert "end to end, 4 times, matching the print: 4 of 2½ × 30 in" in words_of(guide)


def test_both_parts_of_a_piece_come_from_one_print(tmp_path: Path) -> None:
    """3 rails of each of 4 prints are 6 parts of each, never 5 and 7."""
    sheets = {
        "Pieces": [
            ("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Join"),
            ("Mix", "rail", 2.5, 38.5, "3 from each print", "yes"),
            ("Mix", "end", 2.5, 38.5, 5, "yes"),
        ],
        "Fabrics": [("Fabric", "Requirement", "Prints"), ("Mix", "4 fat quarters", 4)],
    }
    plan = km.plan(km.read_pattern(write(tmp_path / "p.xlsx", sheets)), forms="fat-quarter")
    (job,) = [one.job for one in plan.fabrics if one.job is not None]
    assert job.prints == 4
    rail, end = job.pieces
    assert (rail.needed, end.needed) == (24, 10)
    assert rail.made % 8 == 0
    assert end.made >= 16, "2 ends of 2 parts of each print"


# ---- what is printed -------------------------------------------------------------------------


def words_of(page: Path) -> str:
    return re.sub(r"<[^>]+>", " ", page.read_text(encoding="utf-8"))


def test_sheets_guide_labels_and_lists_say_what_becomes_of_the_parts(
    salt_marsh: PatternReading, tmp_path: Path
) -> None:
    plan = km.plan(salt_marsh, kits=3, forms="fat-quarter", bags={"Sash": "pieces"}, join=True)
    folder = km.write(plan, tmp_path / "kits")
    sewn = "sew 2 of 2½ × 19½ end to end, 38 times: 38 of 2½ × 38½ in"
    sheet = words_of(folder / "cutting-sheet-01-sash.html")
    guide = words_of(folder / "students-cutting-guide.html")
    assert "A: sew 2 of 2½ × 19½ end to end, 114 times: 114 of 2½ × 38½ in" in sheet
    assert f"A: {sewn}" in guide
    assert "B: sew 13 of 5 × 20 end to end: one length at least 237½ in long" in guide
    assert "C: sew 16 of 2½ × 20 end to end at 45°: one length at least 277 in long" in guide
    assert sewn in words_of(folder / "packing-list.html")
    assert "76 pieces: sash, sew 2 of 2½" in words_of(folder / "piece-labels.html")
    assert "to sew 2 end to end" in words_of(folder / "bag-labels.html")
    table = km.frames(plan)["Pieces"]
    assert table["To be sewn"].iloc[0].startswith("sew 2 of 2½ × 19½ end to end, 114 times")


def test_a_plan_of_parts_is_printed_again_alike(salt_marsh: PatternReading, tmp_path: Path) -> None:
    plan = km.plan(salt_marsh, forms="fat-quarter", join=True)
    folder = km.write(plan, tmp_path / "kits")
    code, _, err = run("reprint", folder / "plan.json", "--out", tmp_path / "again")
    assert code == 0, err
    page = "students-cutting-guide.html"
    assert (tmp_path / "again" / page).read_bytes() == (folder / page).read_bytes()


def test_plan_json_tells_parts_seams_and_the_length_needed(
    tmp_path: Path,
) -> None:
    path = book(tmp_path, SASH, BORDER)
    words = ["plan", path, "--join", "--form", "fat-quarter", "--out", tmp_path / "k", "--json"]
    code, out, err = run(*words)
    assert code == 0, err
    told = [one["sewn"] for of in json.loads(out)["fabrics"] for one in of["pieces"]]
    assert told[0] == {
        "parts": 2, "part_length": 19.5, "seams": 1, "needed": 38.5, "at_45": False,
    }  # fmt: skip
    assert (told[1]["parts"], told[1]["seams"], told[1]["needed"]) == (13, 12, 237.5)


# ---- the checker -----------------------------------------------------------------------------


def test_the_checker_refuses_parts_that_make_no_whole_or_are_too_short(
    salt_marsh: PatternReading,
) -> None:
    job = of_role(km.plan(salt_marsh, forms="fat-quarter", join=True), "Sash").job
    assert job is not None
    (needed,) = job.pieces
    right = Need(
        needed.key, F(5, 2), F(39, 2), 76, may_turn=True, part_of=Parts(2, F(1, 2), F(77, 2))
    )
    longer = replace(right, part_of=Parts(2, F(1, 2), F(78, 2)))
    odd = replace(right, count=75)
    assert check_parts(job.layouts, {needed.key: right}) == []
    assert "too short" in check_parts(job.layouts, {needed.key: longer})[0]
    assert "no whole number of 2" in check_parts(job.layouts, {needed.key: odd})[0]


# ---- convert ---------------------------------------------------------------------------------

SQUARES = ("Sky", "square", 3, 3, 20)
SHOP_FORMS = {
    "Shop": [("Name", "Juniper & Thread")],
    "Forms": [("Form", "Cost"), ("Fat quarter", 3), ("Yardage", 9)],
}


def converted(tmp_path: Path, *words: object, rows: Sequence[Any] = (SASH, BORDER, BINDING)) -> Any:
    code, out, err = run("convert", book(tmp_path, *rows), *words, "--json")
    assert code in (0, 1), err
    return json.loads(out)


def options_of(data: Any, form: str) -> dict[str, Any]:
    return {
        one["role"]: option
        for one in data["fabrics"]
        for option in one["options"]
        if option["form"] == form
    }


def test_convert_tells_what_is_joined_in_each_option(tmp_path: Path) -> None:
    data = converted(tmp_path, "--join", "--form", "fat-quarter", "--form", "yardage")
    found = options_of(data, "fat-quarter")
    assert found["Sash"]["joined"] == [
        {"piece": "sash", "parts": 2, "part_length": 19.5, "seams": 1}
    ]
    assert found["Border"]["joined"] == [
        {"piece": "border strip", "parts": 13, "part_length": 20, "seams": 12}
    ]
    assert [found[role]["count"] for role in ("Sash", "Border", "Binding")] == [13, 5, 3]
    assert all(one["joined"] is None for one in options_of(data, "yardage").values())


def test_convert_without_join_joins_nothing_and_says_what_it_would_take(tmp_path: Path) -> None:
    data = converted(tmp_path, "--form", "fat-quarter", "--form", "yardage")
    found = options_of(data, "fat-quarter")
    assert [one["feasible"] for one in found.values()] == [False, False, False]
    assert all(one["joined"] is None for one in found.values())
    assert found["Border"]["if_joined"]["count"] == 5
    assert data["whole"][0]["joined"] == []
    _, out, _ = run("convert", tmp_path / "salt-marsh.xlsx", "--form", "fat-quarter")
    assert "fat-quarter: won't fit; 5 fat quarters with joined strips" in out
    assert "fat-quarter: won't fit; 13 fat quarters with pieces sewn of parts" in out


def test_convert_and_plan_take_the_same(tmp_path: Path) -> None:
    reading = km.read_pattern(book(tmp_path, SASH, BORDER, BINDING))
    plan = km.plan(reading, forms="fat-quarter", join=True)
    options = km.convert(reading, forms="fat-quarter", join=True)
    taken = {one.fabric.role: one.options[0].amount for one in options}
    for fabric_plan in plan.fabrics:
        amount = taken[fabric_plan.role]
        assert amount is not None
        assert (amount.count, amount.one_fewer_at) == (
            fabric_plan.per_kit.count,
            fabric_plan.per_kit.one_fewer_at,
        )


def test_the_pattern_as_a_whole_form_by_form(tmp_path: Path) -> None:
    """Sky holds 20 squares of 3 and two panes of 56, which take three parts each."""
    shop = write(tmp_path / "shop.xlsx", SHOP_FORMS)
    rows = (SQUARES, BORDER, ("Rail", "rail", 4, 56, 2))
    words = ("--form", "fat-quarter", "--form", "yardage", "--shop", shop)
    data = converted(tmp_path, "--join", *words, rows=rows)
    quarter, yards = data["whole"]
    assert quarter == {
        "form": "fat-quarter",
        "as_they_are": ["Sky"],
        "joined": ["Border"],
        "not": ["Rail"],
        "cost": 18.0,
    }  # 1 and 5 fat quarters at $3
    assert (yards["as_they_are"], yards["not"]) == (["Sky", "Border", "Rail"], [])
    assert data["stay_yardage"] == ["Rail"]
    _, out, _ = run("convert", tmp_path / "salt-marsh.xlsx", "--join", *words)
    said = "fat quarters: 1 of 3 as they are, Border with joined strips, Rail not; $18.00"
    assert said in out
    assert "Rail must stay yardage: no other form holds it." in out
    two = converted(tmp_path, "--join", "--most-seams", 2, *words, rows=rows)
    assert two["stay_yardage"] == []
    assert two["whole"][0]["joined"] == ["Border", "Rail"]
    plain = converted(tmp_path, *words, rows=rows)
    assert plain["whole"][0]["not"] == ["Border", "Rail"]
    _, out, _ = run("convert", tmp_path / "salt-marsh.xlsx", *words)
    assert (
        "Border and Rail must stay yardage: no other form holds them as they are. "
        "Sewn of shorter parts (--join), only Rail must."
    ) in out


def test_an_amount_without_pieces_stays_what_it_is(tmp_path: Path) -> None:
    sheets = {
        "Pieces": [HEADINGS, SQUARES],
        "Fabrics": [
            ("Fabric", "Requirement"),
            ("Backing", "3 yd"),
            ("Trim", "2 fat quarters"),
        ],
    }
    path = write(tmp_path / "p.xlsx", sheets)
    code, out, err = run("convert", path, "--form", "fat-quarter", "--form", "yardage", "--json")
    assert code == 0, err
    quarter, yards = json.loads(out)["whole"]
    assert (quarter["as_they_are"], quarter["not"]) == (["Trim", "Sky"], ["Backing"])
    assert yards["not"] == ["Trim"]


def test_seams_that_are_refused_are_told_with_the_cell(tmp_path: Path) -> None:
    rows = (("Sky", "A", 1.5, 30, 4), ("Sea", "B", 3, 5.5, 4))
    data = converted(tmp_path, "--join", "--form", "square-5", "--form", "yardage", rows=rows)
    told = {one["where"]: one["message"] for one in data["problems"]}
    assert "no seam is sewn in a piece only 1½ in wide" in told["Pieces!B2"]
    assert "shorter than 4 in" in told["Pieces!B3"]
    assert {one["level"] for one in data["problems"]} == {"warning"}
    found = options_of(data, "square-5")
    assert "(Pieces!B2)" in found["Sky"]["why"]
    every = converted(tmp_path, "--join", rows=rows)
    assert every["problems"] == [], "of forms that nobody asked for nothing is refused"


def test_convert_warns_of_a_seam_through_a_one_way_print(tmp_path: Path) -> None:
    rows = (("Rail", "rail", 2.5, 30, 4, None, "one-way"),)
    data = converted(tmp_path, "--join", "--form", "fat-quarter", "--form", "fat-half", rows=rows)
    (told,) = data["problems"]
    assert told["where"] == "Pieces!B2"
    assert "the print breaks at each seam" in told["message"]
    _, out, _ = run("convert", tmp_path / "salt-marsh.xlsx", "--form", "fat-quarter")
    assert "with pieces sewn of parts (a seam breaks the print)" in out


def test_scrappy_cloth_keeps_a_blocks_pieces_in_one_print(tmp_path: Path) -> None:
    """8 of 2½ × 4½ and 4 squares of 2½ of each print: 115 in², more than one square of 10."""
    rows = [
        ("Fabric", "Requirement", "Cutting instructions"),
        (
            "Prints",
            "12 fat eighths",
            'From each of 12 prints cut (8) 2 1/2" x 4 1/2" rectangles and (4) 2 1/2" squares',
        ),
    ]
    path = write(tmp_path / "p.xlsx", {"Fabrics": rows})
    forms = ("--form", "square-10", "--form", "eighth-yard")
    _, out, _ = run("convert", path, *forms)
    assert "24 squares, 10 in; 2 of each of 12 prints" in out
    assert "24 eighth yards; 2 of each of 12 prints" in out
    assert "(12 if each measures 40 × 4½ in)" in out, "one fewer of each print"
    _, out, _ = run("convert", path, *forms, "--json")
    assert [one["prints"] for one in json.loads(out)["fabrics"][0]["options"]] == [12, 12]


def test_the_page_of_forms_shows_the_pattern_as_a_whole(tmp_path: Path) -> None:
    path = book(tmp_path, SQUARES, BORDER)
    words = ("--join", "--form", "fat-quarter", "--form", "yardage", "--out", tmp_path / "forms")
    code, _, err = run("convert", path, *words)
    assert code == 0, err
    page = words_of(tmp_path / "forms" / "forms.html")
    assert "The whole pattern, form by form" in page
    assert "1 of 2 as they are, Border with joined strips" in page
    assert "5 fat quarters with joined strips" in page


def test_the_sample_becomes_fifteen_fat_quarters() -> None:
    """6 prints, 2 of lanes, 4 of border and 3 of binding; its arithmetic stands in its builder."""
    reading = km.read_pattern(SAMPLES / "picket-lane-joined.xlsx")
    plan = km.plan(reading, forms="fat-quarter", join=True)
    counts = {one.role: one.per_kit.count for one in plan.fabrics}
    assert counts == {"Picket prints": 6, "Lane": 2, "Hedge": 4, "Binding": 3}
    assert parts_in(plan) == {
        "B lane": (2, 10),
        "C border strip": (11, 11),
        "D binding strip": (14, 14),
    }


# ---- forms in order of preference ------------------------------------------------------------


def forms_of(plan: KitPlan) -> dict[str, str]:
    return {one.role: one.form.form_id for one in plan.fabrics}


def test_what_a_preferred_form_does_not_hold_is_yardage(tmp_path: Path) -> None:
    reading = km.read_pattern(book(tmp_path, SQUARES, BORDER, ("Rail", "rail", 4, 30, 2)))
    plan = km.plan(reading, prefer="fat-quarter")
    assert forms_of(plan) == {"Sky": "fat-quarter", "Border": "yardage", "Rail": "yardage"}
    plan = km.plan(reading, prefer=["fat-quarter", "fat-half"])
    assert forms_of(plan)["Rail"] == "fat-half"
    (source,) = [one.source for one in plan.choices if one.label == "Rail"]
    assert source.startswith("the caller (fat quarter won't fit)")
    plan = km.plan(reading, prefer="fat-quarter", join=True)
    assert set(forms_of(plan).values()) == {"fat-quarter"}


def test_a_form_named_for_a_fabric_wins_over_the_preferred(tmp_path: Path) -> None:
    reading = km.read_pattern(book(tmp_path, SQUARES, BORDER))
    plan = km.plan(reading, prefer="fat-quarter", forms={"Sky": "fat-eighth"})
    assert forms_of(plan) == {"Sky": "fat-eighth", "Border": "yardage"}
    with pytest.raises(UsageError, match="both choose for all fabrics"):
        km.plan(reading, prefer="fat-quarter", forms="fat-eighth")
    with pytest.raises(UsageError, match="--prefer: there is no form 'fat-quatrer'"):
        km.plan(reading, prefer="fat-quatrer")


def test_a_preferred_form_must_hold_the_pieces_as_it_was_measured(tmp_path: Path) -> None:
    """17 × 19½ fits 20 × 18 and not 20 × 16."""
    shop = {
        "Shop": [("Name", "Juniper & Thread")],
        "Forms": [
            ("Form", "Nominal width", "Nominal length", "Usable width", "Usable length"),
            ("Fat quarter", 22, 18, 20, 18),
        ],
    }
    reading = km.read_pattern(book(tmp_path, ("Sky", "panel", 17, 19.5, 2)))
    at = km.read_shop(write(tmp_path / "shop.xlsx", shop))
    assert forms_of(km.plan(reading, prefer="fat-quarter")) == {"Sky": "yardage"}
    assert forms_of(km.plan(reading, shop=at, prefer="fat-quarter")) == {"Sky": "fat-quarter"}


def test_plan_takes_forms_in_order_of_preference_from_the_command_line(tmp_path: Path) -> None:
    path = book(tmp_path, SQUARES, BORDER)
    words = ("--prefer", "fat-quarter", "--out", tmp_path / "kits", "--json")
    code, out, err = run("plan", path, *words)
    assert code == 0, err
    forms = {one["role"]: one["form"] for one in json.loads(out)["fabrics"]}
    assert forms == {"Sky": "fat-quarter", "Border": "yardage"}


def test_cloth_that_measures_less_is_cut_in_more_parts(tmp_path: Path) -> None:
    """237½ in of 18 in long parts: 13 give 228, 14 give 245½."""
    sheets = {
        "Pieces": [HEADINGS, BORDER],
        "Fabrics": [("Fabric", "Requirement", "SKU"), ("Border", "1 yd", "B1")],
    }
    reading = km.read_pattern(write(tmp_path / "p.xlsx", sheets))
    stock = [("SKU", "Form", "Count at hand"), ("B1", "fat quarter", 20)]
    shop = km.read_shop(
        write(tmp_path / "shop.xlsx", {"Shop": [("Name", "Juniper & Thread")], "Stock": stock})
    )
    rows = [("SKU", "Width", "Length", "Count"), ("B1", 18, 16, 20)]
    cloth = km.read_measured(write(tmp_path / "cloth.xlsx", {"Cloth": rows}), reading, shop)
    plan = km.plan(reading, shop=shop, forms="fat-quarter", join=True, measured=cloth)
    assert parts_in(plan) == {"border strip": (14, 14)}
    assert of_role(plan, "Border").per_kit.count == 5
