"""A layout as a drawing: the cloth opened out, in proportion, readable in black and white.

One SVG a layout. The usable area and each piece are one ``rect`` each; offcuts are
hatched with lines, and selvage, fold and grain are lines with words, so that nothing but
cloth and pieces is a box. The origin is the top left corner: across runs to the right,
along runs down. A drawing's unit is a printer's point.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from html import escape

from markupsafe import Markup

from kitmaker.cutting.layout import Placed, Rect
from kitmaker.cutting_jobs import Action, CutLayout
from kitmaker.forms import Form
from kitmaker.lengths import Length, Unit, say_size, say_usable
from kitmaker.paper.cut_marks import PartName, draw_breaks, draw_step_numbers, part_names
from kitmaker.paper.scale import BOTTOM, LEFT, RIGHT, TOP, Scale, scale_of
from kitmaker.paper.svg import CHARACTER, fits, open_svg, pt, text_at

_SMALLEST_TYPE = Fraction(6)
_NAME_HIGH = 14  # points from a piece's upper edge within which a part's name stands
_SMALLEST_SIZE_TYPE = Fraction(7)
_COMFORTABLE_TYPE = Fraction(10)
_LETTER_TYPE = Fraction(16)
_SIZE_TYPE = Fraction(14)
_HATCH_GAP = 6
_SHADES = ("#ffffff", "#f1f0ed", "#e3e1dc")


@dataclass(frozen=True, slots=True)
class PieceName:
    """What a kind of piece is called in a drawing: its letter and its name."""

    letter: str
    name: str


def draw_layout(
    layout: CutLayout,
    names: Mapping[str, PieceName],
    unit: Unit,
    form: Form | None = None,
    *,
    narrow: bool = False,
    one_way: bool = False,
) -> Markup:
    """Return the drawing of a layout as SVG text.

    Args:
        layout: What is cut.
        names: Letter and name for each key that a placed piece carries.
        unit: What sizes are said in.
        form: What is cut, to know its selvages; None draws none.
        narrow: Whether it has to leave room for words beside it.
        one_way: Whether its print runs one way; then the arrow of its grain points up alone.
    """
    across, _ = layout.sheet
    scale = scale_of(layout, narrow=narrow)
    width = LEFT + across * scale.per_inch + RIGHT
    height = TOP + scale.height + BOTTOM
    parts = [open_svg("layout", width, height, describe_layout(layout, names, unit))]
    parts += piece_rects(layout, names, scale)
    parts += (hatch(offcut, scale) for offcut in layout.offcuts)
    parts.append(usable_area(across, scale, "1.6"))
    inside = list(part_names(layout, scale, beside=True))
    lettered = {
        placed: _inscription(
            placed, names[placed.key].letter, unit, scale, _below_name(placed, inside, scale)
        )
        for placed in layout.pieces
    }
    parts += _fold(layout, [placed for placed, text in lettered.items() if text], scale)
    for text in lettered.values():
        parts += text
    bearing = {placed.key for placed, text in lettered.items() if text}
    leaders = list(_leaders(layout, names, bearing, scale, width))
    parts += leaders
    parts += draw_breaks(across, scale)
    parts += _measures(layout, unit, scale)
    parts += _selvages(layout, form, scale)
    parts += (name.draw() for name in part_names(layout, scale, beside=not leaders))
    parts += draw_step_numbers(layout, scale)
    parts.append(_grain(layout, scale, width, one_way=one_way))
    parts.append("</svg>")
    return Markup("\n".join(parts))  # noqa: S704  # of numbers; words are escaped


def describe_layout(layout: CutLayout, names: Mapping[str, PieceName], unit: Unit) -> str:
    """Say what a drawing shows: ``Layout 1, 20 × 16 in usable: 8 A (Star point) …``."""
    counts: dict[str, int] = {}
    for placed in layout.pieces:
        counts[placed.key] = counts.get(placed.key, 0) + 1
    across, along = (say_usable(side, unit) for side in layout.sheet)
    pieces = ", ".join(
        f"{count} of {names[key].letter} {names[key].name}".rstrip()
        for key, count in counts.items()
    )
    return f"{layout.name}, {across} × {along} {unit.value} usable: {pieces or 'no pieces'}"


def usable_area(across: Length, scale: Scale, edge: str) -> str:
    """Return the box of the cloth that is planned for, its edge so many points wide."""
    return (
        f'<rect class="usable" x="{LEFT}" y="{TOP}" width="{pt(across * scale.per_inch)}"'
        f' height="{pt(scale.height)}" fill="none" stroke="#000" stroke-width="{edge}"/>'
    )


def piece_rects(layout: CutLayout, names: Mapping[str, PieceName], scale: Scale) -> list[str]:
    """Return a box for each piece, shaded by its kind, without words."""
    order = {key: place for place, key in enumerate(names)}
    drawn = []
    for placed in layout.pieces:
        shade = _SHADES[order[placed.key] % len(_SHADES)]
        drawn.append(
            f'<rect class="piece" data-piece="{escape(names[placed.key].letter, quote=True)}"'
            f' x="{pt(scale.x(placed.x))}" y="{pt(scale.y(placed.y))}"'
            f' width="{pt(placed.w * scale.per_inch)}" height="{pt(scale.down(placed))}"'
            f' fill="{shade}" stroke="#000" stroke-width="0.7"/>'
        )
    return drawn


def _type_size(
    text: str,
    room: Fraction,
    height: Fraction,
    most: Fraction,
    least: Fraction = _SMALLEST_TYPE,
) -> Fraction | None:
    """Return the type a text fits in, at most ``most``; None when it would be too small."""
    size = min(most, height * Fraction(85, 100), room / (len(text) * CHARACTER))
    return size if size >= least else None


def _size_type(text: str, room: Fraction, height: Fraction) -> Fraction | None:
    return _type_size(text, room, height, _SIZE_TYPE, _SMALLEST_SIZE_TYPE)


def _below_name(placed: Placed, inside: Iterable[PartName], scale: Scale) -> Fraction:
    """Return the points of a piece's upper edge that a part's name covers."""
    left, right = scale.x(placed.x), scale.x(placed.x + placed.w)
    top, bottom = scale.y(placed.y), scale.y(placed.y + placed.h)
    covers = (name.y - top for name in inside if left <= name.x < right and top < name.y < bottom)
    return max((deep for deep in covers if deep < _NAME_HIGH), default=Fraction(0))


def _inscription(
    placed: Placed, letter: str, unit: Unit, scale: Scale, below: Fraction
) -> list[str]:
    """Write letter and size into a piece: two lines, else one, upright, else turned.

    It stands below what covers so many points of its upper edge.
    """
    width, height = placed.w * scale.per_inch - 3, scale.down(placed) - 2 - below
    size_text = f"{say_size(placed.w, unit)} × {say_size(placed.h, unit)}"
    turned_fits = _size_type(f"{letter}  {size_text}", height, width) is not None
    upright = width >= height or not turned_fits
    if not upright:
        upright = _size_type(size_text, width, height / 2) is not None
    if not upright:
        width, height = height, width
    middle = (scale.down(placed) + below) / 2
    center = (scale.x(placed.x + placed.w / 2), scale.y(placed.y) + middle)
    turn = None if upright else center
    return _two_lines(letter, size_text, (width, height), center, turn)


def _two_lines(
    letter: str,
    size_text: str,
    room: tuple[Fraction, Fraction],
    center: tuple[Fraction, Fraction],
    turn: tuple[Fraction, Fraction] | None,
) -> list[str]:
    width, height = room
    x, y = center
    below = _size_type(size_text, width, height * Fraction(45, 100))
    one_line = f"{letter}  {size_text}"
    size = _size_type(one_line, width, height)
    if below is not None and (size is None or below >= min(size, _COMFORTABLE_TYPE)):
        above = _type_size(letter, width, height * Fraction(55, 100), _LETTER_TYPE) or below
        gap = min(above, height * Fraction(30, 100))
        return [
            text_at(letter, x, y - gap * Fraction(1, 10), above, bold=True, turn=turn),
            text_at(size_text, x, y + below, below, turn=turn),
        ]
    if size is not None:
        return [text_at(one_line, x, y + size * Fraction(35, 100), size, bold=True, turn=turn)]
    size = _type_size(letter, width, height, _LETTER_TYPE)
    if size is None:
        return []
    return [text_at(letter, x, y + size * Fraction(35, 100), size, bold=True, turn=turn)]


def hatch(offcut: Rect, scale: Scale) -> str:
    """Draw an offcut as slanting lines inside its edges; no box, so it is no piece."""
    lines = hatch_lines(
        scale.x(offcut.x), scale.y(offcut.y), offcut.w * scale.per_inch, scale.down(offcut)
    )
    return f'<path class="offcut" d="{lines}" stroke="#777" stroke-width="0.5" fill="none"/>'


def hatch_lines(left: Fraction, top: Fraction, width: Fraction, height: Fraction) -> str:
    """Return a path of slanting lines that fill a box."""
    strokes = []
    at = Fraction(_HATCH_GAP, 2)
    while at < width + height:
        # the line x + y = at, from the top or right edge down to the left or bottom edge
        x1, y1 = (at, Fraction(0)) if at <= width else (width, at - width)
        x2, y2 = (Fraction(0), at) if at <= height else (at - height, height)
        strokes.append(f"M{pt(left + x1)} {pt(top + y1)}L{pt(left + x2)} {pt(top + y2)}")
        at += _HATCH_GAP
    return "".join(strokes)


def _leaders(
    layout: CutLayout,
    names: Mapping[str, PieceName],
    lettered: Container[str],
    scale: Scale,
    width: Fraction,
) -> list[str]:
    """Lead a line out to the letter of each kind of piece too small to bear it."""
    drawn: list[str] = []
    lowest = Fraction(0)
    edge = scale.x(layout.sheet[0])
    small: dict[str, Placed] = {}
    for placed in layout.pieces:
        if placed.key not in lettered:
            kept = small.get(placed.key)
            if kept is None or placed.x + placed.w > kept.x + kept.w:
                small[placed.key] = placed
    for key, placed in sorted(small.items(), key=lambda item: (item[1].y, item[1].x)):
        x, y = scale.x(placed.x + placed.w / 2), scale.y(placed.y + placed.h / 2)
        lowest = max(lowest + 11, y)
        drawn.append(
            f'<path class="leader" d="M{pt(x)} {pt(y)}L{pt(edge + 14)} {pt(lowest)}"'
            ' stroke="#000" stroke-width="0.6" fill="none"/>'
        )
        room = width - edge - 38
        letter = names[key].letter
        size = min(Fraction(11), room / (len(letter) * CHARACTER))
        drawn.append(text_at(letter, edge + 16, lowest + 3, size, anchor="start", bold=True))
    return drawn


def _measures(layout: CutLayout, unit: Unit, scale: Scale) -> Iterable[str]:
    across, along = layout.sheet
    yield text_at(
        f"{say_usable(across, unit)} {unit.value} across",
        scale.x(across / 2),
        TOP - 8,
        9,
    )
    middle = (Fraction(10), TOP + scale.height / 2)
    text = f"{say_usable(along, unit)} {unit.value} along"
    if scale.breaks():
        text += ", drawn shorter at the zigzags"
    room = scale.height + TOP + BOTTOM
    if fits(text, Fraction(9), room):
        yield text_at(text, *middle, 9, turn=middle)
    else:
        yield text_at(say_usable(along, unit), 3, middle[1] + 3, 9, anchor="start")


def _selvages(layout: CutLayout, form: Form | None, scale: Scale) -> Iterable[str]:
    """Draw the woven edges: two for a whole width, one for half a width, none for squares."""
    if form is None or (form.full_size_only_if_measured and form.nominal_across < 20):
        return
    across, along = layout.sheet
    top, bottom = scale.y(Fraction(0)), scale.y(along)
    sides = [scale.x(Fraction(0)) - 5]
    if form.nominal_across > 30:
        sides.append(scale.x(across) + 5)
    for place, x in enumerate(sides):
        yield (
            f'<path class="selvage" d="M{pt(x)} {pt(top)}L{pt(x)} {pt(bottom)}" stroke="#000"'
            ' stroke-width="2.4" stroke-dasharray="1.2 2" fill="none"/>'
        )
        if bottom - top >= 40 and (place == 0 or not layout.parts):
            at = (x - 4 if place == 0 else x + 10, (top + bottom) / 2)
            yield text_at("selvage", *at, 9, turn=at)


def _fold(layout: CutLayout, lettered: Iterable[Placed], scale: Scale) -> Iterable[str]:
    """Draw where the cloth is folded, selvage to selvage, while it is cut up.

    The line leaves out pieces that lie across it and bear words.
    """
    opened = any(step.action is Action.LAY_FLAT for step in layout.steps)
    if not layout.folded or opened:
        return
    across, along = layout.sheet
    middle = across / 2
    bare = scale.y(Fraction(0)) - 5
    strokes = ""
    for placed in sorted(lettered, key=lambda piece: piece.y):
        if placed.x < middle < placed.x + placed.w:
            strokes += f"M{pt(scale.x(middle))} {pt(bare)}V{pt(scale.y(placed.y) + 2)}"
            bare = scale.y(placed.y + placed.h) - 2
    bottom = scale.y(along)
    yield (
        f'<path class="fold" d="{strokes}M{pt(scale.x(middle))} {pt(bare)}V{pt(bottom + 5)}"'
        ' stroke="#000" stroke-width="0.9" stroke-dasharray="7 3 1.5 3" fill="none"/>'
    )
    yield text_at("fold", scale.x(middle), bottom + 13, 9)


def _grain(layout: CutLayout, scale: Scale, width: Fraction, *, one_way: bool) -> str:
    """Draw the arrow along the selvage: both ways, or the way the print runs."""
    x = width - 20
    top, bottom = scale.y(Fraction(0)), scale.y(layout.sheet[1])
    inset = min(Fraction(6), (bottom - top) / 8)
    top, bottom = top + inset, bottom - inset
    head = min(Fraction(4), (bottom - top) / 4)
    at = (x + 9, (top + bottom) / 2)
    heads = [(top, head)] if one_way else [(top, head), (bottom, -head)]
    ends = "".join(
        f"M{pt(x - head)} {pt(end + back)}L{pt(x)} {pt(end)}L{pt(x + head)} {pt(end + back)}"
        for end, back in heads
    )
    arrow = (
        f'<path class="grain" d="M{pt(x)} {pt(top)}L{pt(x)} {pt(bottom)}{ends}"'
        ' stroke="#000" stroke-width="0.8" fill="none"/>'
    )
    name = "print" if one_way else "grain"
    return arrow + (text_at(name, *at, 9, turn=at) if bottom - top >= 24 else "")
