"""The styles of an .ods file: how its numbers show, and which of its sheets are hidden.

Only what changes the meaning of a cell is kept: whether a number is a percentage, a
fraction, a code of zeros or a date, and which unit its format writes behind it. It is said
in the words of an .xlsx number format, which the readers of cells know.
"""

from __future__ import annotations

from collections.abc import Iterable
from xml.etree.ElementTree import Element

_DATE_PARTS = {"day": "d", "month": "m", "year": "yy", "hours": "h", "minutes": "mm"}
_KINDS = ("number", "percentage", "date", "time", "currency", "text", "boolean")


def kind_of(element: Element) -> str:
    """Return what an element is, without its namespace: ``table-cell``."""
    return element.tag.rpartition("}")[2]


def attributes_of(element: Element) -> dict[str, str]:
    """Return an element's attributes by their names without namespaces.

    ``calc:value-type`` is what LibreOffice says of a value besides ``value-type``.
    """
    return {
        ("calc:" if "calcext" in name else "") + name.rpartition("}")[2]: text
        for name, text in element.attrib.items()
    }


class Styles:
    """The styles of a file.

    Attributes:
        formats: The name of a number style to its .xlsx words.
        of_cells: The name of a cell style to the name of its number style.
        parents: The name of a style to the one it takes after.
        hidden_tables: The names of table styles that are not shown.
        struck: The names of styles whose text is struck through.
    """

    def __init__(self, roots: Iterable[Element]) -> None:
        """Gather the styles of a file's XML texts."""
        self.formats: dict[str, str] = {}
        self.of_cells: dict[str, str] = {}
        self.parents: dict[str, str] = {}
        self.hidden_tables: set[str] = set()
        self.struck: set[str] = set()
        for root in roots:
            for style in root.iterfind(".//{*}style"):
                self._style(style)
            for kind in _KINDS:
                for style in root.iterfind(f".//{{*}}{kind}-style"):
                    words = "".join(map(_part, style)) or "General"
                    self.formats[attributes_of(style).get("name", "")] = words

    def _style(self, style: Element) -> None:
        attributes = attributes_of(style)
        name = attributes.get("name", "")
        if number := attributes.get("data-style-name"):
            self.of_cells[name] = number
        if parent := attributes.get("parent-style-name"):
            self.parents[name] = parent
        for part in style:
            said = attributes_of(part)
            lines = ("text-line-through-style", "text-line-through-type")
            if kind_of(part) == "table-properties" and said.get("display") == "false":
                self.hidden_tables.add(name)
            elif any(said.get(line, "none") != "none" for line in lines):
                self.struck.add(name)

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


def _part(element: Element) -> str:
    kind, attributes = kind_of(element), attributes_of(element)
    if kind == "number":
        places = _figure(attributes.get("decimal-places"))
        whole = "0" * max(1, _figure(attributes.get("min-integer-digits")))
        return whole + (f".{'0' * places}" if places else "")
    if kind == "fraction":
        digits = max(1, _figure(attributes.get("min-denominator-digits")))
        return f"# ?/{attributes.get('denominator-value') or '?' * digits}"
    if kind == "text" and element.text:
        return "%" if element.text.strip() == "%" else f'"{element.text}"'
    return _DATE_PARTS.get(kind, "")


def _figure(text: str | None) -> int:
    return min(20, int(text)) if text is not None and text.isdecimal() else 0
