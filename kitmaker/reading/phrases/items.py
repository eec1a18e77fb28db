"""Elements into items: one count, one size, one noun each.

An item ends where a second count or size begins. Words between are kept as what the piece
is for; a word that would change a count ("pair", "per", "or") makes the item unread.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from kitmaker.lengths import Length, Unit, say_size
from kitmaker.reading.phrases.elements import Element, Kind
from kitmaker.reading.phrases.plain import UnsureError

_CHANGES_COUNT = frozenset(
    {
        *(
            "pair",
            "pairs",
            "pr",
            "prs",
            "ea",
            "doz",
            "sets",
            "dozen",
            "times",
            "per",
            "both",
            "either",
            "or",
            "several",
        ),
        *("few", "each", "every", "double", "half", "maximum", "minimum", "approximately"),
        *("enough", "approx", "about", "assortment", "many", "up", "twice"),
        *("but", "except", "less", "minus", "same", "couple", "triple", "spare", "spares"),
        *("halved", "quartered", "doubled", "split", "divided", "repeated"),
        *(
            "saving",
            "keeping",
            "leaving",
            "reserving",
            "likewise",
            "similarly",
            "ditto",
            "not",
            "don't",
            "don’t",
            "never",
        ),
        *("instead", "if", "unless", "allowance", "allowances", "larger", "smaller"),
    }
)
_OTHER_SHAPES = re.compile(
    r"(?:hexagons?|diamonds?|circles?|wedges?|octagons?|trapezoids?|kites?|parallelograms?"
    r"|hearts?|ovals?|clamshells?|dresden|bias|triangles?|hsts?|qsts?|geese|goose|templates?)\.?",
    re.IGNORECASE,
)
_SILENT = frozenset(
    {
        *("cut", "cutting", "cuts", "the", "a", "an", "of", "for", "from", "and", "to", "into"),
        *("x", "in", "with", "at", "these", "those", "them", "this", "that", "then", "please"),
        *("strips", "strip", "choose", "select", "use", "need", "you", "will", "wide", "long"),
    }
)
_SQUARE_NAMES = frozenset({"cornerstone", "cornerstones", "posts", "post"})
_CUT_NOUNS = frozenset({"strip", "square", "rectangle"})
STRIP_LIKE = ("strip", "binding", "border")


@dataclass(slots=True)
class Item:
    """One count, size and noun."""

    count: int | None = None
    size: Element | None = None
    noun: str = ""
    plural: bool = False
    letter: str = ""
    words: list[str] = field(default_factory=list)
    across: bool = False
    along: bool = False
    along_for_all: bool = False
    diagonal: int = 0
    at: bool = False
    other_shape: str = ""
    is_for_shape: bool = False

    @property
    def is_bare(self) -> bool:
        """Whether nothing but a count stands in it: "Six (6)" is one count said twice."""
        return not (self.size or self.noun or self.letter or self.words or self.at)

    @property
    def is_empty(self) -> bool:
        """Whether it has neither a count nor a size."""
        return self.count is None and self.size is None

    def purpose(self) -> str:
        """Return the words that say what it is for."""
        return " ".join(word for word in self.words if word.casefold() not in _SILENT)


def items_of(elements: list[Element]) -> list[Item]:
    """Return the items of a clause.

    Raises:
        UnsureError: A word or a number in it makes a count or a size unsure.
    """
    items = [Item()]
    behind = _counts_stand_behind(elements)
    for at, element in enumerate(elements):
        _add(items, element, [] if behind else elements[at + 1 :])
        if element.kind is Kind.LOF:
            items[-1].along_for_all = _stands_apart(elements[:at])
    for item in items:
        _refuse_other_shape(item)
        _name_square(item)
    kept = [item for item in items if not item.is_empty]
    if not kept and len(items) == 1:
        return items if items[0].diagonal or items[0].across or items[0].along else []
    return kept


def _refuse_other_shape(item: Item) -> None:
    """Refuse a shape of which it is not said what is cut for it, and how."""
    of_squares = (item.noun == "square" and item.is_for_shape) or (
        item.noun in ("", "square") and bool(item.diagonal)
    )
    of_rectangles = item.noun == "rectangle" and item.is_for_shape
    if item.other_shape and not (of_squares or of_rectangles):
        raise _unsure_shape(item.other_shape)


def _name_square(item: Item) -> None:
    """Call ``9 cornerstones 2"`` squares: what has that name has four equal sides."""
    if item.noun or item.size is None or item.size.second is not None or item.across or item.at:
        return
    named = [word for word in item.words if word.casefold() in _SQUARE_NAMES]
    if named and "for" not in (word.casefold() for word in item.words):
        item.noun, item.plural = "square", named[0].endswith("s")


def _unsure_shape(word: str) -> UnsureError:
    return UnsureError(
        f"'{word}': which square, rectangle or strip it is cut from is not said",
        "Type the squares cut, with 'cut once on the diagonal' or 'cut twice on the diagonal'.",
    )


