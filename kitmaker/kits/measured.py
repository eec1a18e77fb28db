"""Planning again from cloth as it was really measured.

Of a SKU that was measured only the cloth listed is used. A flaw splits a length and takes
two inches with it, one on either side. Forms of a fixed size count as the smallest of those
used, so it matters which are used: the smallest are set aside where the others suffice, or
where more kits come from the others alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from kitmaker.errors import Problem, UsageError, error, warning
from kitmaker.forms import Form
from kitmaker.kits.choices import Resolved
from kitmaker.kits.fabrics import entries_of
from kitmaker.kits.lasting import most_kits
from kitmaker.kits.possible import plan_batches, whole_batches
from kitmaker.kits.shelf import rows_of
from kitmaker.lengths import Length, Unit, say_off_the_bolt, say_usable
from kitmaker.pattern import Pattern
from kitmaker.shop import MeasuredPiece, Shop, StockRow, fold_role

FLAW: Length = Fraction(2)
"""Inches lost at a flaw (common practice, no source)."""
_LARGER = Fraction(5, 4)
"""A piece up to a quarter larger than a form each way is one of that form, cut generously."""


def lay_out_measured(
    pieces: Sequence[MeasuredPiece], pattern: Pattern, shop: Shop, resolved: Resolved
) -> Shop:
    """Return the shop with the measured cloth in place of what its stock says.

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
    for sku in dict.fromkeys(piece.sku.casefold() for piece in pieces):
        own = [piece for piece in pieces if piece.sku.casefold() == sku]
        shop = _lay_out_sku(sku, own, forms[sku], pattern, shop, resolved)
    return shop


def _lay_out_sku(
    sku: str,
    own: Sequence[MeasuredPiece],
    forms: Sequence[Form],
    pattern: Pattern,
    shop: Shop,
    resolved: Resolved,
) -> Shop:
    """Lay out one SKU's cloth in the first way that lasts, else in that of most kits."""
    weights = [colorway.kits or 0 for colorway in resolved.colorways]
    before = rows_of(shop, sku)
    unmeasured = tuple(row for row in before if not _is_measured(row, own, forms, shop))
    best: tuple[int, Shop] | None = None
    for chosen in _ways(own, forms):
        laid = _with_rows(shop, sku, chosen, forms)
        aside = [piece for piece in own if piece not in chosen and piece.count]
        rows = tuple(row for piece in aside for row in _rows(piece, before, forms))
        laid = replace(laid, set_aside=(*shop.set_aside, *rows, *unmeasured))
        kits = _kits_from(pattern, laid, resolved, sku, weights)
        if best is None or kits > best[0]:
            best = (kits, laid)
        if kits >= sum(weights):
            break
    return best[1] if best is not None else shop


def _is_measured(
    row: StockRow, own: Sequence[MeasuredPiece], forms: Sequence[Form], shop: Shop
) -> bool:
    """Whether a row's kind of cloth, lengths or one form, is among what was measured."""
    kinds = [_form_of(piece, forms) for piece in own]
    if row.form is None:
        return None in kinds
    return any(form is not None and shop.catalogue.means(row.form, form) for form in kinds)


def _ways(
    own: Sequence[MeasuredPiece], forms: Sequence[Form]
) -> Iterator[tuple[MeasuredPiece, ...]]:
    """Yield what may be used: all that is full size, then the largest, and one size more each time.

    Lengths are always used.
    """
    lengths = [piece for piece in own if _form_of(piece, forms) is None]
    fixed = [piece for piece in own if _form_of(piece, forms) is not None]
    fixed.sort(key=lambda piece: piece.width * piece.length, reverse=True)
    full = [piece for piece in fixed if not _is_small(piece, forms)]
    used = [full] if full or not fixed else []
    used += [fixed[:count] for count in range(1, len(fixed) + 1)]
    for some in used:
        yield tuple(piece for piece in own if piece in lengths or piece in some)


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
        colorway.skus.get(fold_role(one.fabric.role)) or one.fabric.sku
        for colorway in resolved.colorways
        for one in resolved.fabrics
    )
    return {sku.casefold(): sku for sku in skus if sku}


def _is_small(piece: MeasuredPiece, forms: Sequence[Form]) -> bool:
    form = _form_of(piece, forms)
    if form is None or form.usable_along is None:
        return False
    return piece.width < form.usable_across or piece.length < form.usable_along


def _form_of(piece: MeasuredPiece, forms: Sequence[Form]) -> Form | None:
    """Return the fixed form a measured piece is one of; None for a length."""
    for form in forms:
        if form.nominal_along is None:
            continue
        fits_across = piece.width <= form.nominal_across * _LARGER
        if fits_across and piece.length <= form.nominal_along * _LARGER:
            return form
    return None


