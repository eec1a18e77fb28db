"""The quantities of an amount's text, and the one amount that they are together."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from kitmaker.errors import NotSureError
from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.lengths import CENTIMETER, METER, YARD, Length, Unit, say_decimal
from kitmaker.reading.words.tokens import Kind

TWO_UNITS_MAY_DIFFER = 5 * CENTIMETER
TWO_UNITS_SHARE = Fraction(4, 100)
"""An amount in yards and in meters is one where it differs by no more than either."""
ROUNDED_BY = 10 * CENTIMETER
"""Up to which it is warned of: shops sell by the ten centimeters, and by the eighth of a yard."""
NARROWEST_BOLT: Length = Fraction(35)
"""Inches, so that 90 cm is one: narrower is a piece of its own. Our own bound, no source."""
SIZE_MAY_DIFFER: Length = Fraction(3)
"""A size in brackets may be so many inches off its form's. Our own bound, no source."""
_ADDING = frozenset((Kind.AND, Kind.SEMICOLON))
"""What stands between quantities that are added."""
BY_LENGTH = {"yd": YARD, "m": METER, "cm": CENTIMETER, "in": Fraction(1)}


class AmountError(NotSureError):
    """An amount that cannot be read for sure."""

    usual = "Type one amount, such as 1 1/4 yd or 12 fat quarters."


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One quantity of a text: a length, so many of a form, or a size."""

    unit: str  # as in :class:`kitmaker.pattern.Amount`; "" for a size
    quantity: Fraction  # in ``unit``; how many pieces of a size
    cuts: int | None = None  # how many cuts a length is; None where it is one, or not said
    is_counted: bool = True  # whether the text says how many
    is_plural: bool = False  # whether its word means several
    sides: tuple[Length, ...] = ()  # the inches of a size
    held: str = ""  # what a pack holds, where that is said; else ""
    joints: frozenset[Kind] = frozenset()  # the kinds of the words between it and the part before

    @property
    def length(self) -> Length | None:
        """The length off the bolt; None for a form or a size."""
        return self.quantity * BY_LENGTH[self.unit] if self.unit in BY_LENGTH else None

    @property
    def prints(self) -> int | None:
        """Separate pieces of cloth; None where it is one length, or not said."""
        is_whole = self.quantity.denominator == 1 and self.unit != "pack"
        return self.cuts if self.length is not None or not is_whole else int(self.quantity)

    @property
    def system(self) -> Unit:
        """The system its length is given in."""
        return Unit.CENTIMETER if self.unit in ("m", "cm") else Unit.INCH


def _two_readings(as_written: str) -> AmountError:
    """Return the error for quantities that are neither one said twice nor to be added."""
    return AmountError(f"the amount '{as_written}' has more than one reading")


def join_parts(
    parts: list[Part], as_written: str, unit: Unit, catalogue: Catalogue, warnings: list[str]
) -> Part:
    """Return the one quantity that the parts are: one said twice, or forms that add up.

    Raises:
        AmountError: Two systems give different amounts, or they are two quantities.
    """
    one, *others = parts
    for other in others:
        if _is_its_size(one, other, catalogue) or _is_panels(one, other) or _is_pack(other, one):
            continue
        size = replace(one, is_counted=False)
        if not other.is_counted and _is_its_size(other, size, catalogue):
            one = replace(other, quantity=one.quantity, is_counted=True)
        elif one.length and other.length and not other.joints & _ADDING:
            one = _said_twice(one, other, as_written, unit, warnings)
        elif _is_pack(one, other):
            one = other
        elif _adds(one, other):
            one = replace(one, quantity=one.quantity + other.quantity)
        else:
            raise _two_readings(as_written)
    return one


def _is_panels(part: Part, other: Part) -> bool:
    """Whether a bracket says how many panels are cut or sewn of a length."""
    return bool(part.length) and other.unit == "panel" and Kind.OPENING in other.joints


def _is_pack(pack: Part, other: Part) -> bool:
    """Whether a pack, or as many as are needed of what is in it, will do."""
    is_choice = Kind.OR in pack.joints | other.joints
    return is_choice and pack.held == other.unit != "" and other.is_counted


def _adds(part: Part, other: Part) -> bool:
    is_joined = bool({*_ADDING, Kind.SLASH} & other.joints)
    is_same = part.length is None and part.unit == other.unit != ""
    return is_same and is_joined and part.is_counted and other.is_counted


def _is_its_size(part: Part, size: Part, catalogue: Catalogue) -> bool:
    """Whether a size repeats what a part is: fat quarter (18 × 22), ½ yard (18 × 42)."""
    if not size.sides or part.sides or size.is_counted:
        return False
    short, long = sorted(size.sides)
    if part.length is not None:
        return long >= NARROWEST_BOLT and part.length in size.sides
    try:
        form = catalogue.find(part.unit)
    except UnknownFormError:
        return part.unit in ("panel", "pack")
    nominal = sorted((form.nominal_across, form.nominal_along or Length(0)))
    off = (abs(a - b) for a, b in zip((short, long), nominal, strict=True))
    return max(off) <= SIZE_MAY_DIFFER


def _said_twice(part: Part, other: Part, as_written: str, unit: Unit, warnings: list[str]) -> Part:
    """Return the amount of the pattern's own unit where two systems give the same."""
    a, b = part.length or Length(0), other.length or Length(0)
    more = abs(a - b)
    if part.system is other.system:
        if a == b and other.joints & {Kind.OPENING, Kind.SLASH, Kind.EQUALS}:
            return part
        raise _two_readings(as_written)
    if more > TWO_UNITS_MAY_DIFFER and Kind.OR in other.joints:
        raise _two_readings(as_written)
    if more > TWO_UNITS_MAY_DIFFER and more > TWO_UNITS_SHARE * max(a, b):
        differ = say_decimal(more / CENTIMETER, 1)
        message = f"'{as_written}' gives two amounts that differ by {differ} cm"
        if more > ROUNDED_BY:
            raise AmountError(message, "Type the right one.")
        warnings.append(message)
    return part if part.system is unit else other
