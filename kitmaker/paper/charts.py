"""Small pictures for the index: how a fabric is cut up, and bars; figures stand beside them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from markupsafe import Markup

from kitmaker.cutting.layout import Placed
from kitmaker.cutting_jobs import CutLayout
from kitmaker.paper.diagrams import hatch_lines
from kitmaker.paper.svg import open_svg, pt, text_at

_WIDE, _HIGH = Fraction(104), Fraction(31)  # points of a cloth map, at most
_MOST = 4  # layouts that one map shows
_LETTER = Fraction(7)
_SHADES = ("#ffffff", "#ececea", "#d9d8d5")


def draw_map(layouts: Sequence[CutLayout], letters: Mapping[str, str], label: str) -> Markup:
    """Return a map of a fabric: its first layouts one below the other, each piece by its letter."""
    shown = layouts[:_MOST]
    across = max(layout.sheet[0] for layout in shown)
    along = sum((layout.sheet[1] for layout in shown), Fraction(0))
    scale = min(_WIDE / across, _HIGH / along)
    down = max(scale, min(_HIGH, Fraction(10 * len(shown))) / along)  # so flat strips show letters
    shades = {key: _SHADES[at % len(_SHADES)] for at, key in enumerate(letters)}
    parts, top = [], Fraction(1)
    for layout in shown:
        for rect in layout.offcuts:
            x, y, w, h = 1 + rect.x * scale, top + rect.y * down, rect.w * scale, rect.h * down
            lines = hatch_lines(x, y, w, h)
            parts.append(f'<path d="{lines}" stroke="#666" stroke-width=".5" fill="none"/>')
        middle: dict[str, Placed] = {}
        for key in dict.fromkeys(piece.key for piece in layout.pieces):
            alike = [piece for piece in layout.pieces if piece.key == key]
            middle[key] = alike[len(alike) // 2]
        for piece in layout.pieces:
            x, y, w, h = 1 + piece.x * scale, top + piece.y * down, piece.w * scale, piece.h * down
            parts.append(
                f'<path d="M{pt(x)} {pt(y)}h{pt(w)}v{pt(h)}h{pt(-w)}Z" fill="{shades[piece.key]}"'
                ' stroke="#000" stroke-width=".5"/>'
            )
        for key, mid in middle.items():
            x, y = 1 + (mid.x + mid.w / 2) * scale, top + (mid.y + mid.h / 2) * down
            parts.append(text_at(letters[key], x, y + Fraction(5, 2), _LETTER, bold=True))
        top += layout.sheet[1] * down + 2
    width = across * scale + 2
    return _svg("map", width, top, label, "".join(parts))


def draw_bar(parts: Sequence[Fraction], whole: Fraction) -> Markup:
    """Return a bar: the first part dark, the second light, the rest of the whole hatched.

    Parts below zero count as nothing; a figure beside it says all.
    """
    wide, high = Fraction(72), Fraction(7)
    drawn, at = [], Fraction(1)
    for fill, part in zip(("#4a443c", "#d9d8d5"), parts, strict=False):
        width = min(wide + 1 - at, wide * max(part, Fraction(0)) / whole) if whole else Fraction(0)
        drawn.append(f'<path d="M{pt(at)} 1h{pt(width)}v{high}h{pt(-width)}Z" fill="{fill}"/>')
        at += width
    drawn.append(
        f'<path d="M1 1h{wide}v{high}h-{wide}Z" fill="none" stroke="#000" stroke-width=".7"/>'
    )
    return _svg("gauge", wide + 2, high + 2, "", "".join(drawn))


def _svg(kind: str, width: Fraction, height: Fraction, label: str, inside: str) -> Markup:
    text = f"{open_svg(kind, width, height, label)}{inside}</svg>"
    return Markup(text)  # noqa: S704  # of numbers; words are escaped
