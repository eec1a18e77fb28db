"""What every drawing is written with: coordinates and words, as SVG text."""

from __future__ import annotations

from fractions import Fraction
from html import escape

CHARACTER = Fraction(58, 100)
"""A digit's or letter's width, as a share of the type's size."""


def pt(value: Fraction | int) -> str:
    """Write a coordinate with up to three decimals."""
    return f"{float(value):.3f}".rstrip("0").rstrip(".")


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
