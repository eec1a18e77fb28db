"""The sheet ``Finishing``: labels and values for what every quilt needs beside its blocks.

A label is read by its words (``Binding width``, ``Border 2 style``), in a pattern of several
sizes with the size behind it (``Quilt width throw``). Each value is read by one reader that
either gives it or adds a problem with its cell.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from kitmaker.errors import Location, Problem, Problems, error
from kitmaker.lengths import Length, Unit
from kitmaker.reading.cells import read_count, read_length, read_text
from kitmaker.reading.grid import Cell, CellKind, Sheet, Workbook
from kitmaker.reading.tables import fold_heading, heading_names, nearest_key

SHEET_NAME = "finishing"

LABELS: Mapping[str, tuple[str, ...]] = {
    "Quilt width": ("finished width", "finished quilt width", "width"),
    "Quilt length": ("finished length", "finished quilt length", "quilt height", "length"),
    "Top width": ("center width", "width before borders", "quilt center width"),
    "Top length": ("center length", "length before borders", "quilt center length"),
    "Binding": (),
    "Binding width": ("binding strip width", "binding cut width", "binding strip"),
    "Binding style": ("binding cut",),
    "Binding allowance": (),
    "Binding fabric": (),
    "Border": (),
    "Border width": ("border finished width",),
    "Border style": ("border corners",),
    "Border cut": (),
    "Border fabric": (),
    "Setting": ("block setting", "blocks are set", "set"),
    "Setting fabric": ("setting triangle fabric", "setting triangles", "setting triangles fabric"),
    "Sashing": (),
    "Sashing width": ("sashing finished width", "sash width"),
    "Sashing around": ("sashing all round", "sashing all around"),
    "Sashing direction": (),
    "Sashing fabric": (),
    "Cornerstone fabric": ("cornerstones fabric", "cornerstones"),
    "Block": (),
    "Block size": ("block width", "finished block", "finished block size"),
    "Blocks across": ("blocks wide",),
    "Blocks down": ("blocks long", "blocks high"),
    "Backing": (),
    "Backing overhang": (),
    "Backing fabric": (),
    "Backing width": ("backing usable width", "backing fabric width"),
    "Backing seam": (),
    "Batting": (),
    "Batting overhang": (),
    "Batting fabric": (),
}
"""Each label with the other names it may have. Borders may be numbered."""

OF_ONE_SIZE = (
    *("Quilt width", "Quilt length", "Top width", "Top length", "Blocks across", "Blocks down"),
)
"""Labels that no two sizes of a pattern have in common."""

_NAMES = heading_names(LABELS)
_BORDER = re.compile(r"border (?P<number>[1-9])(?P<rest>(?: .*)?)")
_NO = ("no", "n", "none", "false", "0", "not")
YES_OR_NO = {"yes": ("y", "true", "x"), "no": _NO}


def is_finishing_sheet(sheet: Sheet) -> bool:
    """Whether a sheet is the one named Finishing."""
    return (sheet.name or "").strip().casefold() == SHEET_NAME


def split_finishing(workbook: Workbook) -> tuple[Workbook, Sheet | None]:
    """Return the workbook without its Finishing sheet, and that sheet; None without one."""
    found = [sheet for sheet in workbook.sheets if is_finishing_sheet(sheet) and sheet.cells]
    others = tuple(sheet for sheet in workbook.sheets if not is_finishing_sheet(sheet))
    return replace(workbook, sheets=others), found[0] if found else None


@dataclass(slots=True, kw_only=True)
class FinishingLabels:
    """The values of a Finishing sheet by their labels."""

    where: Location  # the sheet
    unit: Unit  # what bare numbers are in
    cells: Mapping[str, Cell]  # label to the value's cell; labels without a value are left out
    problems: Problems = field(default_factory=Problems)  # what cannot be read is added here
    lacks_size: bool = False  # whether a label that needs a size behind it has none

    def has(self, *keys: str) -> bool:
        """Whether any of the labels has a value."""
        return any(key in self.cells for key in keys)

    def names(self, part: str) -> bool:
        """Whether some label of a part has a value."""
        return any(key == part or key.startswith(f"{part} ") for key in self.cells)

    def says_no(self, key: str) -> bool:
        """Whether a label's value is a no, or nothing."""
        return key in self.cells and fold_heading(read_text(self.cells[key])) in _NO

    def location(self, *keys: str) -> Location:
        """The cell of the first label that has a value, else the sheet."""
        for key in keys:
            if key in self.cells:
                return self.cells[key].location
        return self.where

    def text(self, key: str) -> str:
        """Return a text; "" where the label is missing."""
        return read_text(self.cells[key], self.problems) if key in self.cells else ""

    def length(self, key: str, *, may_be_zero: bool = False) -> Length | None:
        """Return a length in inches; None where it is missing or not sure."""
        if key not in self.cells:
            return None
        if may_be_zero and self.says_no(key):
            return Length(0)
        length = read_length(self.cells[key], self.unit, self.problems, what=key.casefold())
        if length is None:
            return None
        if length < 0 or length > 400 or (length == 0 and not may_be_zero):
            self.error(key, f"the {key.casefold()} is not believable", "Type a size such as 4 1/2.")
            return None
        return length

    def count(self, key: str) -> int | None:
        """Return a whole number; None where it is missing or not sure."""
        if key not in self.cells:
            return None
        return read_count(self.cells[key], self.problems, what=key.casefold())

    def choice(self, key: str, choices: Mapping[str, Sequence[str]]) -> str:
        """Return which choice, by the words that mean it, a label says; "" for none known."""
        if key not in self.cells:
            return ""
        words = fold_heading(read_text(self.cells[key]))
        for choice, others in choices.items():
            if words in (choice, *others):
                return choice
        self.error(
            key, f"the {key.casefold()} '{words}' is not known", f"Type {' or '.join(choices)}."
        )
        return ""

    def error(self, key: str, message: str, suggestion: str = "") -> None:
        """Add an error at a label's cell."""
        self.problems.refuse(message, self.location(key), suggestion)

    def warning(self, message: str, suggestion: str, *keys: str) -> None:
        """Add a warning at the first of the labels that has a value."""
        self.problems.warn(message, self.location(*keys), suggestion)


