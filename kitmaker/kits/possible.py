"""How many complete kits are possible, and what would help where a SKU is short."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from kitmaker.kits.batches import Batch, batches_of, own_kits
from kitmaker.kits.choices import FabricInKit, Resolved
from kitmaker.kits.fabrics import Entry, Progress, entries_of, plan_kits_of
from kitmaker.kits.lasting import first_short, most_kits, share_out
from kitmaker.kits.shelf import rows_of
from kitmaker.kits.yields import Taken
from kitmaker.pattern import Pattern
from kitmaker.shop import Bag, Shop


def kits_possible(
    batches: Sequence[Batch],
    shop: Shop,
    resolved: Resolved,
    progress: Progress,
    planned: Mapping[int, Taken] = MappingProxyType({}),
) -> tuple[int | None, str]:
    """Return how many complete kits the shelf lasts for, and what runs out.

    Without a Stock sheet, or where no fabric has a SKU, there is no limit to be known. Where
    the most were asked for they are known already, colorways without a kit counted.
    """
    if resolved.most is not None:
        return resolved.most
    if shop.stock is None or not any(batch.entries[0].sku for batch in batches):
        return None, ""
    weights = [colorway.kits or 0 for colorway in resolved.colorways]
    return most_kits(batches, shop, resolved, weights, progress, planned=planned)


def plan_batches(pattern: Pattern, shop: Shop, resolved: Resolved, sku: str) -> list[Batch]:
    """Return the batches that one SKU is cut for, one kit worked out.

    A fabric that cannot be had in its form is left out.
    """
    return batches_of(plan_kits_of(_entries_of_sku(pattern, shop, resolved, sku), []))


def whole_batches(pattern: Pattern, shop: Shop, resolved: Resolved, sku: str) -> list[Batch] | None:
    """Return the same; None where a fabric cannot be had in its form."""
    own = _entries_of_sku(pattern, shop, resolved, sku)
    planned = plan_kits_of(own, [])
    return batches_of(planned) if len(planned) == len(own) else None


def _entries_of_sku(pattern: Pattern, shop: Shop, resolved: Resolved, sku: str) -> list[Entry]:
    key = sku.casefold()
    return [entry for entry in entries_of(pattern, shop, resolved) if entry.sku.casefold() == key]


def find_help(
    pattern: Pattern, shop: Shop, resolved: Resolved, sku: str, progress: Progress
) -> list[str]:
    """Return what would make a short SKU last for all kits; only what was tried and does.

    Tried are: cut pieces instead of uncut cloth and every other form in which the SKU is at
    hand, where that makes no other SKU short; half the loss at straightening and
    re-squaring; and, with several colorways, fewer kits of those it is in.
    """
    progress(f"looking for what would help SKU {sku}")
    own = {id(entry.fabric) for entry in _entries_of_sku(pattern, shop, resolved, sku)}
    helps: list[str] = []
    for chosen in resolved.fabrics:
        if id(chosen.fabric) not in own:
            continue
        for words, changed in _other_ways(chosen, shop, sku):
            swapped = tuple(changed if fabric is chosen else fabric for fabric in resolved.fabrics)
            if _lasts_instead(
                pattern, shop, resolved, replace(resolved, fabrics=swapped), chosen, sku
            ):
                helps.append(words)
    tight = replace(shop, straighten=shop.straighten / 2, re_square=shop.re_square / 2)
    if tight != shop and lasts(pattern, tight, resolved, sku):
        helps.append("straightening and re-squaring with half the loss")
    return helps + _fewer_kits(pattern, shop, resolved, sku)


def _lasts_instead(
    pattern: Pattern,
    shop: Shop,
    before: Resolved,
    after: Resolved,
    chosen: FabricInKit,
    sku: str,
) -> bool:
    """Return whether a SKU lasts with other choices, and no other that lasted is short then."""
    if not lasts(pattern, shop, after, sku):
        return False
    entries = entries_of(pattern, shop, before)
    others = {entry.sku for entry in entries if entry.fabric is chosen.fabric and entry.sku}
    return all(
        lasts(pattern, shop, after, other) or not lasts(pattern, shop, before, other)
        for other in sorted(others)
        if other.casefold() != sku.casefold()
    )


def _fewer_kits(pattern: Pattern, shop: Shop, resolved: Resolved, sku: str) -> list[str]:
    """Return for how many kits a SKU lasts, where only some of the colorways need it."""
    batches = whole_batches(pattern, shop, resolved, sku)
    users = {entry.colorway.name for batch in batches or () for entry in batch.entries}
    kits = [colorway.kits or 0 if colorway.name in users else 0 for colorway in resolved.colorways]
    if batches is None or len(users) == len(resolved.colorways):
        return []
    most, _ = most_kits(batches, shop, resolved, kits, lambda _: None)
    return [
        f"{share} instead of {colorway.kits} kits of {colorway.name}"
        for colorway, share in zip(resolved.colorways, share_out(most, kits), strict=True)
        if colorway.name in users
    ]


def _other_ways(chosen: FabricInKit, shop: Shop, sku: str) -> Iterator[tuple[str, FabricInKit]]:
    if not chosen.fabric.pieces:
        return
    role = chosen.fabric.role
    if chosen.bag is Bag.UNCUT:
        yield f"{role} as cut pieces (--bag '{role}=pieces')", replace(chosen, bag=Bag.PIECES)
    for name in sorted({row.form or "" for row in rows_of(shop, sku)}):
        form = shop.catalogue.find(name) if name else shop.catalogue.yardage
        if form.form_id != chosen.form.form_id:
            words = f"{role} from {form.name} (--form '{role}={form.form_id}')"
            yield words, replace(chosen, form=form)


def lasts(pattern: Pattern, shop: Shop, resolved: Resolved, sku: str) -> bool:
    """Return whether the shelf holds enough of a SKU for all kits under some choices."""
    batches = whole_batches(pattern, shop, resolved, sku)
    if batches is None:
        return False
    return not first_short(batches, shop, own_kits)
