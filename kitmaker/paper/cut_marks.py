"""What ties a drawing to its steps: numbers on the cuts, names on the parts, zigzags."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from html import escape

from kitmaker.cutting.layout import Rect
from kitmaker.cutting_jobs import CutLayout
from kitmaker.lengths import Length
from kitmaker.paper.scale import Scale
from kitmaker.paper.svg import pt, text_at

_TYPE = 9
_LOOKS = (
    'stroke-width="2"',
    'stroke-width="1.2"',
    'stroke-width="1.2" stroke-dasharray="5 2"',
    'stroke-width="1.2" stroke-dasharray="1.5 1.5"',
)
_APART = 12  # points between two numbers, or two names
_NAME_WIDE = 34
_OUTSIDE = 9  # points from the cloth's edge to a name beside it


def draw_step_numbers(layout: CutLayout, scale: Scale) -> Iterable[str]:
    """Draw the cuts as lines with the numbers of their steps.

    What is cut first is a thick line with a black number, what is cut next a thinner one, then a
    dashed one: no color is needed to tell them apart. Equal parts that are cut alike bear their
    number once, at the first.
    """
    numbered: set[tuple[str, bool, Length]] = set()
    places: list[tuple[Fraction, Fraction, Fraction]] = []
    turns = {name: turn for turn, name in enumerate(_in_turn(layout))}
    for cut in layout.cuts:
        x, y = scale.x(cut.at.x), scale.y(cut.at.y)
        end = f"{pt(scale.x(cut.at.x + cut.at.w))} {pt(scale.y(cut.at.y + cut.at.h))}"
        look = _LOOKS[min(turns[cut.name], len(_LOOKS) - 1)]
        yield f'<path class="cut" d="M{pt(x)} {pt(y)}L{end}" stroke="#000" fill="none" {look}/>'
    for cut in sorted(layout.cuts, key=lambda cut: (cut.at.y, cut.at.x)):
        is_along = not cut.at.w
        key = (cut.name, is_along, cut.at.x if is_along else cut.at.y)
        radius = Fraction(6) + Fraction(9, 4) * (len(cut.name) - 1)
        spots = [(scale.x(cut.at.x), scale.y(cut.at.y))]
        if all(cut.name != name for name, _, _ in numbered):  # its far end, rather than nowhere
            spots.append((scale.x(cut.at.x + cut.at.w), scale.y(cut.at.y + cut.at.h)))
        free = (
            spot
            for spot in spots
            if all(
                abs(spot[0] - left) >= radius + wide or abs(spot[1] - top) >= _APART
                for left, top, wide in places
            )
        )
        spot = next(free, None)
        if key in numbered or spot is None:
            continue
        x, y = spot
        numbered.add(key)
        places.append((x, y, radius))
        ground, ink = ("#000", "#fff") if turns[cut.name] == 0 else ("#fff", "#000")
        yield (
            f'<ellipse class="step" cx="{pt(x)}" cy="{pt(y)}" rx="{pt(radius)}" ry="6"'
            f' fill="{ground}" stroke="#000" stroke-width="0.6"/>'
            f'<text x="{pt(x)}" y="{pt(y + 3)}" font-size="{_TYPE}"'
            f' text-anchor="middle" font-weight="bold" fill="{ink}">{escape(cut.name)}</text>'
        )


def _in_turn(layout: CutLayout) -> list[str]:
    names = dict.fromkeys(cut.name for cut in layout.cuts)
    return sorted(names, key=int)


@dataclass(frozen=True, slots=True)
class PartName:
    """The name of a part that is cut up again, and the points where it is written."""

    text: str
    x: Fraction
    y: Fraction
    anchor: str

    def draw(self) -> str:
        """Write it."""
        return text_at(self.text, self.x, self.y, _TYPE, anchor=self.anchor)


def part_names(layout: CutLayout, scale: Scale, *, beside: bool) -> Iterable[PartName]:
    """Name the parts that are cut up again, beside the cloth or each once within it."""
    places: list[tuple[Fraction, Fraction]] = []
    named: set[str] = set()
    for part in layout.parts:
        x, y, anchor = _place_of_name(part.at, layout, scale, beside=beside)
        is_inside = x < scale.x(layout.sheet[0]) and y < scale.y(layout.sheet[1])
        if is_inside and part.name in named:
            continue
        if all(abs(x - left) >= _NAME_WIDE or abs(y - top) >= _APART - 3 for left, top in places):
            places.append((x, y))
            named.add(part.name)
            yield PartName(f"part {part.name}", x, y, anchor)
    for part in layout.parts:
        if part.name not in named:
            named.add(part.name)
            yield PartName(f"part {part.name}", *_corner(part.at, scale))


def _corner(at: Rect, scale: Scale) -> tuple[Fraction, Fraction, str]:
    return scale.x(at.x) + 6, scale.y(at.y) + _TYPE + 1, "start"


def _place_of_name(
    at: Rect, layout: CutLayout, scale: Scale, *, beside: bool
) -> tuple[Fraction, Fraction, str]:
    """Return where a part's name stands: beside the cloth, below it, else in its corner."""
    across, along = layout.sheet
    if beside and at.x + at.w == across:
        middle = (scale.y(at.y) + scale.y(at.y + at.h)) / 2
        return scale.x(across) + _OUTSIDE, middle + 2, "start"
    if at.y + at.h == along:
        x, fold = scale.x(at.x + at.w / 2), scale.x(across / 2)
        if layout.folded and abs(x - fold) < 2 * _APART:
            x = fold + 2 * _APART
        return x, scale.y(along) + _OUTSIDE, "middle"
    return _corner(at, scale)


def draw_breaks(across: Length, scale: Scale) -> Iterable[str]:
    """Draw a zigzag on both edges of the cloth wherever it is drawn shorter than it is."""
    for y in scale.breaks():
        for x in (scale.x(Fraction(0)), scale.x(across)):
            zigzag = f"M{pt(x)} {pt(y - 5)}l-4 2.5l8 2.5l-8 2.5l4 2.5"
            yield (
                f'<path class="break" d="{zigzag}" fill="none" stroke="#fff" stroke-width="3"/>'
                f'<path class="break" d="{zigzag}" fill="none" stroke="#000" stroke-width="0.8"/>'
            )