def read_finishing(
    sheet: Sheet, unit: Unit, sizes: Sequence[str], size: str | None, problems: Problems
) -> FinishingLabels:
    """Read the labels of a Finishing sheet in the chosen size.

    What cannot be read is added to the problems, now and later.
    """
    folded_sizes = {fold_heading(one) for one in sizes}
    chosen = fold_heading(size) if size is not None else None
    general: dict[str, Cell] = {}
    for_size: dict[str, Cell] = {}
    unsized: list[tuple[str, Cell]] = []
    for row in sheet.rows():
        label, *values = row.own_cells()
        if label.kind is not CellKind.TEXT or not values:
            continue
        value, (key, of_size) = values[0], _key(fold_heading(label.text), folded_sizes)
        if label.row == 1 and fold_heading(value.text) == "value":
            continue
        if key is None:
            problems.append(_unknown(label))
            continue
        if of_size is not None and of_size != chosen:
            continue
        if of_size is None and key in OF_ONE_SIZE and len(sizes) > 1:
            unsized.append((key, value))
            continue
        target = general if of_size is None else for_size
        if key in target and read_text(target[key]) != read_text(value):
            problems.refuse(
                f"'{key}' is stated twice, and differently", value.location, "Keep one."
            )
        target.setdefault(key, value)
    unsized = [(key, value) for key, value in unsized if key not in for_size]
    problems += [
        error(
            f"'{key}' is stated without a size, but the pattern has {' and '.join(sizes)}",
            value.location,
            f"Call it '{key} {sizes[0]}' if it is of that size, and so on for each.",
        )
        for key, value in unsized
    ]
    return FinishingLabels(
        where=sheet.location,
        unit=unit,
        cells={**general, **for_size},
        problems=problems,
        lacks_size=bool(unsized),
    )


def _key(folded: str, sizes: set[str]) -> tuple[str | None, str | None]:
    for size in (None, *sizes):
        rest = folded if size is None else folded.removesuffix(f" {size}")
        if (size is None or rest != folded) and (key := _plain_key(rest)) is not None:
            return key, size
    return None, None


def label_key(text: str) -> str | None:
    """Return the label that words without a size mean; None for none."""
    return _plain_key(fold_heading(text))


def _plain_key(folded: str) -> str | None:
    if match := _BORDER.fullmatch(folded):
        rest = match["rest"].strip() or "width"
        key = _NAMES.get(f"border {rest}")
        return f"Border {match['number']} {rest}" if key == f"Border {rest}" else None
    key = _NAMES.get(folded)
    whole = {"Border": "Border width", "Sashing": "Sashing width", "Block": "Block size"}
    return whole.get(key or "", key)


def _unknown(label: Cell) -> Problem:
    near = nearest_key(label.text, _NAMES)
    instead = f"Did you mean '{near}'?" if near else "Delete it, or use a known label."
    return error(
        f"the label '{read_text(label)}' is not known, so its value is not read",
        label.location,
        instead,
    )
