"""What leaves the shelf for a plan and what comes back to it, row by row.

Out goes what the pull list takes. Back comes, of what the shop cuts itself: stretches from
selvage to selvage long enough for the bolt, offcuts large enough to be sold in a form the
shop knows, and forms cut from the bolt one more than the kits need. What is left of a bag
bagged uncut is the student's.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from kitmaker.cutting_jobs import Offcut
from kitmaker.errors import Location
from kitmaker.forms import Catalogue, Form
from kitmaker.lengths import Length, say_plain
from kitmaker.paper.sheets.jobs import on_one_table
from kitmaker.plans import KitPlan, PullLine, StockPiece
from kitmaker.shop import Shop, StockRow

_BACK = "back on the bolt"
_KEEP = "keep"
_NONE = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One line of the day's book.

    Attributes:
        sku, print_name: Of the fabric.
        form: What is counted; None for a length.
        out: Inches, or pieces of the form, that leave the shelf.
        back: Inches, or pieces of the form, that come back.
        cost: Money for the SKU, on its first line; None elsewhere or unknown.
    """

    sku: str
    print_name: str
    form: Form | None
    out: Fraction
    back: Fraction
    cost: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Back:
    """Cloth that comes back to the shelf: so many forms, or lengths, and where they come from.

    Attributes:
        form: What is counted; None for a length.
        across: Usable inches of a length.
        along: Inches of a length; 0 for a form.
    """

    sku: str
    print_name: str
    note: str
    count: int
    form: Form | None = None
    across: Length = _NONE
    along: Length = _NONE


def list_back(plan: KitPlan) -> tuple[Back, ...]:
    """Return everything that comes back, by SKU in the plan's order; no scrap."""
    back: list[Back] = []
    for table in on_one_table(plan):
        first = table.first
        if table.job is None or not first.sku:
            continue
        name = (first.sku, first.print_name)
        for cut in table.job.offcuts:
            if cut.grade == _BACK:
                size = (cut.across, cut.along)
                back.append(Back(*name, f"offcut, {_BACK}", cut.count, None, *size))
            elif cut.grade == _KEEP:
                form, each = find_saleable(cut, plan.shop.catalogue)
                if form is not None:
                    back.append(Back(*name, "from offcuts", each * cut.count, form))
    note = "cut from the bolt beyond the need"
    back += (
        Back(line.sku, line.print_name, note, count, form)
        for line in plan.pull
        if line.sku
        for form, count in line.surplus
    )
    return tuple(back)


def find_saleable(offcut: Offcut, catalogue: Catalogue) -> tuple[Form | None, int]:
    """Return the form of which an offcut gives most cloth at full size, and how many.

    Of two that give as much the larger form is taken.
    """
    counts = {form: _fitting(offcut, form) for form in catalogue}
    found = [form for form, count in counts.items() if count]
    if not found:
        return None, 0
    best = max(found, key=lambda form: (counts[form] * _area(form), _area(form)))
    return best, counts[best]


def _area(form: Form) -> Fraction:
    return form.nominal_across * (form.nominal_along or _NONE)


