"""A Finishing sheet's parts, one after the other: from its labels to fabrics.

Each part becomes pieces (or, for backing and batting, an amount) of the fabric it names. A
fabric that already has such pieces keeps them: then the sheet is only a control, and a
disagreement is said with both figures. Whatever had to be assumed is marked an estimate.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from kitmaker.arithmetic import backing as backs
from kitmaker.lengths import (
    CENTIMETER,
    Length,
    Unit,
    round_need_up,
    say_off_the_bolt,
    say_size,
)
from kitmaker.pattern import Amount, Use, use_of
from kitmaker.reading.finishing_control import compare_amount, say_places
from kitmaker.reading.finishing_size import QuiltSize, quilt_size
from kitmaker.reading.finishing_tools import Tools
from kitmaker.reading.finishing_top import add_binding, add_borders, add_sashing, add_setting


def add_backing(tools: Tools, size: QuiltSize) -> None:
    """Add the backing as an amount, and say which way its seams run better."""
    labels, keys = tools.labels, ("Backing", "Backing overhang", "Backing fabric", "Quilt width")
    draft = tools.draft("Backing", Use.BACKING)
    overhang = _overhang(tools, "Backing")
    usable = labels.length("Backing width") or draft.counted_width
    seam = labels.length("Backing seam", may_be_zero=True)
    seam = backs.BACKING_SEAM if seam is None else seam
    back = backs.backing(size.width, size.length, usable, overhang, seam)
    better = back.better
    buy = _bolt_up(better.length_off_the_bolt, labels.unit)
    other = back.level if better is back.upright else back.upright
    size_said = f"{tools.say(back.width)} × {tools.with_unit(back.length)}"
    text = (
        f"backing {size_said} ({tools.with_unit(overhang)} over on each side): "
        f"{_say_way(better, labels.unit)}, {say_off_the_bolt(buy, labels.unit)}; "
        f"{_say_way(other, labels.unit)} would take "
        f"{say_off_the_bolt(_bolt_up(other.length_off_the_bolt, labels.unit), labels.unit)} "
        "(formula 13)"
    )
    where = labels.location(*keys)
    tools.note("backing", text, draft, where)
    if draft.pieces:
        places = say_places(draft.pieces)
        labels.warning(f"the backing stands at {places} as well; it is counted once", "", *keys)
        return
    if draft.requirement is None:
        draft.requirement = _amount(buy, labels.unit)
    else:
        labels.problems += compare_amount(draft, where, labels.unit, better.length_off_the_bolt)


def add_batting(tools: Tools, size: QuiltSize) -> None:
    """Add the batting as one piece of its size."""
    draft = tools.draft("Batting", Use.BATTING)
    width, length = backs.batting(size.width, size.length, _overhang(tools, "Batting"))
    text = f"{tools.say(width)} × {tools.with_unit(length)}"
    where = tools.labels.location("Batting", "Batting overhang", "Quilt width")
    told = f"batting {text} (whole inches up and overhang; formula 14)"
    tools.note("batting", told, draft, where)
    if draft.requirement is None and not draft.pieces:
        draft.requirement = Amount(as_written=text, quantity=Fraction(1), unit="piece", length=None)


def _overhang(tools: Tools, part: str) -> Length:
    overhang = tools.labels.length(f"{part} overhang", may_be_zero=True)
    if overhang is not None:
        return overhang
    overhang = backs.OVERHANG if tools.labels.unit is Unit.INCH else 10 * CENTIMETER
    tools.estimate(
        part.casefold(),
        [f"{tools.with_unit(overhang)} more on each side are"],
        f"State {part} overhang.",
        part,
        f"{part} fabric",
        "Quilt width",
    )
    return overhang


def _bolt_up(length: Length, unit: Unit) -> Length:
    return round_need_up(length, unit.bolt_step)


def _amount(length: Length, unit: Unit) -> Amount:
    return Amount(
        as_written=f"{say_off_the_bolt(length, unit)} (estimate)",
        quantity=length / unit.bolt_length,
        unit=unit.bolt_unit,
        length=length,
    )


def _say_way(way: backs.BackingWay, unit: Unit) -> str:
    length = f"{say_size(way.panel_length, unit)} {unit.value}"
    if way.seam_count == 0:
        return f"one length of {length} without a seam"
    return f"{way.panel_count} lengths of {length} with {way.direction} seams"


_PARTS: tuple[tuple[str, Callable[[Tools, QuiltSize], None]], ...] = (
    ("Setting", add_setting),
    ("Sashing", add_sashing),
    ("Border", add_borders),
    ("Binding", add_binding),
    ("Backing", add_backing),
    ("Batting", add_batting),
)


def add_finishing(tools: Tools, finished_size: str) -> None:
    """Add what a Finishing sheet asks for to the fabrics, or compare it with what they have.

    The fact ``Finished size`` stands in for a sheet without the quilt's size.
    """
    asked = [(part, add) for part, add in _PARTS if _is_asked(tools, part)]
    size = quilt_size(tools.labels, finished_size, tools.rules)
    if size is None:
        if (
            asked
            and not tools.labels.lacks_size
            and not tools.labels.has("Quilt width", "Quilt length", "Sashing width", "Setting")
        ):
            tools.labels.error(
                "",
                "the size of the quilt is not stated",
                "Type Quilt width and Quilt length, each in a row of its own.",
            )
        return
    for _, add in asked:
        add(tools, size)


def _is_asked(tools: Tools, part: str) -> bool:
    """Whether the sheet asks for a part, or a fabric waits for it without any figure."""
    labels = tools.labels
    if labels.says_no(part):
        return False
    if labels.names(part):
        return True
    use = {"Binding": Use.BINDING, "Backing": Use.BACKING}.get(part)
    return any(
        use_of(draft.role) is use and not draft.pieces and draft.requirement is None
        for draft in tools.drafts.all()
    )
