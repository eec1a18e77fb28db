"""Planning again from cloth as it was really measured.

Of a SKU that was measured only the cloth listed is used. A flaw splits a length and takes
two inches with it, one on either side. Forms of a fixed size count as the smallest of those
used, so it matters which are used: the smallest are set aside where the others suffice, or
where more kits come from the others alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType
from typing import TypeAlias

from kitmaker.errors import Problem, Problems, UsageError, error
from kitmaker.forms import Form
from kitmaker.kits.choices import Resolved
from kitmaker.kits.fabrics import entries_of
from kitmaker.kits.lasting import most_kits
from kitmaker.kits.measured_rows import Found, find_rows, rows_as_measured, without
from kitmaker.kits.possible import plan_batches, whole_batches
from kitmaker.kits.shelf import rows_of
from kitmaker.lengths import Unit, say_off_the_bolt, say_usable
from kitmaker.pattern import Pattern
from kitmaker.shop import MeasuredPiece, Shop, StockRow, fold_role

Used: TypeAlias = Mapping[str, Sequence[tuple[StockRow, Fraction]]]
"""SKU, folded, to what finished kits took of its rows."""


def lay_out_measured(
    pieces: Sequence[MeasuredPiece],
    pattern: Pattern,
    shop: Shop,
    resolved: Resolved,
    used: Used = MappingProxyType({}),
) -> Shop:
    """Return the shop with the measured cloth in place of what its stock says.

    What was not measured of those SKUs is set aside; what finished kits used of the others
    has left the shelf.

    Raises:
        UsageError: A SKU was measured that no fabric of the kit is cut from.
    """
    forms = _forms_by_sku(pattern, shop, resolved)
    skus = _skus_of(resolved)
    unknown = [piece for piece in pieces if piece.sku.casefold() not in skus]
    if unknown:
        raise UsageError(
            error(
                f"the SKU '{piece.sku}' was measured, and no fabric in the kit is cut from it",
                piece.where,
                f"The kit's SKUs are: {', '.join(sorted(skus.values())) or 'none given'}.",
            )
            for piece in unknown
        )
    pieces = [piece for piece in pieces if piece.sku.casefold() in forms]
    measured = dict.fromkeys(piece.sku.casefold() for piece in pieces)
    for sku in [sku for sku in used if sku not in measured]:
        shop = _with_rows(shop, sku, tuple(without(rows_of(shop, sku), used[sku])))
    for sku in measured:
        own = [piece for piece in pieces if piece.sku.casefold() == sku]
        before = rows_of(shop, sku)
        found, rest = find_rows(own, forms[sku], before, used.get(sku, ()), shop)
        shop = _lay_out_sku(sku, found, pattern, shop, resolved)
        shop = replace(shop, set_aside=(*shop.set_aside, *rest))
    return shop


def _lay_out_sku(
    sku: str,
    found: Sequence[Found],
    pattern: Pattern,
    shop: Shop,
    resolved: Resolved,
) -> Shop:
    """Lay out one SKU's cloth in the first way that lasts, else in that of most kits."""
    weights = [colorway.kits or 0 for colorway in resolved.colorways]
    before = rows_of(shop, sku)
    best: tuple[int, Shop] | None = None
    for chosen in _ways(found):
        rows = [(cloth, row) for cloth in found for row in rows_as_measured(cloth, before)]
        laid = _with_rows(shop, sku, tuple(row for cloth, row in rows if cloth in chosen))
        aside = tuple(row for cloth, row in rows if cloth not in chosen)
        laid = replace(laid, set_aside=(*shop.set_aside, *aside))
        kits = _kits_from(pattern, laid, resolved, sku, weights)
        if best is None or kits > best[0]:
            best = (kits, laid)
        if kits >= sum(weights):
            break
    return best[1] if best is not None else shop


def _with_rows(shop: Shop, sku: str, rows: Sequence[StockRow]) -> Shop:
    """Return the shop with other rows of a SKU, where its first one stood."""
    stock = shop.stock or ()
    own = [at for at, row in enumerate(stock) if row.sku.casefold() == sku]
    first = own[0] if own else len(stock)
    after = tuple(row for row in stock[first:] if row.sku.casefold() != sku)
    only_measured = shop.stock is None or shop.only_measured
    return replace(shop, stock=(*stock[:first], *rows, *after), only_measured=only_measured)


def _ways(found: Sequence[Found]) -> Iterator[tuple[Found, ...]]:
    """Yield what may be used: all that is full size, then the largest, and one size more each time.

    Lengths are always used.
    """
    fixed = [cloth for cloth in found if cloth.form is not None]
    fixed.sort(key=lambda cloth: cloth.piece.width * cloth.piece.length, reverse=True)
    full = [cloth for cloth in fixed if not _is_small(cloth)]
    used = [full] if full or not fixed else []
    used += [fixed[:count] for count in range(1, len(fixed) + 1)]
    for some in used:
        yield tuple(cloth for cloth in found if cloth.form is None or cloth in some)


def _is_small(found: Found) -> bool:
    form = found.form
    if form is None or form.usable_along is None:
        return False
    return found.piece.width < form.usable_across or found.piece.length < form.usable_along


def _kits_from(
    pattern: Pattern, shop: Shop, resolved: Resolved, sku: str, weights: Sequence[int]
) -> int:
    """Return how many kits a SKU gives; none where one of its fabrics cannot be cut."""
    batches = whole_batches(pattern, shop, resolved, sku)
    if batches is None:
        return 0
    return most_kits(batches, shop, resolved, weights, lambda _: None)[0]


