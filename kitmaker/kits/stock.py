"""What to take from the shelf: stock comes in pieces, and no cut runs across a gap.

A SKU's rows are separate lengths (a bolt and a remnant) and ready-made forms. Ready-made
forms go first; what is missing is cut from a bolt in the shop, two halves of the width at
a time (½ yd gives 2 fat quarters, and one too many goes on the shelf). A form is cut at
its nominal length: straightening it comes out of what is not counted as usable anyway.
Which length comes from which piece is :mod:`kitmaker.kits.allocation`'s to find.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

from kitmaker.forms import Catalogue, Form, UnknownFormError
from kitmaker.kits.allocation import Cloth, Loss, Want, allocate
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
        bags: Colorway to the lengths of one kit and the number of kits; one kit's lengths
            come from one dye lot.
        form_bags: (form, count, copies) of forms that come from one dye lot.
    """

    sku: str
    roles: list[str] = field(default_factory=list)
    forms: dict[str, tuple[Form, int]] = field(default_factory=dict)
    lengths: list[tuple[Length, int]] = field(default_factory=list)
    strips: list[tuple[Length, int]] = field(default_factory=list)

    bags: dict[str, tuple[list[Length], int]] = field(default_factory=dict)
    form_bags: list[tuple[Form, int, int]] = field(default_factory=list)

    def add_forms(self, form: Form, count: int, kits: int = 0) -> None:
        """Add whole forms: so many in all, or so many a kit where kits are named."""
        _, before = self.forms.get(form.form_id, (form, 0))
        self.forms[form.form_id] = (form, before + count * (kits or 1))
        self.form_bags.append((form, count, kits) if kits else (form, 1, count))

    def add_length(self, colorway: str, length: Length, kits: int) -> None:
        """Add a continuous length for every kit of a colorway; a kit's come from one dye lot."""
        lengths, _ = self.bags.setdefault(colorway, ([], kits))
        lengths.append(length)

    @property
    def wants(self) -> list[Want]:
        """What is to be cut from lengths, as the allocation is asked for it."""
        wants = [Want(((each, 1),), count) for each, count in self.lengths]
        for lengths, kits in self.bags.values():
            wants.append(Want(tuple(sorted(Counter(lengths).items())), kits))
        return wants

    @property
    def inches(self) -> Length:
        """Inches of all continuous lengths."""
        return sum((_inches(want) * want.copies for want in self.wants), Fraction(0))


def _inches(want: Want) -> Length:
    return sum((size * count for size, count in want.parts), Fraction(0))


@dataclass(frozen=True, slots=True)
class Taken:
    """How a SKU's need was met.

    Attributes:
        pieces: What each stock row gives.
        cut_for_forms: Inches off a bolt for forms that are not on the shelf ready-made.
        missing_length: Inches that found no place.
        missing_forms: (form, count) that found no place.
        length: Inches taken off bolts, loss included, what found no place included.
        cut_forms: (form, count) cut from a bolt.
        surplus: (form, count) cut from a bolt beyond the need.
        exact: Whether no other sharing-out among the pieces does better.
    """

    pieces: tuple[StockPiece, ...]
    cut_for_forms: Length
    missing_length: Length
    missing_forms: tuple[tuple[Form, int], ...]
    length: Length
    cut_forms: tuple[tuple[Form, int], ...] = ()
    surplus: tuple[tuple[Form, int], ...] = ()
    exact: bool = True

    @property
    def is_short(self) -> bool:
        """Whether something found no place."""
        return self.missing_length > 0 or bool(self.missing_forms)


def rows_of(shop: Shop, sku: str) -> tuple[StockRow, ...]:
    """Return the Stock rows of a SKU; none when there is no Stock sheet."""
    key = sku.casefold()
    return tuple(row for row in shop.stock or () if row.sku.casefold() == key)


def is_limited(sku: str, shop: Shop) -> bool:
    """Return whether what is at hand of a SKU is known."""
    return shop.stock is not None and (not shop.only_measured or bool(rows_of(shop, sku)))


def measured_form(form: Form, sku: str, shop: Shop) -> Form:
    """Return a form of a fixed size as the SKU's own rows measure it: the smallest of them."""
    if form.by_length:
        return form
    rows = [
        row for row in rows_of(shop, sku) if row.form and _same_form(row.form, form, shop.catalogue)
    ]
    across = [row.usable_width for row in rows if row.usable_width is not None]
    along = [row.usable_length for row in rows if row.usable_length is not None]
    return replace(
        form,
        usable_across=min(across, default=form.usable_across),
        usable_along=min(along, default=form.usable_along or Fraction(0)),
    )


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
    if not is_limited(needed.sku, shop):
        return Taken((), Fraction(0), Fraction(0), (), _length_needed(needed, shop))
    rows = rows_of(shop, needed.sku)
    bolts = [row for row in rows if row.form is None]
    ready, left_forms = _take_ready_forms(needed, rows, shop.catalogue)
    cuttable = [(form, count) for form, count in left_forms if bolts and _can_be_cut(form)]
    form_wants = [_form_want(form, count) for form, count in cuttable]
    strips = [Want(((each, 1),), count, is_strip=True) for each, count in needed.strips]
    wants = [*needed.wants, *strips, *form_wants]
    loss = Loss(shop.straighten, shop.re_square, shop.re_square_every)
    cloth = [Cloth(row.free_length, row.dye_lot or "") for row in bolts]
    found = allocate(cloth, wants, loss)
    missing = sum(
        (
            _inches(want) * (want.copies - placed)
            for want, placed in zip(wants, found.placed, strict=True)
            if want not in form_wants
        ),
        Fraction(0),
    )
    cut, missing_forms, surplus = _forms_cut(cuttable, found.placed[len(wants) - len(cuttable) :])
    missing_forms += [one for one in left_forms if one not in cuttable]
    for_forms = sum((length for _, _, length in cut), Fraction(0))
    return Taken(
        pieces=(*ready, *_pieces_taken(bolts, found.taken)),
        cut_for_forms=for_forms,
        missing_length=missing,
        missing_forms=tuple(missing_forms),
        length=sum(found.taken, Fraction(0)) + missing,
        cut_forms=tuple((form, count) for form, count, _ in cut if count),
        surplus=tuple(surplus),
        exact=found.exact,
    )


