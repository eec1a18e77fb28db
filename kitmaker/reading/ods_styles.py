"""The styles of an .ods file: how its numbers show, and which of its sheets are hidden.

Only what changes the meaning of a cell is kept: whether a number is a percentage, a
fraction, a code of zeros or a date, and which unit its format writes behind it. It is said
in the words of an .xlsx number format, which the readers of cells know.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

_DATE_PARTS = {"day": "d", "month": "m", "year": "yy", "hours": "h", "minutes": "mm"}
_KINDS = frozenset(
    {
        *("number:number-style", "number:percentage-style", "number:date-style"),
        *("number:time-style", "number:currency-style", "number:text-style"),
        "number:boolean-style",
    }
)


@dataclass(slots=True)
class Styles:
    """The styles met so far.

    Attributes:
        formats: The name of a number style to its .xlsx words.
        of_cells: The name of a cell style to the name of its number style.
        parents: The name of a style to the one it takes after.
        hidden_tables: The names of table styles that are not shown.
        struck: The names of styles whose text is struck through.
    """

    formats: dict[str, str] = field(default_factory=dict)
    of_cells: dict[str, str] = field(default_factory=dict)
    parents: dict[str, str] = field(default_factory=dict)
    hidden_tables: set[str] = field(default_factory=set)
    struck: set[str] = field(default_factory=set)
    _style: str = ""
    _number: str = ""
    _parts: list[str] = field(default_factory=list)
    _is_text: bool = False

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """Take an element's start."""
        if name == "style:style":
            self._style = attributes.get("style:name", "")
            if number := attributes.get("style:data-style-name"):
                self.of_cells[self._style] = number
            if parent := attributes.get("style:parent-style-name"):
                self.parents[self._style] = parent
        elif name == "style:table-properties":
            if attributes.get("table:display") == "false":
                self.hidden_tables.add(self._style)
        elif name == "style:text-properties":
            lines = ("style:text-line-through-style", "style:text-line-through-type")
            if any(attributes.get(line, "none") != "none" for line in lines):
                self.struck.add(self._style)
        elif name in _KINDS:
            self._number, self._parts = attributes.get("style:name", ""), []
        elif self._number and name.startswith("number:"):
            self._part(name.removeprefix("number:"), attributes)

    def _part(self, name: str, attributes: Mapping[str, str]) -> None:
        self._is_text = name == "text"
        if name == "number":
            whole = _figure(attributes.get("number:min-integer-digits"))
            places = _figure(attributes.get("number:decimal-places"))
            self._parts.append("0" * max(1, whole) + (f".{'0' * places}" if places else ""))
        elif name == "fraction":
            bottom = attributes.get("number:denominator-value")
            digits = max(1, _figure(attributes.get("number:min-denominator-digits")))
            self._parts.append(f"# ?/{bottom or '?' * digits}")
        elif name in _DATE_PARTS:
            self._parts.append(_DATE_PARTS[name])

    def characters(self, text: str) -> None:
        """Take the text inside an element."""
        if self._number and self._is_text:
            self._parts.append("%" if text.strip() == "%" else f'"{text}"')

    def end(self, name: str) -> None:
        """Take an element's end."""
        self._is_text = False
        if name in _KINDS:
            self.formats[self._number] = "".join(self._parts) or "General"
            self._number = ""

    def format_of(self, cell_style: str) -> str:
        """Return the number format of a cell style; ``General`` where it has none."""
        name = cell_style
        for _ in range(10):  # styles may take after one another in a ring
            if name in self.of_cells:
                return self.formats.get(self.of_cells[name], "General")
            if name not in self.parents:
                break
            name = self.parents[name]
        return "General"


def _figure(text: str | None) -> int:
    return min(20, int(text)) if text is not None and text.isdecimal() else 0
