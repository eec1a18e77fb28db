"""A fabric that the shop cuts off several lengths: each is straightened and trued by itself.

Which strips come off which length is the shelf's answer; the steps and the amount that is
charged follow it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from kitmaker.kits.batches import Batch, cut_batch
from kitmaker.kits.yields import Taken, purchase_of
from kitmaker.lengths import Unit, round_need_up, say_off_the_bolt
from kitmaker.plans import PullLine, StockPiece
from kitmaker.shop import Shop
from kitmaker.table.cloths import ClothLength, loss_of


def cut_off_lengths(
    batches: Sequence[tuple[Batch, Taken]], line: PullLine, shop: Shop, unit: Unit
) -> None:
    """Cut a SKU's batches again off the lengths that they come from, where there are several.

    Args:
        batches: What the shop cuts up of the SKU, with what all kits take.
        line: What the shelf gives.
        shop: Its losses.
        unit: What the shop measures cloth in.
    """
    pieces = [piece for piece in line.pieces if piece.strips]
    if len(pieces) < 2:
        return
    lengths = [ClothLength(_name(piece), Counter(dict(piece.strips))) for piece in pieces]
    lengths.append(_to_come(batches, lengths))
    for batch, taken in batches:
        _cut(batch, taken, lengths, shop, unit)


def _name(piece: StockPiece) -> str:
    """Say which piece of cloth it is; no two of a SKU are called alike."""
    sheet, _, cell = piece.where.partition("!")
    where = f"{sheet}, row {''.join(char for char in cell if char.isdigit())}"
    lot = f", dye lot {piece.dye_lot}" if piece.dye_lot else ""
    return f"the {piece.name} ({where}{lot})"


def _to_come(batches: Sequence[tuple[Batch, Taken]], lengths: Sequence[ClothLength]) -> ClothLength:
    """Return the cloth that has to be bought yet: strips for which no length has room."""
    wanted: Counter[Fraction] = Counter()
    for _, taken in batches:
        for layout in taken.layouts:
            wanted[layout.sheet.along] += layout.copies
    for length in lengths:
        wanted -= length.to_cut
    return ClothLength("the cloth that is still to come", wanted)


def _cut(
    batch: Batch, taken: Taken, lengths: Sequence[ClothLength], shop: Shop, unit: Unit
) -> None:
    amount = taken.amount
    if amount is None or amount.length is None or amount.length_with_loss is None:
        return
    loss = loss_of(shop)
    before = sum((loss.on(one.cut) for one in lengths), Fraction(0))
    cut_batch(batch, taken, lengths)
    after = sum((loss.on(one.cut) for one in lengths), Fraction(0))
    with_loss = amount.length + after - before
    bought = round_need_up(with_loss, purchase_of(batch.entries[0].basis).step)
    total = replace(
        amount,
        length_with_loss=with_loss,
        buy_length=bought,
        buy=say_off_the_bolt(bought, unit),
        proven=amount.proven and bought == amount.buy_length,
    )
    batch.charge(total, shop)
