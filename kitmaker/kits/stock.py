"""What to take from the shelf: stock comes in pieces, and no cut runs across a gap.

A SKU's rows are separate lengths (a bolt and a remnant) and ready-made forms. Ready-made
forms go first; what is missing is cut from a bolt in the shop, two halves of the width at
a time (½ yd gives 2 fat quarters). Continuous lengths go to the shortest piece that holds
them, remnants first; strips fill what is left.

What it does not do: it places one length after another, the longest first, and does not
try every sharing-out. It never says that cloth suffices when it does not; with many odd
remnants it may call short what a patient person could still fit.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from kitmaker.forms import Catalogue, Form, UnknownFormError
from kitmaker.lengths import Length, Unit, round_need_up, say_off_the_bolt
from kitmaker.plan import PullLine, StockPiece
from kitmaker.shop import Shop, StockRow


@dataclass(slots=True)
class Needed:
    """What all kits take of one SKU.

    Attributes:
        sku: The stock number; "" for a fabric without one.
        roles: The roles it fills.
        forms: Form id to (form, count) of whole forms.
        lengths: (inches, how many) of continuous lengths, loss and rounding included.
        strips: (inches, how many) of stretches that may come from any piece.
        cost: Money for it where it is known without the stock; None.
    """

    sku: str
    roles: list[str] = field(default_factory=list)
    forms: dict[str, tuple[Form, int]] = field(default_factory=dict)
    lengths: list[tuple[Length, int]] = field(default_factory=list)
    strips: list[tuple[Length, int]] = field(default_factory=list)

    def add_forms(self, form: Form, count: int) -> None:
        """Add whole forms."""
        _, before = self.forms.get(form.form_id, (form, 0))
        self.forms[form.form_id] = (form, before + count)


@dataclass(slots=True)
class _Piece:
    """One stock row of a length while it is being used up."""

    row: StockRow
    free: Length
    cuts: int = 0
    started: bool = False

    def room_for(self, length: Length, shop: Shop, *, with_loss: bool) -> Length:
        """What taking a length costs this piece, loss included where it is not yet."""
        if not with_loss:
            return length
        cost = length
        if not self.started:
            cost += shop.straighten
        elif self.cuts % shop.re_square_every == 0:
            cost += shop.re_square
        return cost


@dataclass(frozen=True, slots=True)
class Taken:
    """How a SKU's need was met.

    Attributes:
        pieces: What each stock row gives.
        cut_for_forms: Inches off a bolt for forms that are not on the shelf ready-made.
        missing_length: Inches that found no place.
        missing_forms: (form, count) that found no place.
        length: Inches taken off bolts, loss included, what found no place included.
    """

    pieces: tuple[StockPiece, ...]
    cut_for_forms: Length
    missing_length: Length
    missing_forms: tuple[tuple[Form, int], ...]
    length: Length

    @property
    def is_short(self) -> bool:
        """Whether something found no place."""
        return self.missing_length > 0 or bool(self.missing_forms)


def rows_of(shop: Shop, sku: str) -> tuple[StockRow, ...]:
    """Return the Stock rows of a SKU; none when there is no Stock sheet."""
    key = sku.casefold()
    return tuple(row for row in shop.stock or () if row.sku.casefold() == key)


def usable_width_of(shop: Shop, sku: str) -> Length | None:
    """Return the narrowest usable width the Stock sheet gives for a SKU's lengths."""
    widths = [
        row.usable_width for row in rows_of(shop, sku) if row.usable_width and row.form is None
    ]
    return min(widths) if widths else None


def forms_per_width(form: Form) -> int:
    """Return how many of a form lie side by side across a bolt: 2 fat quarters, 1 half yard.

    A form whose nominal width is about half of a bolt's is half of it by trade custom.
    """
    return 2 if form.nominal_across <= Fraction(24) else 1


