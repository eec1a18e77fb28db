"""Fabric on hand cut into the small sizes a shop sells: most worth, and its upper bound.

Every piece of cloth is cut on its own; how many of a size are wanted at most holds over all
of them. Where no price is known for any size, worth is area, so that the least is wasted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from kitmaker.cutting.mixed_desk import MixForm, WorthAnswer, WorthPiece, best_worth
from kitmaker.cutting_jobs import CuttingJob
from kitmaker.errors import Problem, Problems, warning
from kitmaker.kits.jobs import JobPiece, make_job
from kitmaker.kits.yields import Basis
from kitmaker.lengths import Length, LengthError, Unit, clean_text, parse_length, say_length
from kitmaker.pattern import Piece
from kitmaker.plans import Breakdown, BrokenDown
from kitmaker.shop import Cloth

DEFAULT_SIZES = ("6", "5", "2.5x5", "2.5", "2.5xWOF", "1.5", "1.5xWOF")
"""The small sizes cut when none is named: squares, rectangles and strips (common practice)."""

WHOLE_WIDTH: Length = Fraction(36)
"""Cloth at least this wide counts as a whole width of fabric. Our own bound, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Good:
    """A size that is sold."""

    size: str  # as asked for
    across: Length | None  # inches; None for a strip across the whole width of fabric
    along: Length  # inches
    price: Decimal | None = None  # what one sells for; None unknown
    most: int | None = None  # how many are wanted at most; None for any number


def parse_good(text: str, unit: Unit) -> tuple[Length | None, Length]:
    """Read a size: ``5`` is a square, ``2.5x5`` width by length, ``2.5xWOF`` a strip.

    Returns:
        (across, along) inches; across is None for a strip across the whole width of fabric.

    Raises:
        LengthError: It is no size.
    """
    parts = clean_text(text).casefold().replace("×", "x").split("x")
    if len(parts) > 2:
        raise LengthError(f"'{text}' is not a size", "Type 5, 2.5x5 or 2.5xWOF.")
    along = parse_length(parts[0], unit)
    if along <= 0:
        raise LengthError(f"'{text}' is not a size", "Type 5, 2.5x5 or 2.5xWOF.")
    if len(parts) == 1:
        return along, along
    if parts[1].strip() == "wof":
        return None, along
    other = parse_length(parts[1], unit)
    if other <= 0:
        raise LengthError(f"'{text}' is not a size", "Type 5, 2.5x5 or 2.5xWOF.")
    return along, other


def break_down(cloths: Sequence[Cloth], goods: Sequence[Good], basis: Basis) -> Breakdown:
    """Find the most worth in the fabric on hand.

    Raises:
        OurFaultError: A cutting did not pass kitmaker's own check.
    """
    problems = Problems()
    priced = [good for good in goods if good.price is not None]
    by_area = not priced
    wanted = goods if by_area else priced
    problems.extend(
        warning(f"{good.size} has no price and is left out", None, "Give it one with --price.")
        for good in goods
        if not by_area and good.price is None
    )
    pieces = _worth_pieces(wanted, cloths, by_area=by_area)
    problems += _say_narrow(wanted, cloths, basis.unit)
    if not pieces:
        problems.refuse("none of the sizes fit the fabric on hand")
    forms = [
        MixForm(str(at), cloth.across, cloth.along, Fraction(0), cloth.count)
        for at, cloth in enumerate(cloths)
    ]
    answer = best_worth(forms, [piece for piece, _ in pieces])
    size_of = {piece.key: good.size for piece, good in pieces}
    counted: Counter[str] = Counter()
    for key, count in answer.pieces.items():
        counted[size_of[key]] += count
    return Breakdown(
        counts=tuple((good.size, counted[good.size]) for good in goods),
        worth=answer.worth,
        worth_upper_bound=answer.worth_upper_bound,
        by_area=by_area,
        cloths=tuple(
            BrokenDown(cloth=cloth, job=_job(cloth, str(at), answer, pieces, basis))
            for at, cloth in enumerate(cloths)
        ),
        problems=tuple(problems),
    )


def _worth_pieces(
    goods: Sequence[Good], cloths: Sequence[Cloth], *, by_area: bool
) -> list[tuple[WorthPiece, Good]]:
    """Return each good as the core is asked for it; a strip once for each whole width of cloth."""
    pieces: list[tuple[WorthPiece, Good]] = []
    for good in goods:
        if good.across is None:
            whole = {cloth.across for cloth in cloths if cloth.across >= WHOLE_WIDTH}
            widths = sorted(whole, reverse=True)
        else:
            widths = [good.across]
        for width in widths:
            piece = WorthPiece(
                key=f"{good.size}|{width}",
                across=width,
                along=good.along,
                worth=_worth(good, width, widths[0], by_area=by_area),
                most=good.most,
                may_turn=good.across is not None,
                group=good.size,
            )
            if any(_fits(piece, cloth) for cloth in cloths):
                pieces.append((piece, good))
    return pieces


def _say_narrow(goods: Sequence[Good], cloths: Sequence[Cloth], unit: Unit) -> list[Problem]:
    """Say that strips across the whole width need cloth that has it."""
    strips = [good.size for good in goods if good.across is None]
    if not strips or any(cloth.across >= WHOLE_WIDTH for cloth in cloths):
        return []
    least = say_length(WHOLE_WIDTH, unit)
    message = f"no fabric on hand is a whole width: none gives {' or '.join(strips)}"
    advice = f"A strip across the whole width comes from cloth of {least} across or more."
    return [warning(message, None, advice)]


def _worth(good: Good, width: Length, widest: Length, *, by_area: bool) -> Fraction:
    """Return what one is worth; a shorter strip is worth less than the longest in proportion."""
    if by_area:
        return width * good.along
    return Fraction(good.price or 0) * width / widest


def _fits(piece: WorthPiece, cloth: Cloth) -> bool:
    straight = piece.across <= cloth.across and piece.along <= cloth.along
    turned = piece.along <= cloth.across and piece.across <= cloth.along
    return straight or (piece.may_turn and turned)


def _job(
    cloth: Cloth,
    key: str,
    answer: WorthAnswer,
    pieces: Sequence[tuple[WorthPiece, Good]],
    basis: Basis,
) -> CuttingJob | None:
    layouts = answer.layouts.get(key, ())
    made: Counter[str] = Counter()
    for layout in layouts:
        for piece_key, count in layout.sheet.tally().items():
            made[piece_key] += count * layout.copies
    if not made:
        return None
    rows = [
        JobPiece(
            key=piece.key,
            role=cloth.name,
            colorway="",
            piece=Piece(
                name=good.size
                if good.across is not None
                else f"strip {say_length(piece.along, basis.unit)} wide",
                width=piece.across,
                length=piece.along,
                quantity=made[piece.key],
                where=cloth.where,
            ),
            per_kit=made[piece.key],
            needed=made[piece.key],
        )
        for piece, good in pieces
        if made[piece.key]
    ]
    return make_job(rows, layouts, cloth.form, basis, cloth.name)