def _with_rows(
    shop: Shop, sku: str, pieces: Sequence[MeasuredPiece], forms: Sequence[Form]
) -> Shop:
    others = tuple(row for row in shop.stock or () if row.sku.casefold() != sku)
    before = rows_of(shop, sku)
    rows = tuple(row for piece in pieces for row in _rows(piece, before, forms))
    only_measured = shop.stock is None or shop.only_measured
    return replace(shop, stock=(*others, *rows), only_measured=only_measured)


def _rows(
    piece: MeasuredPiece, before: Sequence[StockRow], forms: Sequence[Form]
) -> Iterator[StockRow]:
    form = _form_of(piece, forms)
    like = [row for row in before if (row.form is None) == (form is None)]
    known = like[0] if like else None
    row = StockRow(
        sku=known.sku if known else piece.sku,
        print_name=next((one.print_name for one in before if one.print_name), ""),
        usable_width=piece.width,
        dye_lot=known.dye_lot if known and len({one.dye_lot for one in like}) == 1 else None,
        shrinkage=max((one.shrinkage for one in before), default=Fraction(0)),
        cost=known.cost if known else None,
        price=known.price if known else None,
        where=piece.where,
    )
    stretches = clear_stretches(piece.length, piece.flaws)
    if form is not None:
        if piece.flaws:
            stretches = tuple(one for one in stretches if one >= (form.usable_along or 0))
        longest = max(stretches, default=Fraction(0))
        if piece.count and longest:
            yield replace(
                row,
                form=form.form_id,
                usable_length=longest,
                count=piece.count,
            )
        return
    for _ in range(piece.count):
        for stretch in stretches:
            yield replace(row, length=stretch)


def clear_stretches(length: Length, flaws: Sequence[Length]) -> tuple[Length, ...]:
    """Return the lengths between flaws; each flaw takes an inch on either side with it."""
    starts = [Fraction(0), *(at + FLAW / 2 for at in flaws)]
    ends = [*(at - FLAW / 2 for at in flaws), length]
    return tuple(end - start for start, end in zip(starts, ends, strict=True) if end > start)


def say_changes(
    pieces: Sequence[MeasuredPiece], pattern: Pattern, before: Shop, after: Shop, resolved: Resolved
) -> list[Problem]:
    """Say what the measured cloth changes against the first plan, fabric by fabric."""
    said: list[Problem] = []
    unit = before.unit_beside(pattern.unit)
    planned = _forms_by_sku(pattern, before, resolved)
    for sku in dict.fromkeys(piece.sku.casefold() for piece in pieces):
        own = [piece for piece in pieces if piece.sku.casefold() == sku]
        listed = "; ".join(_say_piece(piece, unit) for piece in own)
        if sku not in planned:
            message = f"SKU {own[0].sku} ({listed}): its kits are finished; it stays on the shelf"
            said.append(warning(message, own[0].where))
            continue
        changes = _per_kit_changes(pattern, before, after, resolved, sku)
        aside = [piece for piece in own if piece.where in {row.where for row in after.set_aside}]
        if aside:
            names = "; ".join(_say_piece(piece, unit) for piece in aside)
            changes.append(f"set aside, as too small or not needed: {names}")
        places = {piece.where for piece in own}
        unmeasured = [
            row for row in after.set_aside if row.sku.casefold() == sku and row.where not in places
        ]
        if unmeasured:
            names = "; ".join(_say_row(row, unit) for row in unmeasured)
            changes.append(f"not used, as it was not measured: {names}")
        held = [row for row in rows_of(before, sku) if row.held_length or row.held_count]
        if held:
            names = "; ".join(_say_held(row, unit) for row in held)
            changes.append(f"what the Stock sheet holds for others is not kept back: {names}")
        said.append(
            warning(
                f"planned again from SKU {own[0].sku} as measured ({listed}): {'; '.join(changes)}",
                own[0].where,
            )
        )
    return said


def _say_row(row: StockRow, unit: Unit) -> str:
    if row.form is None:
        return say_off_the_bolt(row.length or Fraction(0), unit)
    return f"{row.count} {row.form}"


def _say_held(row: StockRow, unit: Unit) -> str:
    if row.form is None:
        return say_off_the_bolt(row.held_length, unit)
    return f"{row.held_count} {row.form}"


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
        entry.label: entry.per_kit.amount.buy
        for batch in plan_batches(pattern, shop, resolved, sku)
        for entry in batch.entries
        if entry.per_kit is not None and entry.per_kit.amount is not None
    }