def _fitting(offcut: Offcut, form: Form) -> int:
    if form.nominal_along is None:
        return 0
    across = form.usable_across if form.nominal_across >= 36 else form.nominal_across
    return int(offcut.across // across) * int(offcut.along // form.nominal_along)


def stock_after(plan: KitPlan) -> tuple[tuple[StockRow, str], ...]:
    """Return the shelf when all is cut, and a note for each row.

    Every length is a row of its own, and all rows of a SKU stand together. A row that is used
    up stays only where it is the last of its SKU.
    """
    shelf = rows_left(plan.shop.stock or (), plan.pull)
    rows = [(row, _note(row, taken)) for row, taken in shelf]
    rows += [_as_it_can_be_sold(row, plan.shop) for row in plan.shop.set_aside]
    rows += [(row, note) for back in list_back(plan) for row, note in _rows_of(plan, back)]
    places = {row.sku.casefold(): at for at, (row, _) in reversed(list(enumerate(rows)))}
    rows.sort(key=lambda noted: places[noted[0].sku.casefold()])
    with_some = {row.sku.casefold() for row, _ in rows if _has(row)}
    last_at = {row.sku.casefold(): at for at, (row, _) in enumerate(rows)}
    kept: list[tuple[StockRow, str]] = []
    for at, (row, note) in enumerate(rows):
        sku = row.sku.casefold()
        if _has(row) or (sku not in with_some and last_at[sku] == at):
            kept.append((row, note))
    return tuple(kept)


def _as_it_can_be_sold(row: StockRow, shop: Shop) -> tuple[StockRow, str]:
    """Return cloth that was set aside; a form that is too small as the largest one it holds."""
    if row.form is None or row.measured is None:
        return row, "not measured"
    form = shop.catalogue.find(row.form)
    across = row.usable_width or form.usable_across
    along = row.usable_length or form.usable_along or _NONE
    if across >= form.usable_across and along >= (form.usable_along or _NONE):
        return row, "set aside"
    note = f"set aside, measured {say_plain(across)} × {say_plain(along)} in"
    piece = Offcut(across=across, along=along, count=row.count or 0, grade=_KEEP)
    fitting = [known for known in shop.catalogue if _fitting(piece, known)]
    if not fitting:
        return replace(row, count=0), note
    smaller = max(fitting, key=_area)
    plain = replace(row, usable_width=None, usable_length=None, form=smaller.name)
    return replace(plain, cost=smaller.cost, price=smaller.price), note


def _has(row: StockRow) -> bool:
    return bool(row.length or row.count)


def _note(row: StockRow, taken: Fraction) -> str:
    if not taken:
        return ""
    return "used up" if not _has(row) else "part taken"


def rows_left(
    stock: Sequence[StockRow], pull: Sequence[PullLine]
) -> Iterator[tuple[StockRow, Fraction]]:
    """Yield each stock row as it is when what was taken is gone, and how much was taken."""
    pieces = [(line.sku.casefold(), piece) for line in pull for piece in line.pieces]
    for row in stock:
        taken = _take_from(row, pieces)
        yield row.less(taken), taken


def _take_from(row: StockRow, pieces: list[tuple[str, StockPiece]]) -> Fraction:
    free = row.free_length if row.form is None else Fraction(row.free_count)
    taken = _NONE
    for entry in list(pieces):
        sku, piece = entry
        same = sku == row.sku.casefold() and piece.where == row.where.address
        if same and piece.at_hand == free - taken:
            taken += piece.take
            pieces.remove(entry)
            if row.form is None:
                break
    return taken


def _rows_of(plan: KitPlan, back: Back) -> Iterator[tuple[StockRow, str]]:
    like = [row for row in plan.shop.stock or () if row.sku.casefold() == back.sku.casefold()]
    lengths = [row for row in like if row.form is None]
    known = lengths[0] if lengths else None
    lots = {row.dye_lot for row in lengths}
    row = StockRow(
        sku=back.sku,
        print_name=back.print_name,
        dye_lot=known.dye_lot if known is not None and len(lots) == 1 else None,
        where=like[0].where if like else Location("", "Stock"),
    )
    if back.form is not None:
        form = back.form
        made = replace(row, form=form.name, count=back.count, cost=form.cost, price=form.price)
        yield made, back.note
        return
    made = replace(row, length=back.along, usable_width=back.across)
    if known is not None:
        made = replace(
            made,
            usable_width=known.usable_width,
            shrinkage=known.shrinkage,
            cost=known.cost,
            price=known.price,
            order_in=known.order_in,
        )
    yield from [(made, back.note)] * back.count


def list_movements(plan: KitPlan) -> tuple[Movement, ...]:
    """Return what leaves and what comes back, a line for each SKU and form."""
    back = list_back(plan)
    movements: list[Movement] = []
    for line in plan.pull:
        movements += _movements_of(line, [own for own in back if own.sku == line.sku and own.sku])
    return tuple(movements)


def _movements_of(line: PullLine, back: list[Back]) -> Iterator[Movement]:
    out: dict[str | None, tuple[Form | None, Fraction, Fraction]] = {}
    if line.length:
        out[None] = (None, line.length, _NONE)
    cut = {form.form_id: count for form, count in line.cut_forms}
    for ready, count in line.forms:
        from_shelf = count - cut.get(ready.form_id, 0)
        if from_shelf:
            out[ready.form_id] = (ready, Fraction(from_shelf), _NONE)
    for cloth in back:
        key = cloth.form.form_id if cloth.form is not None else None
        form, went, came = out.get(key, (cloth.form, _NONE, _NONE))
        out[key] = (form, went, came + (cloth.along if cloth.form is None else 1) * cloth.count)
    for number, (form, went, came) in enumerate(out.values()):
        yield Movement(
            sku=line.sku,
            print_name=line.print_name,
            form=form,
            out=went,
            back=came,
            cost=line.cost if number == 0 else None,
        )
