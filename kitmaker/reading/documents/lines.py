"""What a page is made of: pieces of text with their places, and the lines they come to."""

from __future__ import annotations

from dataclasses import dataclass, field

from kitmaker.errors import Location, UnreadableError

_SOFT_HYPHEN = "\u00ad"
PAGE_ENDINGS = frozenset({".txt", ".docx", ".pdf"})
MOST_LINES = 5_000
"""More lines than any pattern has. Our own bound, no source."""


@dataclass(frozen=True, slots=True, order=True)
class PagePlace(Location):
    """A place on a page: ``quilt.pdf``, ``page 2, column 1, line 14``."""

    @property
    def column(self) -> str:
        """The column of the page that it stands in."""
        return (self.sheet or "").rpartition(", line ")[0]

    def __str__(self) -> str:
        """Say it as a person looks it up."""
        return f"{self.workbook}, {self.sheet}"


@dataclass(frozen=True, slots=True)
class Segment:
    """Words that stand side by side without a wide gap."""

    # left, right: where they begin and end; letters in a .txt, points in a .pdf
    left: float
    right: float
    text: str
    height: float = 1.0  # of their letters; 1 in a .txt
    is_bold: bool = False  # whether they are set in bold


@dataclass(frozen=True, slots=True)
class PageRow:
    """What stands at one height of a page, from left to right."""

    segments: tuple[Segment, ...]  # at least one
    top: float  # how far down the page it stands


@dataclass(frozen=True, slots=True, kw_only=True)
class PageLine:
    """A line of a page, in the order in which the page is read."""

    text: str  # its words; the cells of a table's row side by side
    place: PagePlace  # where it stands
    # of a table's row, its cells, wrapped ones line by line; else nothing
    cells: tuple[str, ...] = ()
    spans: tuple[tuple[float, float], ...] = ()  # where each of them begins and ends
    # left, right: where its words begin and end
    left: float = 0.0
    right: float = 0.0
    edge: float = 0.0  # where its column ends, so that one can tell whether it was wrapped
    of: int = 1  # how many lines its column has
    height: float = 1.0  # of its letters
    gap: float = 0.0  # how far below the line above it in its column it stands; 0 for the first
    is_bold: bool = False  # whether all of it is bold
    is_whole: bool = False  # whether it is a whole paragraph, which no line below carries on
    is_astray: bool = False  # whether it stands beside a table and is in none of its rows for sure


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A pattern's page."""

    name: str  # the file's
    lines: tuple[PageLine, ...]  # in the order in which they are read
    # running heads and page numbers, which are no part of the text
    heads: tuple[PageLine, ...] = field(default=())
    struck: tuple[PageLine, ...] = field(default=())  # what is struck through


_LETTERS = {"ﬀ": "ff", "ﬁ": "fi", "ﬂ": "fl", "ﬃ": "ffi", "ﬄ": "ffl"}


def plain_letters(text: str) -> str:
    """Return a line without joined letters, and without soft hyphens but for one at its end."""
    plain = "".join(_LETTERS.get(letter, letter) for letter in text)
    return f"{plain[:-1].replace(_SOFT_HYPHEN, '')}{plain[-1:]}"


def no_text(name: str, *, has_pictures: bool) -> UnreadableError:
    """Return the refusal of a page with nothing on it that can be read."""
    what = "it holds pictures, no text" if has_pictures else "it holds no text"
    return UnreadableError(
        f"'{name}' cannot be read: {what}. Type its text into a .txt file, or its cuts into "
        "the workbook of 'kitmaker starter'."
    )


def too_many_lines(name: str) -> UnreadableError:
    """Return the refusal of a page with far more lines than a pattern has."""
    return UnreadableError(f"'{name}' has more lines than a pattern needs. Keep only its own.")
