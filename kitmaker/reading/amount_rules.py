"""The rules of an amount: each owns what it reads, and gives a quantity or leaves it as it is.

A rule is a shape over the signs of the words (:data:`kitmaker.reading.amount_words.SIGNS`)
and what it means. At each place the first rule that fits is taken; a number or a closed word
that stands in none makes the amount unread.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from fractions import Fraction

from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.lengths import CENTIMETER, YARD, Length, say_decimal, say_plain
from kitmaker.reading.amount_parts import BY_LENGTH, NARROWEST_BOLT, AmountError, Part
from kitmaker.reading.amount_words import Item
from kitmaker.reading.words.lexicon import LABEL_NOUNS, word_set

FRACTION_SLASH = "\u2044"
_MOST_TIMES = 9
"""More than so many "x 50 cm" are the side of a size. Our own bound, no source."""
_SHORT_STRIP: Length = Fraction(40)
"""What is shorter is no strip across the fabric. Common practice, no source."""
_ACROSS: Length = Fraction(42)
_THE = word_set("the your our my")
_KINDS = word_set("cloth cloths fabric fabrics color colors colour colours print prints")

Found = re.Match[str]

_SHAPES = {
    "COUNT": r"(?P<count>\(n\)|n)(?P<again>\(n\))?",
    "GOODS": r"(?P<goods>(?:[wkKl][wkKl,]{0,3})??"
    r"(?:G|A|\(?(?P<size>[inc]x[incV]|[ic])\)?[-W]*[wkK]{0,2}[qt]))",
    "HELD": r"(?:[(,-][wN?]{0,4}(?P<held>n)[qtkKwb]*(?P<all>a?e|T)?(?=[),.T]|$))?",
    "LIST": r"(?P<list>[wkKlb](?:[wkKlb,&/]*[wkKlb])?)",
    "MANY": r"\(?(?P<length>[Lc])(?:xV)?\)?",
}
"""Parts of shapes: a count, forms, how many a pack holds, names in a list, a length."""


@dataclass(slots=True)
class AmountReader:
    """One text while its rules are asked.

    Attributes:
        as_written: The words of the cell.
        items: Its words, each with its sign.
        catalogue: The forms whose names are known.
        role: The fabric's name.
        parts: The quantities found so far.
        joints: The signs since the last of them.
        times: How often they are meant: 6 of "each of 6 prints".
        prints: The separate pieces of cloth that are said; None where none are.
        is_total: Whether "total" is said.
        warnings: What a person should look at.
    """

    as_written: str
    items: tuple[Item, ...]
    catalogue: Catalogue
    role: str
    parts: list[Part] = field(default_factory=list)
    joints: set[str] = field(default_factory=set)
    times: int = 1
    prints: int | None = None
    is_total: bool = False
    warnings: list[str] = field(default_factory=list)

    def read(self) -> None:
        """Go over the words once.

        Raises:
            AmountError: A word is owned by no rule.
        """
        signs, place = "".join(item.sign for item in self.items), 0
        while place < len(signs):
            for shape, means in _RULES:
                found = shape.match(signs, place)
                if found is not None and found.end() > place and means(self, found):
                    place = found.end()
                    break
            else:
                raise self.unsure()

    def unsure(self, suggestion: str = "") -> AmountError:
        """Return the error for words that are owned by no rule, or by two."""
        fault = "has more than one reading" if self.parts else "cannot be read"
        return AmountError(f"the amount '{self.as_written}' {fault}", suggestion)

    def _add(self, part: Part) -> bool:
        self.parts.append(replace(part, joints=frozenset(self.joints)))
        self.joints = set()
        return True

    def _put(self, unit: str, count: Fraction | None, *, is_plural: bool = False) -> bool:
        quantity = Fraction(1) if count is None else count
        prints = int(quantity) if quantity.denominator == 1 else None
        part = Part(unit=unit, quantity=quantity, prints=prints, is_plural=is_plural)
        return self._add(replace(part, is_counted=count is not None))

    # ---- what a shape has found

    def _of(self, found: Found, name: str) -> tuple[Item, ...]:
        """Return the words of a part of a shape; none where it is not there."""
        start, end = found.span(name) if name in found.re.groupindex else (0, 0)
        return self.items[start:end]

    def _number(self, found: Found, name: str) -> Fraction | None:
        values = [item.value for item in self._of(found, name) if item.value is not None]
        return values[0] if values else None

    def _count(self, found: Found) -> Fraction | None:
        count, again = self._number(found, "count"), self._number(found, "again")
        if again is not None and again != count:
            raise AmountError(f"the amount '{self.as_written}' has two counts")
        return count

    def _sides(self, found: Found) -> tuple[Length, ...]:
        size = [one for one in self._of(found, "size") if one.sign in "incV"]
        unit = next((one.unit for one in size if one.unit), Fraction(1))
        return tuple(
            _ACROSS if one.value is None else one.value * (one.unit or unit) for one in size
        )

    def _goods(self, found: Found) -> tuple[str, bool] | None:
        """Return the form that is named, and whether its word means several."""
        goods = self._of(found, "goods")
        if not goods:
            return None
        noun = goods[-1]
        is_plural = noun.text.endswith("s")
        if noun.sign == "G":
            return self.catalogue.find(noun.text).form_id, is_plural
        return ("panel" if noun.sign == "A" else self._ready_cut(found, noun)), is_plural

    def _ready_cut(self, found: Found, noun: Item) -> str:
        sides = self._sides(found)
        kind = "square" if noun.sign == "q" else "strip"
        if kind == "square" and len({*sides}) > 1:
            raise self.unsure()
        is_metric = any(item.sign == "c" for item in self._of(found, "size"))
        if is_metric or (kind == "strip" and len(sides) > 1 and max(sides) < _SHORT_STRIP):
            return "piece"
        try:
            return self.catalogue.find(f"{kind}-{say_decimal(sides[0], 4)}").form_id
        except UnknownFormError:
            return "piece"

    def _has_number(self, place: int) -> bool:
        return any(item.value is not None for item in self.items[place:])

    # ---- what shapes mean: whether they may be taken

    def width(self, found: Found) -> bool:
        """``of 44-inch-wide fabric``, ``(112cm/44" wide)``: how wide the bolt is."""
        one = self._of(found, "length")[0]
        is_wide = one.unit != YARD and (one.value or 0) * one.unit >= NARROWEST_BOLT
        return is_wide and (bool(self.parts) or found.end() < len(self.items))

    def packed(self, found: Found) -> bool:
        """``1 pack of 42 10" squares``, ``2 bundles of 8 fat quarters``."""
        goods, count = self._goods(found), self._count(found) or Fraction(1)
        if goods is None or (count > 1 and found["opens"]):
            return False
        return self._put(goods[0], count * (self._number(found, "inner") or 0))

    def pack(self, found: Found) -> bool:
        """``2 rolls of 2½" strips``, ``fat quarter bundle (8)``, ``8 FQ bundle``."""
        goods, count, held = self._goods(found), self._count(found), self._number(found, "held")
        is_plural = self._of(found, "pack")[0].text.endswith("s")
        if count is not None and count.denominator > 1:
            raise self.unsure()
        is_first = found.start("goods") < found.start("pack")
        if goods and is_first and not is_plural and (count or 0) > 1 and goods[0] != "panel":
            return held is None and self._put(goods[0], count)
        if goods and held is not None and (count in (None, 1) or found["all"] == "T"):
            return self._put(goods[0], held)
        quantity, named = count or Fraction(1), goods[0] if goods else ""
        is_counted = count is not None
        part = Part(unit="pack", quantity=quantity, is_counted=is_counted, is_plural=is_plural)
        return self._add(replace(part, held=named))

    def form(self, found: Found) -> bool:
        """``12 dark fat quarters``, ``16 5" squares``, ``FQ x 4``, ``30 strips, 2½" wide``."""
        count = self._count(found)
        noun, is_behind = self._of(found, "noun"), "again" not in found.re.groupindex
        if count is not None and count.denominator > 1 and (noun or is_behind):
            raise self.unsure()
        if noun:
            return self._put(self._ready_cut(found, noun[0]), count)
        goods = self._goods(found)
        if goods is None:
            return False
        if goods == ("panel", False) and count is None:
            rest = [item.sign for item in self.items[found.end() :]]
            if self.parts or ({*rest} & {*"Lci"} and "x" not in rest):
                return True  # a panel print, by length
        return self._put(goods[0], count, is_plural=goods[1])

    def lengths(self, found: Found) -> bool:
        """``(3) ⅔ yard cuts``, ``4 x ½ yd``, ``4 prints, 30 cm of each``, ``6 quarter yards``."""
        count = self._number(found, "count") or Fraction(0)
        groups = found.groupdict()
        item = self._of(found, "words" if "words" in groups else "length")[0]
        if count.denominator > 1 or ("words" in groups and not item.text.isalpha()):
            return False
        if groups.get("times") and item.unit == CENTIMETER and count > _MOST_TIMES:
            return False
        return self._length(item, int(count))

    def length(self, found: Found) -> bool:
        """``1¼ yards``, ``10" x WOF``, ``2 m x 112 cm``."""
        item, across = self._of(found, "length")[0], self._of(found, "across")
        if found["unsure"]:
            raise self.unsure("Type how many and how long, such as 6 x 1/4 yd.")
        before = self.items[found.start() - 1] if found.start() else item
        is_mixed = any(gap in item.text for gap in " -") and any(map(str.isdigit, item.text))
        if is_mixed and before.text in LABEL_NOUNS:
            said = f"whether the number of '{self.as_written}' is the fabric's is not said"
            raise AmountError(said)
        if across and across[0].value is not None:
            width = across[0].value * (across[0].unit or 1)
            if across[0].unit == YARD or width < NARROWEST_BOLT:
                raise self.unsure()
        return self._length(item)

    def _length(self, item: Item, count: int | None = None) -> bool:
        value = item.value or Fraction(0)
        if item.lost_gap:
            if FRACTION_SLASH not in self.as_written or not item.text.replace("/", "").isdigit():
                raise self.unsure("Type it with a gap, such as 1 3/4 yd, or as 6 x 1/4 yd.")
            said = f"'{item.text}' in '{self.as_written}' is read as {say_plain(value)}"
            self.warnings.append(said)
        name = next((name for name, unit in BY_LENGTH.items() if unit == item.unit), "")
        name = name or ("cm" if item.unit < CENTIMETER else "in")
        quantity = value * item.unit / BY_LENGTH[name] * (1 if count is None else count)
        return self._add(Part(unit=name, quantity=quantity, prints=count))

    def size(self, found: Found) -> bool:
        """``81 x 98"``: a piece of that size, or what a form or a length measures."""
        count = self._count(found)
        is_counted = count is not None
        quantity = Fraction(1) if count is None else count
        part = Part(unit="", quantity=quantity, is_counted=is_counted, sides=self._sides(found))
        return quantity.denominator == 1 and self._add(part)

    def each(self, found: Found) -> bool:
        """``each of 6 prints``, ``each of red and blue``, ``of each fabric``."""
        if not self.parts or self.times > 1 or self.is_total:
            raise self.unsure()
        times = self._number(found, "times")
        if times is not None:
            the = self._of(found, "the")
            if times < 1 or times.denominator > 1 or (the and the[0].text not in _THE):
                raise self.unsure()
            self.times = self.prints = int(times)
            return True
        names = self._names(self._of(found, "list"))
        said = f"'{self.as_written}' is read as so much of each"
        one_cloth = [("cloth",), ("fabric",), ("color",), ("colour",)]
        if self._is_named(names) or (found["of"] and len(names) == 1 and names[0] in one_cloth):
            self.warnings.append(f"{said}, and as the amount of this fabric alone")
            return True
        if len(names) < 2 or {"black", "white"} <= {name[0] for name in names}:
            raise self.unsure("Type it as 6 x 1/4 yd, or how many each are.")
        self.times = self.prints = len(names)
        self.warnings.append(f"{said} of {len(names)}")
        return True

    def _names(self, listed: tuple[Item, ...]) -> list[tuple[str, ...]]:
        """Return the names of ``peach, gray and rust prints``."""
        names: list[list[str]] = [[]]
        for item in listed:
            if item.sign == "l":
                names += [[one] for one in item.text.split()[1:] if one.isalnum() and one != "and"]
            elif item.sign in ",&/":
                names.append([])
            else:
                names[-1] += item.text.split()
        return [tuple(name) for name in names if name]

    def _is_named(self, names: list[tuple[str, ...]]) -> bool:
        """Whether the fabric is one of those that are listed."""
        role = {*self.role.casefold().split()}
        return any({*name} - _KINDS and {*name} - _KINDS <= role for name in names)

    def label_list(self, found: Found) -> bool:
        """``35 cm of Fabrics 2 and 3``."""
        if self.is_total or not self._is_named(self._names(self._of(found, "list"))):
            raise self.unsure()
        said = f"'{self.as_written}' is read as so much of each, and as the amount of this fabric"
        self.warnings.append(f"{said} alone")
        return True

    def said_prints(self, found: Found) -> bool:
        """``total of 5 prints``, ``12 fat quarters (12 prints)``: how many cloths, no amount."""
        self.is_total = self.is_total or bool(found["total"])
        prints = self._number(found, "prints")
        if not self.parts or prints is None or prints.denominator > 1:
            return False
        form = self.parts[-1]
        if form.length is None:
            return form.quantity == prints
        self.prints = int(prints)
        return self.is_total

    def shares(self, found: Found) -> bool:
        """``(8 dark, 4 light)``, ``, 3 each of 4 colors``, ``, one for each block``."""
        form = self.parts[-1] if self.parts else None
        if form is None or form.length is not None:
            return False
        parts = found.groupdict()
        if parts.get("single"):
            return self._number(found, "single") == 1
        if parts.get("used"):
            return bool(form.held)
        if parts.get("sum"):
            counts = [item.value or 0 for item in self._of(found, "sum")]
            return sum(counts) == form.quantity
        each = self._number(found, "one") or self._number(found, "each") or 0
        many = self._number(found, "many") or len(self._names(self._of(found, "list")))
        return each * many == form.quantity

    def purpose(self, found: Found) -> bool:
        """``for blocks and 4 borders``, ``cut 2¼" strips``; no cloth to buy may stand in it."""
        items = self.items[found.start() : found.end()]
        signs = "".join(item.sign for item in items)
        counted = {*"eGPL+?"} & {*signs[1:]} or any(one.text in ("both", "more") for one in items)
        is_choice = "o" in signs and self._has_number(found.start() + signs.index("o"))
        return bool(self.parts) and not counted and not is_choice

    def bracket(self, found: Found) -> bool:
        """``(includes ½ yd for binding)``, ``(optional)``, ``(half of a pack)``."""
        inside = self.items[found.start() + 1 : found.end() - 1]
        if not inside or not self.parts:
            return False
        if "I" in (inside[0].sign, inside[-1].sign) or [one.text for one in inside] == ["optional"]:
            return True
        counts = [item.value for item in inside if item.value is not None and item.value > 1]
        signs = {item.sign for item in inside}
        return "P" in signs and len(inside) > 1 and "o" not in signs and not counts

    def scraps(self, found: Found) -> bool:
        """``or scraps``: what will do as well."""
        return bool(self.parts) or self._has_number(found.end())

    def remark(self, found: Found) -> bool:
        """``about``, ``no less than``, ``you will use 36``, ``all different``, ``total``."""
        items = self.items[found.start() : found.end()]
        self.is_total = self.is_total or items[0].sign == "T"
        if items[0].sign == "N":
            return items[1].text in ("less", "fewer") and items[2].text == "than"
        if items[0].sign == "u":
            return bool(self.parts) and "us" in items[0].text
        if items[0].sign == "B":
            return items[1].text in ("different", "assorted")
        return items[0].sign != "r" or self.is_total

    def free(self, found: Found) -> bool:
        """A word that changes no amount; what may join two quantities is remembered."""
        self.joints.add(found[0])
        return found["joint"] is None or bool(self.parts) or found[0] == "&"


def _shape(text: str) -> re.Pattern[str]:
    for name, part in _SHAPES.items():
        text = text.replace(name, part)
    return re.compile(text)


_Means = Callable[[AmountReader, Found], bool]
_RULES: tuple[tuple[re.Pattern[str], _Means], ...] = tuple(
    (_shape(shape), means)
    for shape, means in (
        (r"f?(?:[ni]-|h)?(?P<length>[ciL])(?:[(/][ciL]\)?)?-?[wf]{0,2}[WV]", AmountReader.width),
        (r"(?<=.)f(?:[ni]-|h)?(?P<length>[ci])(?=[wkK).]|$)", AmountReader.width),
        (
            r"(?:COUNT)?(?:i-?)?w{0,2}[qt]?P[f:]*(?P<opens>\()?(?P<inner>\(n\)|n)[-,x)]*GOODS",
            AmountReader.packed,
        ),
        (r"(?:COUNT)?[-x]*GOODS(?P<pack>P)HELD", AmountReader.pack),
        (r"(?:COUNT)?(?:i-?)?w{0,2}[qt]?(?P<pack>P)(?:f?GOODS)?HELD", AmountReader.pack),
        (r"(?P<one>n)ef?(?P<many>n)", AmountReader.shares),
        (r"(?P<each>n)ef?LIST|(?P<single>n)[Ffa]e", AmountReader.shares),
        (r"(?P<sum>n[wk]+(?:[,&]+n[wk]+)+)|(?P<used>n)[qt]", AmountReader.shares),
        (r"(?P<total>T)?[(,]?[fr]*(?P<prints>n)[wk]{0,2}K", AmountReader.said_prints),
        (
            r"COUNT[wkK]{0,3}(?P<noun>[qt])[,f(]{0,2}(?P<size>[inc]x[incV]|i)[)W]*",
            AmountReader.form,
        ),
        (r"COUNT[-x]*GOODS", AmountReader.form),
        (r"GOODS(?:[x:(-]+(?P<count>n)\)?(?![wxkK]))?", AmountReader.form),
        (r"COUNT(?P<times>x)MANYb?", AmountReader.lengths),
        (r"(?P<count>\(n\))[wkK]{0,3}MANYb?", AmountReader.lengths),
        (r"COUNTbfMANY", AmountReader.lengths),
        (r"COUNT[wkK-]{0,4}MANYb", AmountReader.lengths),
        (r"COUNT[wkKbf]{1,4}[,:-]?MANYf?e(?!f?[nwkKl])", AmountReader.lengths),
        (r"(?P<count>n)(?P<words>[Lc])b?", AmountReader.lengths),
        (r"(?:COUNT[-x]?)?(?P<size>[inc]x[inc])b?(?:e(?=[)]|$))?", AmountReader.size),
        (r"(?P<length>[Lci])(?:x(?P<across>[LcinV])W?|(?P<unsure>[Wb]))?", AmountReader.length),
        (r"(?P<of>f)?e[fr(,.-]*(?:(?P<the>w)?(?P<times>n)|LIST)", AmountReader.each),
        (r"f(?P<list>l)", AmountReader.label_list),
        (r"[FC][^()]*", AmountReader.purpose),
        (r"\([^()]*\)", AmountReader.bracket),
        (r"(?:[,o]*w{0,2}s)+[,o]*", AmountReader.scraps),
        (r"I[wk]*|D|N..|un|B.|T|r(?!n)", AmountReader.remark),
        (
            r"(?P<joint>[+o=/&](?=[(nLciG]))|[wkKlqtbWVTfFua(),:;.&-]|o(?=[wkK][^nLciGPAs?]*$)",
            AmountReader.free,
        ),
    )
)
"""The shapes, in the order in which they are asked, and what each means."""
