"""The rules of an amount: each owns what it reads, and gives a quantity or leaves it as it is.

A rule is a shape, a pattern of kinds of words (:func:`.tokens.shape`), and what it means. At
each place the first rule that fits is taken; a word that stands in none makes the amount
unread.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.lengths import CENTIMETER, YARD, Length, say_decimal, say_plain
from kitmaker.reading.amount_parts import BY_LENGTH, NARROWEST_BOLT, AmountError, Part
from kitmaker.reading.words.lexicon import LABEL_NOUNS, word_set
from kitmaker.reading.words.tokens import Kind, Words

FRACTION_SLASH = "\u2044"
_MOST_TIMES = 9
"""More than so many "x 50 cm" are the side of a size. Our own bound, no source."""
_SHORT_STRIP: Length = Fraction(40)
"""What is shorter is no strip across the fabric. Common practice, no source."""
_ACROSS: Length = Fraction(42)
_KINDS = word_set("cloth cloths fabric fabrics color colors colour colours print prints")

Found = re.Match[str]


@dataclass(slots=True)
class AmountReader:
    """One text while its rules are asked."""

    as_written: str  # the words of the cell
    words: Words  # the same, each with its kind
    catalogue: Catalogue  # the forms whose names are known
    role: str  # the fabric's name
    parts: list[Part] = field(default_factory=list)  # the quantities found so far
    joints: set[Kind] = field(default_factory=set)  # the kinds of the words since the last of them
    times: int = 1  # how often they are meant: 6 of "each of 6 prints"
    prints: int | None = None  # the separate pieces of cloth that are said; None where none are
    warnings: list[str] = field(default_factory=list)  # what a person should look at

    def read(self) -> None:
        """Go over the words once.

        Raises:
            AmountError: A word is owned by no rule.
        """
        place = 0
        while place < self.words.size:
            for shape, means in _RULES:
                found = self.words.fits(shape, place)
                if found is not None and found.end() > place and means(self, found):
                    place = found.end()
                    break
            else:
                raise self.unsure()

    def unsure(self, suggestion: str = "") -> AmountError:
        """Return the error for words that are owned by no rule, or by two."""
        fault = "has more than one reading" if self.parts else "cannot be read"
        return AmountError(f"the amount '{self.as_written}' {fault}", suggestion)

    def _put(self, unit: str, count: Fraction | None = None, **more: Any) -> bool:
        quantity, joints = Fraction(1) if count is None else count, frozenset(self.joints)
        is_counted = count is not None
        self.parts.append(
            Part(unit=unit, quantity=quantity, is_counted=is_counted, joints=joints, **more)
        )
        self.joints = set()
        return True

    # ---- what a shape has found

    def _number(self, found: Found, name: str) -> Fraction | None:
        """Return the first number of a part of a shape; None where it is not there."""
        start, end = found.span(name) if name in found.re.groupindex else (0, 0)
        values = (self.words.at(at).value for at in range(start, end))
        return next((value for value in values if value is not None), None)

    def _unit(self, place: int) -> Fraction | None:
        """Return the inches of the unit of the number at a place; None where it has none."""
        return self.words.at(place + 1).value if self.words.fits("NUM UNIT", place) else None

    def _count(self, found: Found) -> Fraction | None:
        count, again = self._number(found, "count"), self._number(found, "again")
        count = self._number(found, "part") if count is None else count
        if again is not None and again != count:
            raise AmountError(f"the amount '{self.as_written}' has two counts")
        return count

    def _sides(self, found: Found) -> tuple[Length, ...]:
        words = self.words
        sides = [at for at in range(*found.span("size")) if words.fits("NUM|WOF", at)]
        unit = next((unit for unit in map(self._unit, sides) if unit), Fraction(1))
        return tuple(
            _ACROSS if words.kind(at) is Kind.WOF else self._value(at) * (self._unit(at) or unit)
            for at in sides
        )

    def _value(self, place: int) -> Fraction:
        return self.words.at(place).value or Fraction(0)

    def _goods(self, found: Found) -> tuple[str, bool]:
        """Return the form that is named, "" where none is, and whether its word means several."""
        if not found["goods"]:
            return "", False
        noun = self.words.at(found.end("goods") - 1)
        unit = "panel"
        if noun.kind is Kind.FORM:
            unit = self.catalogue.find(noun.text).form_id
        elif noun.kind is not Kind.PANEL:
            unit = self._ready_cut(found, "square" if noun.kind is Kind.SQUARE else "strip")
        return unit, noun.text.endswith("s")

    def _ready_cut(self, found: Found, kind: str) -> str:
        sides, is_strip = self._sides(found), kind == "strip"
        if not is_strip and len({*sides}) > 1:
            raise self.unsure()
        is_short = is_strip and len(sides) > 1 and max(sides) < _SHORT_STRIP
        try:
            form = self.catalogue.find(f"{kind}-{say_decimal(sides[0], 4)}").form_id
        except UnknownFormError:
            return "piece"
        return "piece" if is_short or self.words.has("METRIC", *found.span("size")) else form

    def _says_total(self, found: Found) -> bool:
        return self.words.has("TOTAL", 0, found.end())

    # ---- what shapes mean: whether they may be taken

    def width(self, found: Found) -> bool:
        """``of 44-inch-wide fabric``, ``(112cm/44" wide)``: how wide the bolt is."""
        place = found.start("length")
        unit = self._unit(place) or Fraction(0)
        is_wide = unit != YARD and self._value(place) * unit >= NARROWEST_BOLT
        return is_wide and (bool(self.parts) or found.end() < self.words.size)

    def packed(self, found: Found) -> bool:
        """``1 pack of 42 10" squares``, ``2 bundles of 8 fat quarters``."""
        count = self._count(found) or Fraction(1)
        if count > 1 and found["opens"]:
            return False
        return self._put(self._goods(found)[0], count * (self._number(found, "inner") or 0))

    def pack(self, found: Found) -> bool:
        """``2 rolls of 2½" strips``, ``fat quarter bundle (8)``, ``8 FQ bundle``."""
        (goods, _), count, held = (
            self._goods(found),
            self._count(found),
            self._number(found, "held"),
        )
        is_plural = self.words.word(found.start("pack")).endswith("s")
        is_first = found.start("goods") < found.start("pack")
        if goods not in ("", "panel") and is_first and not is_plural and (count or 0) > 1:
            return held is None and self._put(goods, count)
        if goods and held is not None and (count in (None, 1) or found["total"]):
            return self._put(goods, held)
        return self._put("pack", count, is_plural=is_plural, held=goods)

    def form(self, found: Found) -> bool:
        """``12 dark fat quarters``, ``16 5" squares``, ``FQ x 4``, ``30 strips, 2½" wide``."""
        count, (unit, is_plural), words = self._count(found), self._goods(found), self.words
        if unit == "panel" and count is None and not is_plural:
            rest = words.has("NUM UNIT", found.end()) and not words.has("TIMES", found.end())
            if self.parts or rest:
                return True  # a panel print, by length
        return self._put(unit, count, is_plural=is_plural)

    def lengths(self, found: Found) -> bool:
        """``(3) ⅔ yard cuts``, ``4 x ½ yd``, ``4 prints, 30 cm of each``."""
        count, place = self._number(found, "count") or Fraction(0), found.start("length")
        is_side = found.groupdict().get("times") and count > _MOST_TIMES
        return not (is_side and self._unit(place) == CENTIMETER) and self._length(place, int(count))

    def worded(self, found: Found) -> bool:
        """``6 quarter yards``."""
        return self.words.word(found.start("length")).isalpha() and self.lengths(found)

    def length(self, found: Found) -> bool:
        """``1¼ yards``, ``10" x WOF``, ``2 m x 112 cm``."""
        place, across = found.start("length"), found.start("across")
        if found["unsure"]:
            raise self.unsure("Type how many and how long, such as 6 x 1/4 yd.")
        said = self.words.word(place)
        is_mixed = any(gap in said for gap in " -") and any(map(str.isdigit, said))
        if is_mixed and place and self.words.word(place - 1) in LABEL_NOUNS:
            said = f"whether the number of '{self.as_written}' is the fabric's is not said"
            raise AmountError(said)
        if self._number(found, "across") is not None:
            unit = self._unit(across) or Fraction(1)
            if unit == YARD or self._value(across) * unit < NARROWEST_BOLT:
                raise self.unsure()
        return self._length(place)

    def _length(self, place: int, count: int | None = None) -> bool:
        number, unit, value = self.words.at(place), self._unit(place), self._value(place)
        if number.lost_gap:
            if FRACTION_SLASH not in self.as_written or not number.text.replace("/", "").isdigit():
                raise self.unsure("Type it with a gap, such as 1 3/4 yd, or as 6 x 1/4 yd.")
            message = f"'{number.text}' in '{self.as_written}' is read as {say_plain(value)}"
            self.warnings.append(message)
        inches = unit or Fraction(1)
        other = "cm" if inches < CENTIMETER else "in"
        name = next((name for name, one in BY_LENGTH.items() if one == inches), other)
        times = 1 if count is None else count
        return self._put(name, value * inches / BY_LENGTH[name] * times, cuts=count)

    def size(self, found: Found) -> bool:
        """``81 x 98"``: a piece of that size, or what a form or a length measures."""
        return self._put("", self._count(found), sides=self._sides(found))

    def each(self, found: Found) -> bool:
        """``each of 6 prints``, ``each of red and blue``, ``of Fabrics 2 and 3``."""
        times = self._number(found, "times")
        if not self.parts or self.times > 1 or self._says_total(found) or times == 0:
            raise self.unsure()
        if times is not None:
            self.times = self.prints = int(times)
            return True
        names, is_each = self._names(found), "of" in found.re.groupindex
        message = f"'{self.as_written}' is read as so much of each"
        of_each = len(names) == 1 and is_each and found["of"] and names[0] in _ONE_CLOTH
        if of_each or self._is_named(names):
            self.warnings.append(f"{message}, and as the amount of this fabric alone")
            return True
        if not is_each or len(names) < 2 or {"black", "white"} <= {name[0] for name in names}:
            raise self.unsure("Type it as 6 x 1/4 yd, or how many each are.")
        self.times = self.prints = len(names)
        self.warnings.append(f"{message} of {len(names)}")
        return True

    def _names(self, found: Found) -> list[tuple[str, ...]]:
        """Return the names of ``peach, gray and rust prints``."""
        names: list[list[str]] = [[]]
        for at in range(*found.span("list")):
            kind, said = self.words.kind(at), self.words.word(at)
            if kind is Kind.LIST:
                names += [[one] for one in said.split()[1:] if one.isalnum() and one != "and"]
            elif kind in (Kind.COMMA, Kind.AND, Kind.SLASH):
                names.append([])
            else:
                names[-1] += said.split()
        return [tuple(name) for name in names if name]

    def _is_named(self, names: list[tuple[str, ...]]) -> bool:
        role = {*self.role.casefold().split()}
        return any({*name} - _KINDS and {*name} - _KINDS <= role for name in names)

    def said_prints(self, found: Found) -> bool:
        """``total of 5 prints``, ``12 fat quarters (12 prints)``: how many cloths, no amount."""
        prints = self._number(found, "prints")
        if not self.parts or prints is None:
            return False
        if self.parts[-1].length is None:
            return self.parts[-1].quantity == prints
        self.prints = int(prints)
        return self._says_total(found)

    def shares(self, found: Found) -> bool:
        """``(8 dark, 4 light)``, ``, 3 each of 4 colors``, ``, one for each block``."""
        form = self.parts[-1] if self.parts else None
        if form is None or form.length is not None:
            return False
        if found["single"] or found["used"]:
            return self._number(found, "single") == 1 or bool(found["used"] and form.held)
        shares = [self.words.count(at) for at in range(*found.span("sum"))]
        many = self._number(found, "many") or len(self._names(found))
        return (sum(shares) or (self._number(found, "each") or 0) * many) == form.quantity

    def purpose(self, found: Found) -> bool:
        """``for blocks and 4 borders``, ``cut 2¼" strips``; no cloth to buy may stand in it."""
        start, end = found.start() + 1, found.end()
        is_choice = self.words.has("OR.*NUM", start)
        return bool(self.parts) and not (is_choice or self.words.has(_BUYS, start, end))

    def scraps(self, found: Found) -> bool:
        """``or scraps``: what will do as well."""
        return bool(self.parts) or self.words.has("NUM", found.end())

    def free(self, found: Found) -> bool:
        """A word that changes no amount; what may join two quantities is remembered."""
        self.joints.add(self.words.kind(found.start()))
        is_and = self.words.fits("(?!PLUS)AND", found.start())
        return found["joint"] is None or bool(self.parts or is_and)

    def remark(self, found: Found) -> bool:
        """``(half of a pack)``, ``you will use 36``, ``total from``."""
        return bool(self.parts) and (not found["total"] or self._says_total(found))


_N = "NUM(?!UNIT)"
_SMALL = "NUM(?!YARDS)UNIT"
_INCHES = "NUM(?![YARDS METRIC])UNIT "
_SIDE = f"(?:{_SMALL}|{_N})"
_SIZE = f"(?P<size>{_SIDE}TIMES(?:{_SIDE}|WOF)|{_SMALL})"
_COUNT = "(?P<count>COUNTED)(?P<again>OPENING COUNT CLOSING)?"
_GOODS = (
    "(?P<goods>(?:NAME[NAME COMMA]{0,3})??"
    f"(?:FORM|PANEL|OPENING?{_SIZE}CLOSING?[DASH WIDE]*NAME{{0,2}}[SQUARE STRIP]))"
)
_HELD = (
    f"(?:[OPENING COMMA DASH][NAME NOT BAD LESSEN]{{0,4}}(?P<held>{_N})[SQUARE STRIP NAME CUTS]*"
    "(?:AT? EACH|(?P<total>TOTAL))?(?=[CLOSING COMMA STOP TOTAL END]))?"
)
_LIST = "(?P<list>[NAME CUTS](?:[NAME CUTS COMMA AND SLASH]*[NAME CUTS])?)"
_LENGTH = "OPENING?(?P<length>NUM[YARDS METRIC])(?:TIMES WOF)?CLOSING?"
_BOLT = "(?:NUM UNIT?DASH|BAD)?(?P<length>NUM UNIT)"
_OF_PACK = f"(?:{_COUNT})?(?:{_INCHES}DASH?)?[OPEN DET]{{0,2}}[SQUARE STRIP]?(?P<pack>PACK)"
_INSIDE = "[^OPENING CLOSING END]*"
_BUYS = "EACH|FORM|PACK|NUM YARDS|PLUS|BAD|CHOICE|LESSEN|BOTH"
_FREE_WORDS = (
    "[NAME SQUARE STRIP CUTS WIDE WOF TOTAL OF FOR NEEDED AT OPENING CLOSING COMMA COLON SEMICOLON"
    " STOP DASH]|(?!PLUS)AND"
)
_ONE_CLOTH = (("cloth",), ("fabric",), ("color",), ("colour",))

_RULES: tuple[tuple[str, Callable[[AmountReader, Found], bool]], ...] = (
    (
        f"OF?{_BOLT}(?:[OPENING SLASH]NUM UNIT CLOSING?)?DASH?[OPEN DET OF]{{0,2}}[WIDE WOF]",
        AmountReader.width,
    ),
    (f"(?<=.)OF {_BOLT}(?=[NAME CLOSING STOP END])", AmountReader.width),
    (
        f"{_OF_PACK}[OF COLON]*(?P<opens>OPENING)?(?P<inner>COUNTED)[DASH COMMA TIMES CLOSING]*"
        f"{_GOODS}",
        AmountReader.packed,
    ),
    (f"(?:{_COUNT})?[DASH TIMES]*{_GOODS}(?P<pack>PACK){_HELD}", AmountReader.pack),
    (f"{_OF_PACK}(?:OF?{_GOODS})?{_HELD}", AmountReader.pack),
    (
        f"(?P<each>COUNT)EACH OF?(?:(?P<many>COUNT)|{_LIST})|(?P<single>COUNT)[FOR OF AT]EACH"
        "|(?P<sum>COUNT[OPEN DET CLOTH]+(?:[COMMA AND]+COUNT[OPEN DET CLOTH]+)+)"
        "|(?P<used>COUNT)[SQUARE STRIP]",
        AmountReader.shares,
    ),
    (
        "TOTAL?[OPENING COMMA]?[OF FROM]*(?P<prints>COUNT)[OPEN DET CLOTH]{0,2}CLOTHS",
        AmountReader.said_prints,
    ),
    (
        f"{_COUNT}NAME{{0,3}}(?P<goods>[SQUARE STRIP])[COMMA OF OPENING]{{0,2}}{_SIZE}"
        "[CLOSING WIDE]*",
        AmountReader.form,
    ),
    (f"(?:{_COUNT}|(?P<part>{_N}))[DASH TIMES]*{_GOODS}", AmountReader.form),
    (
        f"{_GOODS}(?:[TIMES COLON OPENING DASH]+(?P<count>COUNT)CLOSING?(?![NAME TIMES]))?",
        AmountReader.form,
    ),
    (
        f"{_COUNT}(?:(?P<times>TIMES)|CUTS OF|(?<=CLOSING)NAME{{0,3}}){_LENGTH}CUTS?",
        AmountReader.lengths,
    ),
    (
        f"{_COUNT}[NAME CUTS OF DASH]{{0,4}}[COMMA COLON DASH]?{_LENGTH}"
        "(?:CUTS|OF?EACH(?!OF?[NUM NAME]))",
        AmountReader.lengths,
    ),
    ("(?P<count>COUNT)(?P<length>NUM[YARDS METRIC])CUTS?", AmountReader.worded),
    (
        f"(?:{_COUNT}[DASH TIMES]?)?(?P<size>{_SIDE}TIMES{_SIDE})CUTS?(?:EACH(?=[CLOSING END]))?",
        AmountReader.size,
    ),
    (
        "(?P<length>NUM UNIT)(?:TIMES(?P<across>NUM UNIT?|WOF)WIDE?|(?P<unsure>[WIDE CUTS]))?",
        AmountReader.length,
    ),
    (
        "(?P<of>OF)?EACH[OF FROM OPENING COMMA STOP DASH]*"
        f"(?:(?:(?!AN)DET)?(?P<times>COUNT)|{_LIST})",
        AmountReader.each,
    ),
    ("OF(?P<list>LIST)", AmountReader.each),
    (f"[FOR CUT]{_INSIDE}", AmountReader.purpose),
    ("(?:[COMMA OR]*[OPEN DET]{0,2}SCRAPS)+[COMMA OR]*", AmountReader.scraps),
    (
        f"OPENING(?:INCLUDES{_INSIDE}|{_INSIDE}INCLUDES|CHOICE)CLOSING"
        f"|OPENING(?!.CLOSING)(?={_INSIDE}PACK)(?:(?!OR|MANY){_INSIDE[:-1]})*CLOSING"
        "|[YOUUSE USE]COUNT|(?P<total>FROM(?!COUNT))",
        AmountReader.remark,
    ),
    ("INCLUDES[OPEN DET CLOTH]*|ROUGHLY|NOT LESSEN OPEN|ALL ASSORTED", lambda _, __: True),
    (
        f"(?P<joint>[AND OR EQUALS SLASH](?=[OPENING NUM FORM]))|{_FREE_WORDS}"
        f"|OR(?=[OPEN DET CLOTH](?:{_FREE_WORDS})*END)",
        AmountReader.free,
    ),
)
"""The shapes, in the order in which they are asked, and what each means."""
