"""A fabric's pieces, as the cutting core is asked for them, for one form.

A rectangle is a rectangle. A strip used whole takes the whole width of a form that is as
wide as fabric; from a narrower one it can only come in whole cross-cuts of its strip set.
Where the pattern asks for fat quarters, a strip used whole is as long as one of those gives.
What is joined of several strips or parts comes as those (:mod:`kitmaker.kits.joins`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TypeAlias

from kitmaker.arithmetic.cut_sizes import cross_cuts_from
from kitmaker.cutting.problem import Demand
from kitmaker.forms import WHOLE_WIDTH_FROM, Catalogue, Form
from kitmaker.lengths import Length, Unit, say_size, say_usable
from kitmaker.pattern import Fabric, Piece, PieceKind

KeyedPiece: TypeAlias = tuple[str, Piece, int]
"""A piece, the key its places carry, and how many are needed."""

PATTERN_WIDTH: Length = Fraction(40)
"""The width a whole strip is planned for where the pattern does not say."""


@dataclass(frozen=True, slots=True)
class FormDemands:
    """What is asked of the cutting core, or why the pieces do not fit the form."""

    # one a piece, keyed as the caller keyed the pieces; empty when it cannot
    demands: tuple[Demand, ...]
    why: str = ""  # the piece that does not fit, in words; "" when all fit
    fits_from: str = ""  # what would make it fit, in words; "" when all fit


def pattern_width_of(fabric: Fabric, catalogue: Catalogue) -> Length | None:
    """Return the width a fabric's whole strips are planned for, inches; None where none is said.

    Strips across a fat quarter run its own width, of which the usable one is sure to be there.
    Common practice, no source.
    """
    if fabric.usable_width is not None or fabric.requirement is None:
        return fabric.usable_width
    narrow = catalogue.narrow(fabric.requirement.unit)
    return narrow.usable_across if narrow is not None else None


def demands_for(
    pieces: Sequence[KeyedPiece],
    form: Form,
    unit: Unit,
    pattern_width: Length | None = None,
) -> FormDemands:
    """Turn pieces into demands on one form.

    A whole strip is planned for the pattern's width, in inches; None for 40.
    """
    demands: list[Demand] = []
    for key, piece, count in pieces:
        found = _demand(key, piece, count, form, unit, pattern_width or PATTERN_WIDTH)
        if isinstance(found, FormDemands):
            return found
        demands.append(found)
    return FormDemands(tuple(demands))


def _demand(
    key: str, piece: Piece, count: int, form: Form, unit: Unit, pattern_width: Length
) -> Demand | FormDemands:
    if piece.kind is PieceKind.PIECE and piece.across is not None:
        demand = Demand(key, piece.across, piece.along, count, piece.may_turn)
        if demand.fits(form.usable_across, form.usable_along):
            return demand
        return _too_large(piece, form, unit)
    if form.usable_along is not None and piece.width > form.usable_along:
        return _too_large(piece, form, unit)
    if piece.kind is PieceKind.JOINED:
        return _joined(key, piece, count, form, unit)
    if pattern_width < WHOLE_WIDTH_FROM and pattern_width <= form.usable_across:
        return Demand(key, pattern_width, piece.width, count, may_turn=False)
    if form.nominal_across >= WHOLE_WIDTH_FROM:
        return Demand(key, form.usable_across, piece.width, count, may_turn=False)
    return _in_cross_cuts(key, piece, count, form, unit, pattern_width)


def _joined(key: str, piece: Piece, count: int, form: Form, unit: Unit) -> Demand | FormDemands:
    """Return a running length that no seam is needed for; others come in strips, joined."""
    if piece.length is not None and piece.length <= form.usable_across:
        return Demand(key, piece.length, piece.width, count, may_turn=False)
    total = say_size(piece.length or piece.width, unit)
    return FormDemands(
        (),
        f"{piece.name} is a length of {total} {unit.value}, joined of strips across the whole "
        f"width of the fabric; {form.one} is only {say_usable(form.usable_across, unit)} "
        f"{unit.value} wide",
        "It would fit if it were joined of shorter strips.",
    )


def _in_cross_cuts(
    key: str, piece: Piece, count: int, form: Form, unit: Unit, pattern_width: Length
) -> Demand | FormDemands:
    size = f"{say_size(piece.width, unit)} {unit.value}"
    if piece.cross_cut is None:
        return FormDemands(
            (),
            f"{piece.name} is a strip across the whole width of the fabric ({size} × WOF); "
            f"{form.one} is only {say_usable(form.usable_across, unit)} {unit.value} wide",
            "It would fit if the pattern said what becomes of the strip: give the sizes it is "
            "sub-cut into, or a Cross-cut, or type yes under Join if strips are sewn end to end.",
        )
    each = cross_cuts_from(form.usable_across, piece.cross_cut)
    if each == 0:
        return FormDemands(
            (),
            f"{piece.name} is cut across every {say_size(piece.cross_cut, unit)} {unit.value}; "
            f"{form.one} is only {say_usable(form.usable_across, unit)} {unit.value} wide",
            f"It needs a form at least {say_size(piece.cross_cut, unit)} {unit.value} wide.",
        )
    wanted = count * cross_cuts_from(pattern_width, piece.cross_cut)
    return Demand(key, each * piece.cross_cut, piece.width, ceil(wanted / each), may_turn=False)


def _too_large(piece: Piece, form: Form, unit: Unit) -> FormDemands:
    across, along = piece.across, piece.along
    usable = f"{say_usable(form.usable_across, unit)}"
    if form.usable_along is not None:
        usable += f" × {say_usable(form.usable_along, unit)}"
    if across is None:
        size, fits = f"{say_size(along, unit)} × WOF", say_size(along, unit) + " along the selvage"
    else:
        size = fits = f"{say_size(across, unit)} × {say_size(along, unit)}"
    turned = " and may not be turned" if across is not None and not piece.may_turn else ""
    fits_from = f"It needs one that measures at least {fits} after squaring up."
    if _nominal_fits(piece, form):
        fits_from += " The nominal size is large enough: measure yours."
    return FormDemands(
        (),
        f"{piece.name}, {size} {unit.value}{turned}, does not fit {form.one} "
        f"({usable} {unit.value} usable)",
        fits_from,
    )


def _nominal_fits(piece: Piece, form: Form) -> bool:
    if piece.across is None or form.nominal_along is None:
        return form.nominal_along is not None and piece.along <= form.nominal_along
    demand = Demand(piece.name, piece.across, piece.along, 1, piece.may_turn)
    return demand.fits(form.nominal_across, form.nominal_along)