def length_for_forms(form: Form, count: int) -> tuple[Length, int]:
    """Return the cuts off a bolt that give a number of forms: (inches each, how many)."""
    return form.nominal_along or Fraction(0), -(-count // forms_per_width(form))


def draw(needed: Needed, shop: Shop) -> Taken:
    """Meet a SKU's need from its stock rows.

    Without a Stock sheet everything is met and nothing is taken from any row.
    """
    if shop.stock is None:
        return Taken((), Fraction(0), Fraction(0), (), _length_needed(needed, shop))
    rows = rows_of(shop, needed.sku)
    pieces = [_Piece(row, row.free_length) for row in rows if row.form is None]
    taken_forms, left_forms = _take_ready_forms(needed, rows, shop.catalogue)
    lengths = list(needed.lengths)
    missing_forms: list[tuple[Form, int]] = []
    length = Fraction(0)
    for form, count in left_forms:
        each, cuts = length_for_forms(form, count)
        if not pieces or form.by_length or each == 0:
            missing_forms.append((form, count))
            continue
        placed = _place(pieces, [(each, cuts)], shop, with_loss=True)
        length += (each + shop.straighten) * cuts if placed else 0
        if placed < cuts:
            missing_forms.append((form, count - placed * forms_per_width(form)))
    wanted = sum((each * count for each, count in lengths), Fraction(0))
    missing = wanted - _place_lengths(pieces, lengths, shop)
    strips_length, strips_missing = _place_strips(pieces, needed.strips, shop)
    stock_pieces = [
        StockPiece(
            where=piece.row.where.address,
            dye_lot=piece.row.dye_lot or "",
            at_hand=piece.row.free_length,
            take=piece.row.free_length - piece.free,
            left=piece.free,
        )
        for piece in pieces
        if piece.free < piece.row.free_length
    ]
    return Taken(
        (*taken_forms, *stock_pieces),
        length,
        missing + strips_missing,
        tuple(missing_forms),
        length + wanted + strips_length + strips_missing,
    )


def _length_needed(needed: Needed, shop: Shop) -> Length:
    total = sum((each * count for each, count in needed.lengths), Fraction(0))
    cuts = sum(count for _, count in needed.strips)
    if cuts:
        total += shop.straighten + shop.re_square * ((cuts - 1) // shop.re_square_every)
        total += sum((each * count for each, count in needed.strips), Fraction(0))
    return total


def _take_ready_forms(
    needed: Needed, rows: Sequence[StockRow], catalogue: Catalogue
) -> tuple[list[StockPiece], list[tuple[Form, int]]]:
    taken: list[StockPiece] = []
    left: list[tuple[Form, int]] = []
    for form, count in needed.forms.values():
        for row in rows:
            if row.form is None or not _same_form(row.form, form, catalogue) or not count:
                continue
            take = min(count, row.free_count)
            if take:
                count -= take
                taken.append(
                    StockPiece(
                        where=row.where.address,
                        dye_lot=row.dye_lot or "",
                        at_hand=Fraction(row.free_count),
                        take=Fraction(take),
                        left=Fraction(row.free_count - take),
                    )
                )
        if count:
            left.append((form, count))
    return taken, left


def _same_form(name: str, form: Form, catalogue: Catalogue) -> bool:
    try:
        return catalogue.find(name).form_id == form.form_id
    except UnknownFormError:
        return False


def _place(
    pieces: list[_Piece], lengths: Iterable[tuple[Length, int]], shop: Shop, *, with_loss: bool
) -> int:
    """Place continuous lengths, the longest first; return how many found a place."""
    placed = 0
    for each, count in sorted(lengths, reverse=True):
        for _ in range(count):
            fitting = [
                piece
                for piece in pieces
                if piece.free >= piece.room_for(each, shop, with_loss=with_loss)
            ]
            if not fitting:
                break
            piece = min(fitting, key=lambda one: one.free)
            piece.free -= piece.room_for(each, shop, with_loss=with_loss)
            piece.started = True
            piece.cuts += 1
            placed += 1
    return placed


def _place_lengths(pieces: list[_Piece], lengths: list[tuple[Length, int]], shop: Shop) -> Length:
    done = Fraction(0)
    for each, count in sorted(lengths, reverse=True):
        done += each * _place(pieces, [(each, count)], shop, with_loss=False)
    return done


def _place_strips(
    pieces: list[_Piece], strips: list[tuple[Length, int]], shop: Shop
) -> tuple[Length, Length]:
    """Place strips; return (inches taken with loss, inches that found no place)."""
    free_before = sum((piece.free for piece in pieces), Fraction(0))
    missing = Fraction(0)
    for each, count in sorted(strips, reverse=True):
        missing += each * (count - _place(pieces, [(each, count)], shop, with_loss=True))
    free_after = sum((piece.free for piece in pieces), Fraction(0))
    return free_before - free_after, missing


def pull_line(needed: Needed, shop: Shop, unit: Unit, cost: Decimal | None) -> PullLine:
    """Return what to take from the shelf for one SKU, and what is short."""
    rows = rows_of(shop, needed.sku)
    taken = draw(needed, shop)
    forms = tuple(needed.forms.values())
    said = [form.count_phrase(count) for form, count in forms]
    if taken.cut_for_forms:
        said[-1] += f" (cut from {say_off_the_bolt(taken.cut_for_forms, unit)})"
    if taken.length > taken.cut_for_forms:
        off_the_bolt = round_need_up(taken.length - taken.cut_for_forms, shop.bolt_step(unit))
        said.insert(0, say_off_the_bolt(off_the_bolt, unit))
    at_hand = None
    forms_at_hand = None
    if shop.stock is not None:
        at_hand = sum((row.free_length for row in rows if row.form is None), Fraction(0))
        forms_at_hand = tuple(
            sum(
                row.free_count
                for row in rows
                if row.form is not None and _same_form(row.form, form, shop.catalogue)
            )
            for form, _ in forms
        )
    return PullLine(
        sku=needed.sku,
        print_name=next((row.print_name for row in rows if row.print_name), ""),
        roles=", ".join(dict.fromkeys(needed.roles)),
        forms=forms,
        length=taken.length,
        buy=" + ".join(said) or "0",
        at_hand=at_hand,
        forms_at_hand=forms_at_hand,
        pieces=taken.pieces,
        short=say_short(taken, unit),
        cost=cost,
    )


def say_short(taken: Taken, unit: Unit) -> str:
    """Say what is missing: ``short by 1⅜ yd and 4 fat quarters``; "" when nothing is."""
    missing = [form.count_phrase(count) for form, count in taken.missing_forms]
    if taken.missing_length:
        missing.insert(0, say_off_the_bolt(taken.missing_length, unit))
    return f"short by {' and '.join(missing)}" if missing else ""
