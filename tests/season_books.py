"""Small classes on one small shelf, for tests: workbooks in, and what they come to by hand.

A kit's strips are whole widths of fabric off a bolt, its patches need a fat quarter each: what
they take can be told without a planner.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil
from pathlib import Path
from typing import Any

from books import Sheets, write

EIGHTH_YARD = Fraction(9, 2)
SHELF = (
    "SKU",
    "Print",
    "Form",
    "Length at hand",
    "Count at hand",
    "Held",
    "Dye lot",
    "Cost",
    "Order in",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """A class as a test asks for it.

    Attributes:
        title: Its title, and with its pattern's the name of its file.
        day: As typed under Date.
        kits: How many.
        strips: SKU to (width of a strip as typed, how many in a kit): uncut yardage.
        patches: SKU to fat quarters in a kit.
        more: Sheets to add to its workbook, or to replace.
    """

    title: str
    day: Any = "2027-03-13"
    kits: int = 4
    strips: Mapping[str, tuple[str, int]] = field(default_factory=dict)
    patches: Mapping[str, int] = field(default_factory=dict)
    more: Sheets = field(default_factory=dict)

    def write(self, folder: Path) -> Path:
        """Write its pattern and its workbook; return the workbook."""
        stem = self.title.lower().replace(" ", "-")
        pieces: list[Sequence[Any]] = [("Fabric", "Piece", "Cut width", "Cut length", "Quantity")]
        fabrics: list[Sequence[Any]] = [("Fabric", "Requirement", "Form", "SKU")]
        for sku, (width, count) in self.strips.items():
            pieces.append((f"Strips {sku}", "strip", width, "WOF", count))
            fabrics.append((f"Strips {sku}", None, "yardage", sku))
        for sku, count in self.patches.items():
            pieces.append((f"Patches {sku}", "patch", 12, 15, count))
            fabrics.append((f"Patches {sku}", f"{count} fat quarters", "fat quarter", sku))
        pattern = write(folder / f"{stem}-pattern.xlsx", {"Pieces": pieces, "Fabrics": fabrics})
        facts = [
            ("Title", self.title),
            ("Date", self.day),
            ("Kits", self.kits),
            ("Pattern file", pattern.name),
        ]
        return write(folder / f"{stem}.xlsx", {"Class": facts, **self.more})


def bolt(sku: str, yards: Any, **more: Any) -> tuple[Any, ...]:
    """A row of the Stock sheet: a length."""
    return _row(sku, None, yards, None, more)


def pile(sku: str, count: int, **more: Any) -> tuple[Any, ...]:
    """A row of the Stock sheet: fat quarters."""
    return _row(sku, "fat quarter", None, count, more)


def _row(
    sku: str, form: str | None, length: Any, count: int | None, more: Mapping[str, Any]
) -> tuple[Any, ...]:
    rest = (more.get(key) for key in ("held", "lot", "cost", "order"))
    return (sku, f"print of {sku}", form, length, count, *rest)


def shelf(folder: Path, *rows: Sequence[Any]) -> Path:
    """Write the shop's workbook."""
    return write(folder / "shop.xlsx", {"Stock": [SHELF, *rows]})


def strips_of_a_kit(width: Fraction, count: int) -> Fraction:
    """Inches of a kit's strips: straightened once, trued after every six, sold by the eighth."""
    length = width * count + Fraction(1, 2) + Fraction(1, 4) * ((count - 1) // 6)
    return ceil(length / EIGHTH_YARD) * EIGHTH_YARD


def take_bags(free: Sequence[Fraction], bag: Fraction, bags: int) -> tuple[list[Fraction], int]:
    """Fill bags off several pieces, the shortest first; return what each gives, and how many."""
    taken = [Fraction(0)] * len(free)
    filled = 0
    for at in sorted(range(len(free)), key=lambda at: free[at]):
        here = min(bags - filled, int(free[at] // bag))
        taken[at] = here * bag
        filled += here
    return taken, filled
