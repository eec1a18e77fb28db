"""A stated requirement: text to amount.

``1¼ yards``, ``60cm (5/8yd)``, ``12 fat quarters``, ``40--precut 2½ × 42" strips``, ``(3) ⅔
yard cuts``. The lexer of the cutting texts gives the words (``amount_words``), rules own them
(``amount_rules``), and what they say is brought together (``amount_parts``).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kitmaker.forms import Catalogue
from kitmaker.lengths import Unit, say_plain
from kitmaker.pattern import Amount
from kitmaker.reading.amount_parts import AmountError, Part, join_parts
from kitmaker.reading.amount_rules import AmountReader
from kitmaker.reading.amount_words import amount_words

__all__ = ["AmountError", "ReadAmount", "read_amount", "say_amount", "say_bare"]

LONGEST_AMOUNT = 300
"""Characters; an amount with its remarks is a line, not a page."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadAmount:
    """An amount, and how many separate pieces of cloth its words speak of."""

    amount: Amount
    # 12 of "12 fat quarters", 4 of "¼ yd each of 4 prints"; None for one length
    prints: int | None = None
    warning: str = ""  # what a person should look at; ""


def read_amount(
    text: str, unit: Unit = Unit.INCH, catalogue: Catalogue | None = None, role: str = ""
) -> ReadAmount:
    """Read a requirement.

    Where an amount is given twice, the one of the unit's system is taken; the role tells whose
    share "each of red and blue" is.

    Raises:
        AmountError: It cannot be read for sure.
    """
    as_written = " ".join(text.split())
    if len(as_written) > LONGEST_AMOUNT:
        raise AmountError(f"'{as_written[:30]}…' is too long for an amount")
    if as_written[:1] in "-–−" and as_written[1:2].isnumeric():
        raise AmountError(f"the amount '{as_written}' is negative")
    known = catalogue or Catalogue()
    reader = AmountReader(as_written, amount_words(as_written), known, role)
    reader.read()
    if not reader.parts:
        raise reader.unsure()
    return _read(join_parts(reader.parts, as_written, unit, known, reader.warnings), reader)


def _read(part: Part, reader: AmountReader) -> ReadAmount:
    """Return a quantity, taken as often as its text says."""
    times, prints = reader.times, part.prints
    if part.is_plural and not part.is_counted and times == 1:
        raise reader.unsure("Type how many, such as 12 fat quarters.")
    if part.quantity <= 0:
        raise AmountError(f"the amount '{reader.as_written}' is nothing")
    if times > 1 and (len(reader.parts) > 2 or (part.length is None and not prints)):
        raise reader.unsure()
    if reader.prints is not None:
        prints = reader.prints if part.length is not None else (prints or 1) * times
    amount = Amount(
        as_written=reader.as_written,
        quantity=part.quantity * times,
        unit="piece" if part.sides else part.unit,
        length=None if part.length is None else part.length * times,
    )
    return ReadAmount(amount=amount, prints=prints, warning="; ".join(reader.warnings))


def say_amount(amount: Amount) -> str:
    """Say an amount in its own unit."""
    return f"{say_plain(amount.quantity)} {amount.unit}"


def say_bare(number: Fraction, unit: Unit) -> AmountError:
    """Return the error for a number without its unit, with the likely reading named."""
    return AmountError(
        f"the amount {say_plain(number)} has no unit",
        f"Type {say_plain(number)} {unit.bolt_unit}, or how many fat quarters or strips.",
    )