def _forms_by_sku(pattern: Pattern, shop: Shop, resolved: Resolved) -> dict[str, list[Form]]:
    forms: dict[str, list[Form]] = {}
    for entry in entries_of(pattern, shop, resolved):
        if entry.sku:
            forms.setdefault(entry.sku.casefold(), []).extend(entry.form.mix or (entry.form,))
    return forms


def _skus_of(resolved: Resolved) -> dict[str, str]:
    """Return the kit's SKUs, folded, as typed; those of a colorway that is finished too."""
    skus = (
        colorway.skus.get(fold_role(fabric.fabric.role)) or fabric.fabric.sku
        for colorway in resolved.colorways
        for fabric in resolved.fabrics
    )
    return {sku.casefold(): sku for sku in skus if sku}


def say_changes(
    pieces: Sequence[MeasuredPiece], pattern: Pattern, before: Shop, after: Shop, resolved: Resolved
) -> list[Problem]:
    """Say what the measured cloth changes against the first plan, fabric by fabric."""
    problems = Problems()
    unit = before.unit_beside(pattern.unit)
    planned = _forms_by_sku(pattern, before, resolved)
    for sku in dict.fromkeys(piece.sku.casefold() for piece in pieces):
        own = [piece for piece in pieces if piece.sku.casefold() == sku]
        listed = "; ".join(_say_piece(piece, unit) for piece in own)
        if sku not in planned:
            message = f"SKU {own[0].sku} ({listed}): its kits are finished; it stays on the shelf"
            problems.warn(message, own[0].where)
            continue
        changes = _per_kit_changes(pattern, before, after, resolved, sku)
        aside = [piece for piece in own if piece.where in {row.where for row in after.set_aside}]
        changes += _say_lots(own, before, after, sku)
        if aside:
            names = "; ".join(_say_piece(piece, unit) for piece in aside)
            changes.append(f"set aside, as too small or not needed: {names}")
        places = {piece.where for piece in own}
        unmeasured = [
            row for row in after.set_aside if row.sku.casefold() == sku and row.where not in places
        ]
        if unmeasured:
            names = "; ".join(_say_row(row, before, unit) for row in unmeasured)
            changes.append(f"not used, as it was not measured: {names}")
        held = [row for row in rows_of(before, sku) if _is_lost(row, unmeasured)]
        if held:
            names = "; ".join(_say_held(row, before, unit) for row in held)
            changes.append(f"what the Stock sheet holds for others is not kept back: {names}")
        problems.warn(
            f"planned again from SKU {own[0].sku} as measured ({listed}): {'; '.join(changes)}",
            own[0].where,
        )
    return problems


def _say_lots(own: Sequence[MeasuredPiece], before: Shop, after: Shop, sku: str) -> Iterator[str]:
    """Say which dye lots cloth was taken for, where the shelf has several and none was typed."""
    if len({row.dye_lot for row in rows_of(before, sku)}) < 2:
        return
    for piece in own:
        rows = (*after.set_aside, *rows_of(after, sku))
        lots = dict.fromkeys(row.dye_lot for row in rows if row.where == piece.where)
        named = " and ".join(f"dye lot {lot}" if lot else "cloth without a dye lot" for lot in lots)
        if piece.dye_lot is None and named:
            yield f"{piece.where.cell} is read as {named} (type its Dye lot to say otherwise)"


def _is_lost(row: StockRow, unmeasured: Sequence[StockRow]) -> bool:
    """Whether what a row holds for others is not kept back by what was not measured of it."""
    if row.form is None:
        return bool(row.held_length) and row.where not in {other.where for other in unmeasured}
    return row.held_count > sum(
        other.count or 0 for other in unmeasured if other.where == row.where
    )


def _say_row(row: StockRow, shop: Shop, unit: Unit) -> str:
    if row.form is None:
        return say_off_the_bolt(row.length or Fraction(0), unit)
    return shop.catalogue.find(row.form).count_phrase(row.count or 0)


def _say_held(row: StockRow, shop: Shop, unit: Unit) -> str:
    return _say_row(replace(row, length=row.held_length, count=row.held_count), shop, unit)


def _say_piece(piece: MeasuredPiece, unit: Unit) -> str:
    length = (
        say_off_the_bolt(piece.length, unit)
        if piece.length > 36
        else f"{say_usable(piece.length, unit)} {unit.value}"
    )
    flaws = f", {len(piece.flaws)} flaw{'s' if len(piece.flaws) > 1 else ''}" if piece.flaws else ""
    return f"{piece.count} of {say_usable(piece.width, unit)} {unit.value} × {length}{flaws}"


def _per_kit_changes(
    pattern: Pattern, before: Shop, after: Shop, resolved: Resolved, sku: str
) -> list[str]:
    old = _per_kit(pattern, before, resolved, sku)
    new = _per_kit(pattern, after, resolved, sku)
    changes = []
    for label in dict.fromkeys((*old, *new)):
        was, now = old.get(label), new.get(label)
        if was is None:
            changes.append(f"{label} could not be cut in the first plan, now it takes {now} a kit")
        elif now == was:
            changes.append(f"{label} takes {was} a kit, as in the first plan")
        else:
            now = now or "it cannot be cut"
            changes.append(f"{label} took {was} a kit in the first plan, now {now}")
    return changes


def _per_kit(pattern: Pattern, shop: Shop, resolved: Resolved, sku: str) -> dict[str, str]:
    return {
        entry.label: entry.amount.buy
        for batch in plan_batches(pattern, shop, resolved, sku)
        for entry in batch.entries
    }
