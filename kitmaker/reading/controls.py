"""What a pattern says of itself, worked out: where it contradicts itself, both figures are shown.

Nothing is mended here. A binding too short to go round the quilt and an amount too small to
hold its own pieces are published more often than one would think; a shop that knows buys
what is right.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from fractions import Fraction

from kitmaker.arithmetic.shares import FAR_LESS, Share, share_of
from kitmaker.errors import Problem, error, warning
from kitmaker.forms import Catalogue, UnknownFormError
from kitmaker.lengths import Length, Unit, say_decimal, say_number
from kitmaker.pattern import Fabric, Pattern, Piece, PieceKind, Use
from kitmaker.reading.cells import pair_from_text

USUAL_WIDTH: Length = Fraction(42)
"""The width patterns count on where they do not say. Common practice, no source."""


def check_by_use(
    pattern: Pattern, catalogue: Catalogue, unread: Collection[str]
) -> Iterator[Problem]:
    """Yield a warning for each figure that another figure of the pattern contradicts.

    Args:
        pattern: What was read.
        catalogue: The forms that amounts may be in.
        unread: Fabrics with lines that are asked about already.
    """
    around = perimeter(pattern.finished_size, pattern.unit)
    has_cuts = any(fabric.pieces for fabric in pattern.fabrics)
    for fabric in pattern.fabrics:
        is_bare = not fabric.pieces and fabric.role not in unread
        if has_cuts and is_bare and fabric.use in (Use.TOP, Use.BINDING):
            yield warning(
                f"nothing is cut from '{fabric.role}', though other fabrics have their cuts",
                fabric.where,
                "Look whether its cutting instructions are missing.",
            )
        if around is not None:
            yield from _binding(fabric, around, pattern)
        if fabric.pieces and fabric.requirement is not None:
            yield from _amount(fabric, catalogue)


def perimeter(finished_size: str, unit: Unit) -> Length | None:
    """Return the way round a quilt in inches; None where its size is not one pair of numbers."""
    sides = pair_from_text(finished_size, unit)
    return None if sides is None else 2 * sum(sides, Fraction(0))


def _binding(fabric: Fabric, around: Length, pattern: Pattern) -> Iterator[Problem]:
    of_binding = [piece for piece in fabric.pieces if _is_binding(piece, fabric)]
    if not of_binding:
        return
    width = fabric.usable_width or USUAL_WIDTH
    given = sum((_run(piece, width) for piece in of_binding), Fraction(0))
    if given >= around:
        return
    count = sum(piece.quantity for piece in of_binding)
    yield warning(
        f"the binding of '{fabric.role}' is short: {count} strip{'s' if count != 1 else ''} "
        f"{'give' if count != 1 else 'gives'} {say_number(given)} in at most, but "
        f"{say_number(around)} in are wanted to go round {pattern.finished_size}",
        of_binding[0].where,
        "The pieces are counted as they are written; another strip may be needed.",
    )


def _is_binding(piece: Piece, fabric: Fabric) -> bool:
    words = f"{piece.name} {piece.notes}".casefold()
    if piece.kind is PieceKind.PIECE and piece.length is not None:
        long_enough = max(piece.width, piece.length) >= 15
        return long_enough and min(piece.width, piece.length) <= 4 and "binding" in words
    return "binding" in words or (fabric.use is Use.BINDING and piece.width <= 4)


def _run(piece: Piece, width: Length) -> Length:
    if piece.length is None:
        return width * piece.quantity
    return max(piece.width, piece.length) * piece.quantity


def _amount(fabric: Fabric, catalogue: Catalogue) -> Iterator[Problem]:
    """Hold the area of a fabric's pieces against the amount that is stated for it."""
    amount, stated = fabric.requirement, _stated_area(fabric, catalogue)
    if amount is None or stated is None:
        return
    width = fabric.usable_width or USUAL_WIDTH
    taken = _taken_area(fabric)
    share = share_of(taken, stated, width)
    prints = fabric.prints or max((piece.from_each or 1 for piece in fabric.pieces), default=1)
    if share is Share.LESS and prints == 1:  # several prints are bought for their variety
        yield warning(
            f"the pieces of '{fabric.role}' fill far less than its '{amount.as_written}'",
            fabric.where,
            "Look whether pieces are missing, a count is for each of several, or a motif is "
            "centered.",
        )
    if taken <= stated:
        return
    multiplied = any(piece.is_multiplied for piece in fabric.pieces)
    say = error if multiplied and share is Share.MORE else warning
    held = ""
    fill = f"fill {say_decimal(taken / stated * amount.quantity, 2)} of {amount.unit}"
    if amount.length is not None:
        fill = f"take {say_decimal(taken / width, 2)} in at {say_number(width)} in wide"
        held = f" ({say_decimal(amount.length, 2)} in)"
    yield say(
        f"the requirement of '{fabric.role}' is short: its pieces {fill} without any waste, but "
        f"'{amount.as_written}'{held} is stated",
        fabric.where,
        "Look at the counts and at the amount; one of them is wrong.",
    )


def confirm_by_amount(fabric: Fabric, catalogue: Catalogue) -> Fabric:
    """Return a fabric whose plainly read pieces are confirmed where they fill its amount."""
    stated = _stated_area(fabric, catalogue)
    if stated is None or not FAR_LESS * stated <= _taken_area(fabric) <= stated:
        return fabric
    pieces = tuple(
        replace(piece, confirmed="amount") if piece.confirmed == "plain" else piece
        for piece in fabric.pieces
    )
    return replace(fabric, pieces=pieces)


def _stated_area(fabric: Fabric, catalogue: Catalogue) -> Fraction | None:
    """Return the square inches of a fabric's amount; None where it has no sure area."""
    amount = fabric.requirement
    if amount is None or not fabric.pieces:
        return None
    if amount.length is not None:
        return amount.length * (fabric.usable_width or USUAL_WIDTH)
    has_strips = any(piece.kind is PieceKind.STRIP for piece in fabric.pieces)
    try:
        form = catalogue.find(amount.unit)
    except UnknownFormError:
        return None
    if has_strips or form.nominal_along is None:
        return None
    return form.nominal_across * form.nominal_along * amount.quantity


def _taken_area(fabric: Fabric) -> Fraction:
    width = fabric.usable_width or USUAL_WIDTH
    return sum(
        (
            piece.width * (width if piece.length is None else piece.length) * piece.quantity
            for piece in fabric.pieces
        ),
        Fraction(0),
    )
