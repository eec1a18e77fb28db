"""What every drawing is written with: coordinates and words, as SVG text."""

from __future__ import annotations

from fractions import Fraction
from html import escape

CHARACTER = Fraction(58, 100)
"""A digit's or letter's width, as a share of the type's size."""


def pt(value: Fraction | int) -> str:
    """Write a coordinate with up to three decimals."""
    return f"{float(value):.3f}".rstrip("0").rstrip(".")


def fits(text: str, size: Fraction, room: Fraction) -> bool:
    """Tell whether a text in type of some size is no wider than its room."""
    return len(text) * size * CHARACTER <= room


def open_svg(
    kind: str,
    width: Fraction,
    height: Fraction,
    label: str,
    left: Fraction | int = 0,
    top: Fraction | int = 0,
) -> str:
    """Return the tag that opens a drawing.

    Args:
        kind: Its class in the style sheet.
        width, height: Points, of the drawing and on paper.
        label: What a screen reader says; "" where words beside it say all.
        left, top: Of its upper left corner.
    """
    text = f'role="img" aria-label="{escape(label, quote=True)}"' if label else 'aria-hidden="true"'
    return (
        f'<svg class="{kind}" xmlns="http://www.w3.org/2000/svg" {text}'
        f' viewBox="{pt(left)} {pt(top)} {pt(width)} {pt(height)}"'
        f' width="{pt(width)}pt" height="{pt(height)}pt"'
        ' font-family="Liberation Sans, Arial, Helvetica, sans-serif">'
    )


def text_at(
    words: str,
    x: Fraction | int,
    y: Fraction | int,
    size: Fraction | int,
    *,
    anchor: str = "middle",
    bold: bool = False,
    turn: tuple[Fraction, Fraction] | None = None,
) -> str:
    """Write words with a light edge around them, so that lines below do not strike them."""
    weight = ' font-weight="bold"' if bold else ""
    turned = f' transform="rotate(-90 {pt(turn[0])} {pt(turn[1])})"' if turn else ""
    return (
        f'<text x="{pt(x)}" y="{pt(y)}" font-size="{pt(size)}" text-anchor="{anchor}"'
        ' paint-order="stroke" stroke="#fff" stroke-opacity="0.85" stroke-width="2.4"'
        f"{weight}{turned}>{escape(words)}</text>"
    )