def _can_be_cut(form: Form) -> bool:
    return bool(form.nominal_along)


def _form_want(form: Form, count: int) -> Want:
    each, cuts = length_for_forms(form, count)
    return Want(((each, 1),), cuts)


def _forms_cut(
    asked: Sequence[tuple[Form, int]], placed: Sequence[int]
) -> tuple[list[tuple[Form, int, Length]], list[tuple[Form, int]], list[tuple[Form, int]]]:
    """Return the forms cut (with inches), those missing, and those cut beyond the need."""
    cut: list[tuple[Form, int, Length]] = []
    missing: list[tuple[Form, int]] = []
    surplus: list[tuple[Form, int]] = []
    for (form, count), cuts in zip(asked, placed, strict=True):
        made = cuts * forms_per_width(form)
        cut.append((form, min(made, count), (form.nominal_along or Fraction(0)) * cuts))
        if made < count:
            missing.append((form, count - made))
        elif made > count:
            surplus.append((form, made - count))
    return cut, missing, surplus


def _pieces_taken(rows: Sequence[StockRow], taken: Sequence[Length]) -> list[StockPiece]:
    return [
        StockPiece(
            where=row.where.address,
            dye_lot=row.dye_lot or "",
            at_hand=row.free_length,
            take=inches,
            left=row.free_length - inches,
        )
        for row, inches in zip(rows, taken, strict=True)
        if inches
    ]


def _length_needed(needed: Needed, shop: Shop) -> Length:
    total = needed.inches
    cuts = sum(count for _, count in needed.strips)
    if cuts:
        total += shop.straighten + shop.re_square * ((cuts - 1) // shop.re_square_every)
        total += sum((each * count for each, count in needed.strips), Fraction(0))
    return total


def _take_ready_forms(
    needed: Needed, rows: Sequence[StockRow], catalogue: Catalogue
) -> tuple[list[StockPiece], list[tuple[Form, int]]]:
    """Take ready-made forms, the smaller piles first; return what is taken and what is left."""
    taken: list[StockPiece] = []
    left: list[tuple[Form, int]] = []
    for form, count in needed.forms.values():
        piles = [row for row in rows if row.form and _same_form(row.form, form, catalogue)]
        lots = {row.dye_lot or "" for row in piles}
        wants = [Want(((Fraction(1), 1),), count)]
        if len(lots) > 1:
            wants = [
                Want(((Fraction(1), each),), copies)
                for bagged, each, copies in needed.form_bags
                if bagged.form_id == form.form_id
            ]
        cloth = [Cloth(Fraction(row.free_count), row.dye_lot or "") for row in piles]
        found = allocate(cloth, wants, Loss())
        for row, took in zip(piles, found.taken, strict=True):
            if took:
                free = Fraction(row.free_count)
                taken.append(
                    StockPiece(
                        where=row.where.address,
                        dye_lot=row.dye_lot or "",
                        at_hand=free,
                        take=took,
                        left=free - took,
                    )
                )
        rest = count - int(sum(found.taken, Fraction(0)))
        if rest:
            left.append((form, rest))
    return taken, left


def _same_form(name: str, form: Form, catalogue: Catalogue) -> bool:
    try:
        return catalogue.find(name).form_id == form.form_id
    except UnknownFormError:
        return False


def pull_line(needed: Needed, shop: Shop, unit: Unit, cost: Decimal | None) -> PullLine:
    """Return what to take from the shelf for one SKU, and what is short."""
    rows = rows_of(shop, needed.sku)
    taken = draw(needed, shop)
    forms = tuple(needed.forms.values())
    said = [form.count_phrase(count) for form, count in forms]
    if taken.cut_for_forms:
        cut = sum(count for _, count in taken.cut_forms)
        said[-1] += f" ({cut} cut from {say_off_the_bolt(taken.cut_for_forms, unit)}"
        over = [f"{form.count_phrase(count)} over for the shelf" for form, count in taken.surplus]
        said[-1] += "".join(f", {words}" for words in over) + ")"
    if taken.length > taken.cut_for_forms:
        off_the_bolt = round_need_up(taken.length - taken.cut_for_forms, shop.bolt_step(unit))
        said.insert(0, say_off_the_bolt(off_the_bolt, unit))
    at_hand = None
    forms_at_hand = None
    if is_limited(needed.sku, shop):
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
        cut_forms=taken.cut_forms,
        surplus=taken.surplus,
    )


def say_short(taken: Taken, unit: Unit) -> str:
    """Say what is missing: ``short by 1⅜ yd and 4 fat quarters``; "" when nothing is."""
    missing = [form.count_phrase(count) for form, count in taken.missing_forms]
    if taken.missing_length:
        missing.insert(0, say_off_the_bolt(taken.missing_length, unit))
    return f"short by {' and '.join(missing)}" if missing else ""
