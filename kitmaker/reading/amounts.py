"""A stated requirement: text to amount.

``1¼ yards``, ``60cm (5/8yd)``, ``12 fat quarters``, ``40--precut 2½ × 42" strips``, ``(3) ⅔
yard cuts``. Every number in the text must have a part to play; what is left over, a choice
("or") or a share ("each") that is not counted makes the amount unread.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.lengths import (
    CENTIMETER,
    UNIT_WORDS,
    AmbiguousNumberError,
    Length,
    LengthError,
    Unit,
    parse_number,
    say_decimal,
    say_plain,
)
from kitmaker.pattern import Amount
from kitmaker.reading.amount_words import amount_in_plain_words

TWO_UNITS_MAY_DIFFER = 5 * CENTIMETER
"""How much one amount may differ when it is given in yards and in meters."""
ROUNDED_BY = 10 * CENTIMETER
"""Up to which it is warned of: shops sell by the ten centimeters, and by the eighth of a yard."""

FRACTION_SLASH = "\u2044"
LONGEST_AMOUNT = 300
"""Characters; an amount with its remarks is a line, not a page."""

_NUMBER = r"(?:\d+\s*-\s*\d+\s*/\s*\d+|\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|\d*[.,]\d+|\d+)"
_UNIT = (
    r"(?:yards?|yds?|meters?|metres?|m|centimeters?|centimetres?|cms?|mm|inches|inch|in|\")"
    r"(?![a-z])[.]?"
)
_LENGTH = rf"(?P<number>{_NUMBER})\s*-?\s*(?P<unit>{_UNIT})"
_LENGTH_RE = re.compile(_LENGTH)
_FILLERS = re.compile(
    r"\b(?:step|page|section|see|note|block|blocks|border|borders|fabric)\s*#?\s*\d+\b"
    r"|\b(?:1st|2nd|3rd|4th|5th)\b"
)
_NAMED_OR_MIXED = re.compile(r"(?:fabrics?|colou?rs?|prints?)\s*#?\s*\d+-\d+/\d")
_AS_PANELS = re.compile(r"\(\s*\d+\s+panels?\s*\)|^[a-z ]*\bpanel\b[^\d]*(?=\d[\d\s/]*y)")
_PURPOSE = re.compile(
    r"(?P<amount>[\s\d/.-]*(?:yards?|yds?|meters?|metres?|m|cms?)\b[.]?(?:\s+total\b)?)\s*"
    r"(?:-+\s|of\s|for\s|\(|(?!(?:panel|pack|bundle|piece)s?\b)[a-z])[^\d]*"
)
_UNSURE = re.compile(
    r"\b(?:or|each|if|plus|minimum|approx(?:imately)?|about|per|half|halves|quarters?|thirds?|eighths?"
    r"|double|twice|dozen)\b|\?|\*|~|\+"
)
_SHARED = re.compile(r"\btotal\s+each\b|\beach\s+total\b")
_OF_PRINTS = re.compile(
    r"\btotal\s+(?:of|from)\s+(?P<count>\d+)\s+(?:[a-z]+\s+){0,2}?(?:prints|fabrics|colou?rs)\b"
)
_FORM_WORDS = re.compile(
    r"\b(?:metric\s+fat\s+quarters?|fat\s*-?\s*quarters?|fqs?|fat\s*-?\s*eighths?|f8s?|"
    r"fat\s*-?\s*hal(?:f|ves)|long\s+quarters?)\b"
)
_PIECE_WORDS = re.compile(r"\b(panel|pack|bundle|piece)s?\b")
_SHIFTED = re.compile(r"[!@#$%^&]+\s*\"|[!@#^&]\s*\^|\b[a-z]\s+yards?\b")
_CUTS_OR_MIXED = re.compile(
    r"\d+\s+\d+\s*/\s*\d+\s*-?\s*(?:yards?|yds?|meters?|metres?|m)[.]?\s+(?:cuts|pieces|lengths)\b"
)
_UNIT_NAMES = {"y": "yd", "m": "m", "c": "cm", "i": "in", '"': "in"}


class AmountError(ValueError):
    """An amount that cannot be read for sure.

    Attributes:
        suggestion: What to type instead.
    """

    def __init__(self, message: str, suggestion: str = "") -> None:
        super().__init__(message)
        self.suggestion = suggestion or "Type one amount, such as 1 1/4 yd or 12 fat quarters."


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadAmount:
    """An amount, and how many separate pieces of cloth its words speak of.

    Attributes:
        amount: The amount.
        prints: 12 of "12 fat quarters", 4 of "¼ yd each of 4 prints"; None for one length.
        warning: What a person should look at; "".
    """

    amount: Amount
    prints: int | None = None
    warning: str = ""


def read_amount(
    text: str, unit: Unit = Unit.INCH, catalogue: Catalogue | None = None
) -> ReadAmount:
    """Read a requirement.

    Args:
        text: The words of the cell.
        unit: Where an amount is given twice, the one of this system is taken.
        catalogue: The forms whose names are known.

    Raises:
        AmountError: It cannot be read for sure.
    """
    as_written = " ".join(text.split())
    if len(as_written) > LONGEST_AMOUNT:
        raise AmountError(f"'{as_written[:30]}…' is too long for an amount")
    words = amount_in_plain_words(as_written)
    if words.startswith("-"):
        raise AmountError(f"the amount '{as_written}' is negative")
    if _NAMED_OR_MIXED.match(words):
        raise AmountError(f"whether the number of '{as_written}' is the fabric's is not said")
    if _SHIFTED.search(words):
        raise AmountError(
            f"'{as_written}' has letters or signs where figures should be",
            "Type the amount by hand from the printed pattern.",
        )
    found = (
        _several_lengths(words, as_written)
        or _one_length(words, as_written, unit)
        or _named_size(words, as_written)
        or _forms(words, as_written, catalogue or Catalogue())
    )
    if found is None:
        raise AmountError(f"the amount '{as_written}' cannot be read")
    return found


def _amount(as_written: str, quantity: Fraction, word: str) -> Amount:
    name = _UNIT_NAMES["mm" if word.startswith("mm") else word[0]] if word[:2] != "mm" else "cm"
    scale = Fraction(1, 10) if word.startswith("mm") else Fraction(1)
    factor = {"yd": UNIT_WORDS["yd"], "m": UNIT_WORDS["m"], "cm": CENTIMETER, "in": Fraction(1)}
    quantity = quantity * scale
    if quantity <= 0:
        raise AmountError(f"the amount '{as_written}' is nothing")
    return Amount(
        as_written=as_written, quantity=quantity, unit=name, length=quantity * factor[name]
    )


def _value(as_written: str, number: str) -> Fraction:
    try:
        return parse_number(number)
    except LengthError as fault:
        raise AmountError(f"the amount '{as_written}' cannot be read: {fault}") from None


def _with_its_gap(as_written: str, number: str) -> tuple[Fraction, str]:
    """Return a number, and what to say of one whose gap was lost.

    A fraction slash comes out of print, where ``13⁄4`` is 1¾; ``13/4`` typed by hand may be 3¼.
    """
    try:
        return parse_number(number), ""
    except AmbiguousNumberError as fault:
        if len(fault.readings) != 2 or FRACTION_SLASH not in as_written:
            raise AmountError(f"the amount '{as_written}' cannot be read: {fault}") from None
        value = fault.readings[0]
        return value, f"'{number}' in '{as_written}' is read as {say_plain(value)}"
    except LengthError as fault:
        raise AmountError(f"the amount '{as_written}' cannot be read: {fault}") from None


def _nothing_left(as_written: str, rest: str) -> None:
    """Hold that what surrounds an amount changes nothing about it."""
    rest = _FILLERS.sub(" ", rest)
    rest = re.sub(r"\(\s*or\s+scraps?[^)]*\)|\((?:optional|or equivalent)\)", " ", rest)
    if _UNSURE.search(rest) or re.search(r"\d", rest):
        raise AmountError(f"the amount '{as_written}' has more than one reading")


def _several_lengths(words: str, as_written: str) -> ReadAmount | None:
    """``(3) ⅔ yard cuts``, ``4 x ½ yd``, ``¼ yard each of 6 prints``."""
    if _CUTS_OR_MIXED.match(words):
        raise AmountError(
            f"the amount '{as_written}' has more than one reading: a count, or a mixed number",
            "Type it as 6 x 1/4 yd, or as 6.25 yd.",
        )
    cuts = re.match(
        rf"(?:\(\s*(\d+)\s*\)|(\d+)\s*(?:x|×|--+)|(\d+)\s+(?:pieces?|cuts?|lengths?)\s+of)\s*{_LENGTH}",
        words,
    )
    if cuts:
        count = int(cuts[1] or cuts[2] or cuts[3])
        _nothing_left(as_written, words[cuts.end() :])
    else:
        cuts = re.match(
            rf"{_LENGTH}\s+(?:cuts?\s+)?(?:each\s+of|of\s+each\s+of|each\s+from)\s+(\d+)\b", words
        )
        if cuts is None:
            return None
        count = int(cuts[cuts.lastindex or 3])
        _nothing_left(as_written, words[cuts.end() :])
    if count < 1:
        raise AmountError(f"the amount '{as_written}' is nothing")
    if cuts["unit"][0] not in "ymc":
        return None
    quantity = count * _value(as_written, cuts["number"])
    return ReadAmount(amount=_amount(as_written, quantity, cuts["unit"]), prints=count)


def _one_length(words: str, as_written: str, unit: Unit) -> ReadAmount | None:
    """``1¼ yards total``, ``2.5m (2 3/4yd)``."""
    if re.search(r"\d\s*-?\s*\"?\s*(?:x|×|by)\s*-?\s*\d", words) or _SHARED.search(words):
        return None
    said = _AS_PANELS.sub(" ", _without_purpose(words))
    if _FORM_WORDS.search(said) or _PIECE_WORDS.search(said):
        return None
    is_length = re.match(rf"{_NUMBER}\s*-?\s*(?:y|m|cm)", words) is not None
    if not is_length and re.search(r"\b(?:squares?|strips?)\b", words):
        return None
    found = list(_LENGTH_RE.finditer(words))
    if not found:
        return _yards_in_words(words, as_written)
    rest = _AS_PANELS.sub(" ", _LENGTH_RE.sub(" ", words))
    read = [_with_its_gap(as_written, one["number"]) for one in found]
    amounts = [
        _amount(as_written, value, one["unit"]) for one, (value, _) in zip(found, read, strict=True)
    ]
    of_prints = _OF_PRINTS.search(rest)
    prints = int(of_prints["count"]) if of_prints else None
    _nothing_left(as_written, _OF_PRINTS.sub(" ", rest))
    if len(amounts) == 1:
        return ReadAmount(amount=amounts[0], prints=prints, warning=read[0][1])
    if len(amounts) == 2 and len({_system(one) for one in amounts}) == 2:
        warning = _check_agree(as_written, amounts[0], amounts[1])
        wanted = [one for one in amounts if _system(one) is unit]
        return ReadAmount(amount=wanted[0], prints=prints, warning=warning)
    if len(amounts) == 2 and "(" in rest and amounts[0].length == amounts[1].length:
        return ReadAmount(amount=amounts[0], prints=prints)
    raise AmountError(f"the amount '{as_written}' has more than one reading")


def _without_purpose(words: str) -> str:
    """Return ``3 yards – white (pieces A and B)`` without what the length in front is for."""
    found = _PURPOSE.fullmatch(words)
    return words if found is None else found["amount"]


def _yards_in_words(words: str, as_written: str) -> ReadAmount | None:
    parts = {"half": Fraction(1, 2), "quarter": Fraction(1, 4), "third": Fraction(1, 3)}
    match = re.fullmatch(
        r"(?:(\d+)\s+|a\s+|one\s+)?(half|quarter|third|eighth)s?(?:\s+of\s+a)?[\s-]+yards?\b(.*)",
        words,
    )
    if match is None:
        return None
    _nothing_left(as_written, match[3])
    quantity = int(match[1] or 1) * parts.get(match[2], Fraction(1, 8))
    prints = int(match[1]) if match[1] and int(match[1]) > 1 else None
    return ReadAmount(amount=_amount(as_written, quantity, "yd"), prints=prints)


def _system(amount: Amount) -> Unit:
    return Unit.CENTIMETER if amount.unit in ("m", "cm") else Unit.INCH


def _check_agree(as_written: str, one: Amount, other: Amount) -> str:
    """Return what to say of one amount in two units; "" where they agree.

    Raises:
        AmountError: They differ by more than rounding.
    """
    yards, meters = sorted((one, other), key=lambda each: _system(each) is Unit.CENTIMETER)
    more = (meters.length or Length(0)) - (yards.length or Length(0))
    if abs(more) <= TWO_UNITS_MAY_DIFFER:
        return ""
    differ = say_decimal(abs(more) / CENTIMETER, 1)
    said = f"'{as_written}' gives two amounts that differ by {differ} cm"
    if abs(more) <= ROUNDED_BY:
        return said
    raise AmountError(said, "Type the right one.")


def _forms(words: str, as_written: str, catalogue: Catalogue) -> ReadAmount | None:
    """Counted forms; several parts of one form are added up."""
    each = re.fullmatch(r"(.+?)\s+(?:each\s+of|of\s+each\s+of)\s+(\d+)\b(.*)", words)
    if each:
        _nothing_left(as_written, each[3])
        one = _counted_form(each[1], as_written, catalogue)
        if one is None or one[0].denominator != 1:
            return None
        total = one[0] * int(each[2])
        return _form_amount(as_written, total, one[1])
    parts = re.split(r"\s+/\s+|\s*\+\s*|\s*;\s*|\s+and\s+(?=\d)", words)
    counted = [_counted_form(part, as_written, catalogue) for part in parts if part]
    if not counted or None in counted:
        return None
    kinds = {one[1] for one in counted if one is not None}
    if len(kinds) != 1:
        raise AmountError(f"the amount '{as_written}' names several kinds of cloth")
    return _form_amount(
        as_written, sum((one[0] for one in counted if one is not None), Fraction(0)), kinds.pop()
    )


def _form_amount(as_written: str, quantity: Fraction, unit: str) -> ReadAmount:
    if quantity <= 0:
        raise AmountError(f"the amount '{as_written}' is nothing")
    # A pack is one thing to buy, and not one print.
    prints = int(quantity) if quantity.denominator == 1 and unit != "pack" else None
    return ReadAmount(
        amount=Amount(as_written=as_written, quantity=quantity, unit=unit, length=None),
        prints=prints,
    )


_PACKED = re.compile(r"\b(?:packs?|bundles?)\b")


def _is_mixed(text: str) -> bool:
    """Whether a text starts with a mixed number, so that its whole part is no count."""
    return re.match(r"\d+\s+\d+\s*/\s*\d+", text) is not None


_COUNT = re.compile(
    rf"\(?\s*(?P<count>{_NUMBER})\s*\)?\s*(?:\(\s*(?P<again>\d+)\s*\))?\s*-*\s*(?P<rest>\D?.*)"
)


def _counted_form(part: str, as_written: str, catalogue: Catalogue) -> tuple[Fraction, str] | None:
    sized = re.match(
        rf"(?:\(?(?P<count>\d+)\)?\s*(?:-+\s*|\s)\s*(?P<words>[a-z ]*?)\s*)?(?P<size>{_NUMBER})"
        rf"\s*-?\s*(?:\"|inches|inch|in[.]?)?\s*-?\s*(?:(?:x|×|by)\s*(?:(?P<long>{_NUMBER})\s*\"?|wof))?"
        r"\s*(?:wide\s+)?(?:[a-z]+\s+){0,2}?(?P<noun>squares?|strips?)\b(?P<rest>.*)",
        part,
    )
    count = sized and (sized["count"] or ("1" if sized["noun"] == "square" else None))
    if sized and count and not _is_mixed(part) and not _PACKED.search(part):
        _nothing_left(as_written, sized["rest"])
        kind = "square" if sized["noun"].startswith("square") else "strip"
        size = say_decimal(_value(as_written, sized["size"]), 4)
        is_short = kind == "strip" and sized["long"] and _value(as_written, sized["long"]) < 40
        try:
            form_id = "piece" if is_short else catalogue.find(f"{kind}-{size}").form_id
        except UnknownFormError:
            form_id = "piece"
        return Fraction(int(count)), form_id
    named = _FORM_WORDS.search(part) or _PIECE_WORDS.search(part)
    if named is None:
        return None
    number, rest = _count_before(part[: named.start()], as_written)
    after = part[named.end() :]
    sizes = re.compile(
        rf"(?:\b(?:approx(?:imately|[.])?|about)\s+)?{_NUMBER}\s*(?:{_UNIT})?\s*(?:x|×|by)\s*{_NUMBER}\s*(?:{_UNIT})?"
    )
    _nothing_left(as_written, sizes.sub(" ", rest))
    _nothing_left(
        as_written,
        sizes.sub(" ", re.sub(r"\bof\s+\d+(?:[.]\d+)?(?:-inch|\")\s+\w+", " ", after)),
    )
    if _FORM_WORDS.search(part):
        name = re.sub(r"s$", "", named.group(0)) if named.group(0)[0] == "f" else named.group(0)
        return number, catalogue.find(name).form_id
    name = named.group(1)
    return number, "pack" if name == "bundle" else name


def _count_before(text: str, as_written: str) -> tuple[Fraction, str]:
    """Return the count in front of a form's name, 1 when there is none, and what is left."""
    match = _COUNT.match(text)
    if match is None or not text.strip():
        return Fraction(1), text
    count = _value(as_written, match["count"])
    if match["again"] is not None and int(match["again"]) != count:
        raise AmountError(f"the amount '{as_written}' has two counts")
    return count, match["rest"]


def _named_size(words: str, as_written: str) -> ReadAmount | None:
    """``81 x 98"``: one piece of that size, as batting is sold."""
    match = re.match(
        rf"(?:(?P<count>\d+)\s*(?:-+\s*|\s(?!\s*\d+\s*/)))?{_NUMBER}\s*(?:{_UNIT})?\s*(?:x|×|by)\s*{_NUMBER}\s*(?:{_UNIT})?",
        words,
    )
    if match is None or re.search(r"\b(?:squares?|strips?)\b", words) or _FORM_WORDS.search(words):
        return None
    _nothing_left(as_written, words[match.end() :])
    return _form_amount(as_written, Fraction(int(match["count"] or 1)), "piece")


def say_amount(amount: Amount) -> str:
    """Say an amount in its own unit."""
    return f"{say_plain(amount.quantity)} {amount.unit}"


def say_bare(number: Fraction, unit: Unit) -> AmountError:
    """Return the error for a number without its unit, with the likely reading named."""
    return AmountError(
        f"the amount {say_plain(number)} has no unit",
        f"Type {say_plain(number)} {unit.bolt_unit}, or how many fat quarters or strips.",
    )