def _counts_stand_behind(elements: list[Element]) -> bool:
    """Whether sizes and counts take turns, a size first: ``5" squares: 16; 2½" squares: 32``."""
    kinds = [element.kind for element in elements if element.kind in (Kind.SIZE, Kind.COUNT)]
    return len(kinds) > 2 and kinds == [Kind.SIZE, Kind.COUNT] * (len(kinds) // 2)


def _stands_apart(before: list[Element]) -> bool:
    """Whether a comma parts a word from the size before it, so that it speaks of the whole line.

    A word before every size does so too.
    """
    for element in reversed(before):
        if element.kind is Kind.BREAK:
            return True
        if element.kind in (Kind.SIZE, Kind.COUNT, Kind.NOUN):
            return False
    return True


def _add(items: list[Item], element: Element, following: list[Element]) -> None:
    item = items[-1]
    if element.kind is Kind.COUNT:
        _add_count(items, element, following)
    elif element.kind is Kind.SIZE:
        _set_size(item if item.size is None else _next(items), element)
    elif element.kind is Kind.NOUN:
        _add_noun(item, element)
    elif element.kind is Kind.WORD:
        _refuse_open_times(element, following)
        _add_word(item, element.text)
    else:
        _add_mark(item, element)


def _refuse_open_times(element: Element, following: list[Element]) -> None:
    """Refuse a times sign without the second measure: ``2½" x W``."""
    behind = following[0].kind if following else Kind.BREAK
    if element.text.casefold() == "x" and behind in (Kind.WORD, Kind.BREAK):
        raise UnsureError(
            "nothing that is a measure stands behind the times sign",
            "Type both measures, or WOF for the width of the fabric.",
        )


def _add_noun(item: Item, element: Element) -> None:
    if item.noun != element.text and {item.noun, element.text} <= _CUT_NOUNS:
        raise UnsureError(
            f"whether the count is of {item.noun}s or of {element.text}s is not said for sure",
            "Type one line for the strips and one for what they are cut into.",
        )
    if not item.noun or item.noun in ("border", "binding", "piece", "length"):
        item.noun, item.plural = element.text, element.plural
    if element.text in ("border", "binding"):
        item.words.append(element.text)


def _add_mark(item: Item, element: Element) -> None:
    if element.kind is Kind.LETTER:
        item.letter = element.text
    item.across = item.across or element.kind is Kind.WOF
    item.along = item.along or element.kind is Kind.LOF
    item.at = item.at or element.kind is Kind.AT
    item.diagonal = element.number if element.kind is Kind.DIAGONAL else item.diagonal


def _next(items: list[Item]) -> Item:
    """Begin a new item; the words behind the last noun stay with the old one."""
    items.append(Item())
    return items[-1]


def _set_size(item: Item, element: Element) -> None:
    item.size = element
    item.across = item.across or element.across
    item.along = item.along or element.along
    if element.times_count is not None:
        if item.count is not None:
            raise UnsureError(f"'{element.text}' gives a second count", "Type one count.")
        item.count = element.times_count


def _add_count(items: list[Item], element: Element, following: list[Element]) -> None:
    item = items[-1]
    if element.number < 1:
        raise UnsureError("a count is 0", "Type how many to cut, or delete the line.")
    if item.count is None and item.size is None:
        item.count = element.number
        return
    if item.count is None and not _opens_an_item(following):
        item.count = element.number  # the count stands behind: 2½" squares (8)
        return
    if item.size is None:
        if item.count == element.number and element.text.startswith("‹") and item.is_bare:
            return
        raise UnsureError(
            f"'{element.text.strip()}' has no sure part to play beside the count {item.count}",
            "Type one line for each size: count, size, what it is.",
        )
    _next(items).count = element.number


def _opens_an_item(following: list[Element]) -> bool:
    """Whether a size comes before the next count, so that the count belongs to it."""
    for element in following:
        if element.kind is Kind.SIZE:
            return True
        if element.kind is Kind.COUNT:
            return False
    return False


def _add_word(item: Item, text: str) -> None:
    word = text.casefold().strip(".'")
    if word in _CHANGES_COUNT:
        raise UnsureError(
            f"'{word}' makes the count or the size unsure", "Type the total and one size."
        )
    behind_for = "for" in (one.casefold() for one in item.words)
    if word in ("finished", "unfinished") and not behind_for:
        raise UnsureError("the size is a finished size", "Type the cut size, seams included.")
    if _OTHER_SHAPES.fullmatch(word):
        item.other_shape = item.other_shape or word
        item.is_for_shape = behind_for or word in ("geese", "goose")
        is_cut_so = item.noun in ("", "square") and item.diagonal
        if not item.is_empty and not item.is_for_shape and not is_cut_so:
            raise _unsure_shape(word)
    if re.search(r"\d\D+\d", text) and item.is_empty:
        raise UnsureError(
            f"whether the count is for each of '{text}' or for all is not said", "Type the total."
        )
    item.words.append(text)


def default_name(item: Item, width: Length, length: Length | None, unit: Unit) -> str:
    """Return what to call a piece that the text gives no letter."""
    purpose = item.purpose()
    noun = {"square": "square", "rectangle": "rectangle"}.get(item.noun, "piece")
    if length is None:
        noun, size = "strip", say_size(width, unit)
    elif width == length:
        noun, size = "square", say_size(width, unit)
    else:
        size = f"{say_size(width, unit)} × {say_size(length, unit)}"
        noun = "strip" if item.noun in STRIP_LIKE else noun
    purpose = re.sub(r"[^\w &/'-]", "", purpose).strip()
    return f"{size} {purpose} {noun}" if 0 < len(purpose) <= 40 else f"{size} {noun}"
