"""Kits that are finished already are not planned again, and their cloth has left the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from kitmaker.errors import Problem, Problems, UsageError, error
from kitmaker.kits.batches import batches_of, need_of
from kitmaker.kits.by_lot import totals_of
from kitmaker.kits.choices import Resolved
from kitmaker.kits.drawing import draw
from kitmaker.kits.fabrics import entries_of, plan_kits_of
from kitmaker.kits.lasting import kits_by_share
from kitmaker.pattern import Pattern
from kitmaker.plans import Choice
from kitmaker.shop import MeasuredPiece, Shop, StockRow


def leave_out_done(pieces: Sequence[MeasuredPiece], resolved: Resolved) -> Resolved:
    """Return the choices without the kits that are finished.

    Raises:
        UsageError: What is said of finished kits disagrees, does not tell the colorway, or
            is more than the kits planned.
    """
    stated = [piece for piece in pieces if piece.kits_done is not None]
    if not stated:
        return resolved
    problems = Problems()
    done = [0] * len(resolved.colorways)
    by_colorway: dict[int, MeasuredPiece] = {}
    for piece in stated:
        users = [
            at
            for at, colorway in enumerate(resolved.colorways)
            if len(resolved.colorways) == 1
            or piece.sku.casefold() in {sku.casefold() for sku in colorway.skus.values()}
        ]
        if len(users) != 1:
            if piece.kits_done:
                problems.append(_which_colorway(piece, resolved))
            continue
        first = by_colorway.setdefault(users[0], piece)
        if first.kits_done != piece.kits_done:
            message = (
                f"{piece.kits_done} kits are done here and {first.kits_done} in {first.where.cell}"
            )
            problems.refuse(message, piece.where, "Type one number of finished kits.")
        done[users[0]] = piece.kits_done or 0
    for at, count in enumerate(done):
        kits = resolved.colorways[at].kits or 0
        if count > kits:
            message = f"{count} kits are done, and only {kits} are planned"
            problems.refuse(message, by_colorway[at].where, "Correct one of the two.")
    finished = sum(done)
    if not problems and finished >= resolved.kits + resolved.spare_kits:
        problems.refuse("all kits are finished: there is nothing left to plan")
    if problems:
        raise UsageError(problems)
    return _without(resolved, done, finished, str(stated[0].where)) if finished else resolved


def cloth_of_finished(
    pattern: Pattern, shop: Shop, first: Resolved, left: Resolved
) -> dict[str, tuple[tuple[StockRow, Fraction], ...]]:
    """Return what the finished kits took of each SKU's rows, as the first plan would give it.

    The shop is as its workbook has it, before anything was cut.
    """
    done = [colorway.done for colorway in left.colorways]
    if shop.stock is None or not any(done):
        return {}
    unsaid = Problems()
    batches = batches_of(plan_kits_of(entries_of(pattern, shop, first), unsaid))
    kits_of = kits_by_share(first, done)
    needs = need_of(batches, kits_of, totals_of(batches, kits_of, shop))
    return {
        needed.sku.casefold(): draw(needed, shop).rows for needed in needs.values() if needed.sku
    }


def _which_colorway(piece: MeasuredPiece, resolved: Resolved) -> Problem:
    names = ", ".join(colorway.name for colorway in resolved.colorways)
    return error(
        f"{piece.kits_done} kits are done of a fabric that several colorways share ({names})",
        piece.where,
        "Type the finished kits beside a SKU that only one colorway has.",
    )


def _without(resolved: Resolved, done: Sequence[int], finished: int, where: str) -> Resolved:
    kits = max(0, resolved.kits - finished)
    spare = resolved.kits + resolved.spare_kits - finished - kits
    colorways = tuple(
        replace(colorway, kits=(colorway.kits or 0) - count, done=count)
        for colorway, count in zip(resolved.colorways, done, strict=True)
    )
    text = f"{finished}, not planned again; {kits} left to plan"
    return replace(
        resolved,
        kits=kits,
        spare_kits=spare,
        colorways=colorways,
        choices=(*resolved.choices, Choice(label="Finished kits", value=text, source=where)),
    )
