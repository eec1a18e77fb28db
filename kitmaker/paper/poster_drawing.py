"""A layout drawn for a poster: few words in large type, the cuts as thick numbered lines."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from html import escape

from markupsafe import Markup

from kitmaker.cutting.layout import Placed
from kitmaker.cutting_jobs import CutLayout
from kitmaker.lengths import Unit, say_size
from kitmaker.paper.cut_marks import draw_breaks
from kitmaker.paper.diagrams import PieceName, describe_layout, hatch, piece_rects, usable_area
from kitmaker.paper.scale import LEFT, TOP, Scale, scale_of
from kitmaker.paper.svg import fits, open_svg, pt, text_at

_TYPE = Fraction(24)
_ABOVE, _BELOW = 46, 30  # points beside the cloth, for numbers and letters
_DISC = 16
_BESIDE = 60


def poster_scale(layout: CutLayout, wide: Fraction, high: Fraction, *, turned: bool) -> Scale:
    """Return the scale at which a poster's drawing fills its room on one side.

    It is in proportion, but for a very long length, which is shortened as on the sheets.

    Args:
        layout: What is drawn.
        wide, high: Points of the drawing at most, with the numbers beside the cloth.
        turned: Whether the cloth's length runs from left to right.
    """
    across, along = layout.sheet
    if turned:
        wide, high = high, wide
    wide, high = wide - 2 * _BESIDE, high - _ABOVE - _BELOW
    found = scale_of(layout, narrow=False)
    if not found.breaks():
        per_inch = min(wide / across, high / along)
        return Scale(per_inch, ((Fraction(0), Fraction(0)), (along, along * per_inch)))
    larger = min(wide / (across * found.per_inch), high / found.height)
    stops = tuple((inches, points * larger) for inches, points in found.stops)
    return Scale(found.per_inch * larger, stops)


def draw_poster(
    layout: CutLayout,
    names: Mapping[str, PieceName],
    unit: Unit,
    scale: Scale,
    *,
    turned: bool,
) -> Markup:
    """Return a layout's drawing as SVG text; no letter is smaller than 24 pt.

    Args:
        layout: What is cut.
        names: Letter and name for each key that a placed piece carries.
        unit: What sizes are said in.
        scale: Of the drawing, as :func:`poster_scale` finds it.
        turned: Whether the cloth's length runs from left to right, its first end at the right.
    """
    across = layout.sheet[0]
    wide = across * scale.per_inch + 2 * _BESIDE
    high = scale.height + _ABOVE + _BELOW
    left, top = Fraction(LEFT - _BESIDE), Fraction(TOP - _ABOVE)
    if turned:  # by a quarter to the right: what is at (x, y) comes to (-y, x)
        corner = {"width": high, "height": wide, "left": -(top + high), "top": left}
    else:
        corner = {"width": wide, "height": high, "left": left, "top": top}
    text = f"{layout.name}, its cuts numbered. {describe_layout(layout, names, unit)}"
    parts = [
        open_svg("layout", label=text, **corner),
        *(['<g transform="rotate(90)">'] if turned else []),
        *piece_rects(layout, names, scale),
        *(hatch(offcut, scale) for offcut in layout.offcuts),
        usable_area(across, scale, "3"),
        *draw_breaks(across, scale),
    ]
    for placed in layout.pieces:
        parts += _letter(placed, names[placed.key].letter, unit, scale, turned=turned)
    parts += _cuts(layout, scale, turned=turned)
    parts.append("</g></svg>" if turned else "</svg>")
    return Markup("\n".join(parts))  # noqa: S704  # of numbers; words are escaped


def _letter(
    placed: Placed, letter: str, unit: Unit, scale: Scale, *, turned: bool
) -> Iterable[str]:
    """Write letter and size into a piece, along its longer side; what fits of them."""
    wide = placed.w * scale.per_inch - 4
    high = scale.down(placed) - 4
    center = (scale.x(placed.x + placed.w / 2), scale.y(placed.y) + high / 2 + 2)
    stands = high > wide
    long, short = (high, wide) if stands else (wide, high)
    turn = center if stands else None
    upright = center if turned else None
    tall, room = (wide, high) if turned else (high, wide)
    size = f"{say_size(placed.w, unit)} × {say_size(placed.h, unit)}"
    x, y = center
    if fits(size, _TYPE, long) and short >= 2 * _TYPE + 6:
        yield text_at(letter, x, y - 4, _TYPE + 4, bold=True, turn=turn)
        yield text_at(size, x, y + _TYPE, _TYPE, turn=turn)
    elif short >= _TYPE and fits(f"{letter}  {size}", _TYPE, long):
        yield text_at(f"{letter}  {size}", x, y + 8, _TYPE, bold=True, turn=turn)
    elif tall >= _TYPE and fits(letter, _TYPE, room):
        yield text_at(letter, x, y + 8, _TYPE, bold=True, turn=upright)
    elif scale.y(placed.y + placed.h) == TOP + scale.height and wide >= _TYPE * Fraction(2, 3):
        y = TOP + scale.height + _TYPE
        yield text_at(letter, x, y, _TYPE, bold=True, turn=(x, y - 8) if turned else None)


def _cuts(layout: CutLayout, scale: Scale, *, turned: bool) -> Iterable[str]:
    """Draw each cut as a thick line; its step's number stands outside the cloth, or once in it."""
    places: list[tuple[Fraction, Fraction]] = []
    shown: set[str] = set()
    discs: list[str] = []
    for cut in sorted(
        layout.cuts, key=lambda cut: (bool(cut.at.x and cut.at.y), cut.at.y, cut.at.x)
    ):
        x, y = scale.x(cut.at.x), scale.y(cut.at.y)
        end_x, end_y = scale.x(cut.at.x + cut.at.w), scale.y(cut.at.y + cut.at.h)
        yield f'<path d="M{pt(x)} {pt(y)}L{pt(end_x)} {pt(end_y)}" stroke="#000" stroke-width="3"/>'
        is_outside = not (cut.at.y if not cut.at.w else cut.at.x)
        at = (x, y - _DISC - 4) if not cut.at.w else (x - _DISC - 2, y)
        is_near = any(abs(at[0] - left) + abs(at[1] - top) < 2 * _DISC + 2 for left, top in places)
        if is_near or (not is_outside and cut.name in shown):
            continue
        places.append(at)
        shown.add(cut.name)
        wide = _DISC + 8 * (len(cut.name) - 1)
        turn = f' transform="rotate(-90 {pt(at[0])} {pt(at[1])})"' if turned else ""
        discs.append(
            f'<g{turn}><ellipse cx="{pt(at[0])}" cy="{pt(at[1])}" rx="{wide}" ry="{_DISC}"/>'
            f'<text x="{pt(at[0])}" y="{pt(at[1] + 8)}" font-size="24" font-weight="bold"'
            f' text-anchor="middle" fill="#fff">{escape(cut.name)}</text></g>'
        )
    yield from discs
