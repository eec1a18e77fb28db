"""A SKU's need, met from its stock rows: stock comes in pieces, and no cut runs across a gap.

Ready-made forms are taken from their piles first; what the piles do not give is cut from the
bolts in the shop, together with the lengths and strips, as many as lie side by side at a time
(½ yd gives 2 fat quarters, and one too many goes on the shelf). A form is cut at its nominal
length: straightening it comes out of what is not counted as usable anyway, or is paid for
where all of it counts. Which length comes from which piece is found by
:mod:`kitmaker.kits.allocation`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from kitmaker.cutting.purchase import StripLoss
from kitmaker.forms import Form
from kitmaker.kits.allocation import ShelfPiece, Want, allocate
from kitmaker.kits.shelf import (
    bolt_width_of,
    forms_per_width,
    is_limited,
    length_for_forms,
    piles_of,
    rows_of,
)
from kitmaker.lengths import Length
from kitmaker.plan import StockPiece
from kitmaker.shop import Shop, StockRow
from kitmaker.table.cloths import loss_of


@dataclass(slots=True)
class Needed:
    """What all kits take of one SKU.

    Attributes:
        sku: The stock number; "" for a fabric without one.
        roles: The roles it fills.
        forms: Form id to (form, count) of whole forms.
        form_wants: Form id to the same as bags, one kit's forms from one dye lot.
        strips: (inches, how many) of stretches that may come from any piece.
        bags: Colorway to the lengths of one kit, loss and rounding included, and the number
            of kits; one kit's lengths come from one dye lot.
    """

    sku: str
    roles: list[str] = field(default_factory=list)
    forms: dict[str, tuple[Form, int]] = field(default_factory=dict)
    form_wants: dict[str, list[Want]] = field(default_factory=dict)
    strips: list[tuple[Length, int]] = field(default_factory=list)
    bags: dict[str, tuple[list[Length], int]] = field(default_factory=dict)

    def add_forms(self, form: Form, count: int, kits: int = 0) -> None:
        """Add whole forms: so many in all, or so many a kit where kits are named."""
        _, before = self.forms.get(form.form_id, (form, 0))
        self.forms[form.form_id] = (form, before + count * (kits or 1))
        one = Fraction(1)
        want = Want(((one, count),), kits) if kits else Want(((one, 1),), count, is_loose=True)
        self.form_wants.setdefault(form.form_id, []).append(want)

    def add_length(self, colorway: str, length: Length, kits: int) -> None:
        """Add a continuous length for every kit of a colorway; a kit's come from one dye lot."""
        lengths, _ = self.bags.setdefault(colorway, ([], kits))
        lengths.append(length)

    @property
    def wants(self) -> list[Want]:
        """What is to be cut from lengths, as the allocation is asked for it."""
        wants = [
            Want(tuple(sorted(Counter(lengths).items())), kits)
            for lengths, kits in self.bags.values()
        ]
        for each, count in self.strips:
            wants.append(Want(((each, 1),), count, is_strip=True, is_loose=True))
        return wants

    @property
    def inches(self) -> Length:
        """Inches of all lengths and stretches."""
        return sum((want.inches * want.copies for want in self.wants), Fraction(0))

    def inches_off_one_bolt(self, loss: StripLoss) -> Length:
        """Inches that all of it takes off one piece that is long enough."""
        return self.inches + loss.on(sum(count for _, count in self.strips))


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
        mixed_lots: The dye lots that pieces the shop cuts for all kits come from, where
            there are several.
        exact: Whether it is sure that no less is missing.
    """

    pieces: tuple[StockPiece, ...]
    cut_for_forms: Length
    missing_length: Length
    missing_forms: tuple[tuple[Form, int], ...]
    length: Length
    cut_forms: tuple[tuple[Form, int], ...] = ()
    surplus: tuple[tuple[Form, int], ...] = ()
    mixed_lots: tuple[str, ...] = ()
    exact: bool = True

    @property
    def is_short(self) -> bool:
        """Whether something found no place."""
        return self.missing_length > 0 or bool(self.missing_forms)


def is_short(needed: Needed, shop: Shop) -> bool:
    """Return whether the shelf does not meet a SKU's need."""
    return draw(needed, shop, remnants_first=False).is_short


def draw(needed: Needed, shop: Shop, *, remnants_first: bool = True) -> Taken:
    """Meet a SKU's need from its stock rows.

    Without a Stock sheet everything is met and nothing is taken from any row.

    Args:
        needed: What all kits take of it.
        shop: With its stock.
        remnants_first: Whether it matters from which lengths it comes.
    """
    loss = loss_of(shop)
    if not is_limited(needed.sku, shop):
        return Taken((), Fraction(0), Fraction(0), (), needed.inches_off_one_bolt(loss))
    bolts = [row for row in rows_of(shop, needed.sku) if row.form is None]
    ready = _take_ready_forms(needed, shop)
    width = bolt_width_of(shop, needed.sku)
    cuttable = [one for one in ready.left if bolts and length_for_forms(*one, width)[1]]
    lengths = needed.wants
    wants = [*lengths, *(_form_want(form, count, width) for form, count in cuttable)]
    free = [row.free_length for row in bolts]
    shelf = [_piece(row, length) for row, length in zip(bolts, free, strict=True)]
    found = allocate(shelf, wants, loss, remnants_first=remnants_first)
    placed = found.placed[: len(lengths)]
    missing = sum(
        (want.inches * (want.copies - got) for want, got in zip(lengths, placed, strict=True)),
        Fraction(0),
    )
    taken = sum(found.taken, Fraction(0))
    cut, missing_forms, surplus = _forms_cut(cuttable, found.placed[len(lengths) :], width)
    missing_forms += [one for one in ready.left if one not in cuttable]
    lots = found.loose_lots | ready.loose_lots
    return Taken(
        pieces=(*ready.pieces, *_pieces_taken(bolts, free, found.taken)),
        cut_for_forms=sum(
            (inches for _, _, inches in cut) if lengths else found.taken, Fraction(0)
        ),
        missing_length=missing,
        missing_forms=tuple(missing_forms),
        length=taken + missing,
        cut_forms=tuple((form, count) for form, count, _ in cut if count),
        surplus=tuple(surplus),
        mixed_lots=tuple(sorted(lots)) if len(lots) > 1 else (),
        exact=found.exact and ready.exact,
    )


def _piece(row: StockRow, free: Fraction) -> ShelfPiece:
    return ShelfPiece(free, row.dye_lot or "")


def _form_want(form: Form, count: int, width: Length) -> Want:
    """Return the cuts that give a number of forms.

    A form that counts in full has no edge to spare: it pays for straightening as strips do.
    """
    each, cuts = length_for_forms(form, count, width)
    return Want(((each, 1),), cuts, is_strip=form.usable_along == form.nominal_along)


def _forms_cut(
    asked: Sequence[tuple[Form, int]], placed: Sequence[int], width: Length
) -> tuple[list[tuple[Form, int, Length]], list[tuple[Form, int]], list[tuple[Form, int]]]:
    """Return the forms cut (with inches), those missing, and those cut beyond the need."""
    cut: list[tuple[Form, int, Length]] = []
    missing: list[tuple[Form, int]] = []
    surplus: list[tuple[Form, int]] = []
    for (form, count), cuts in zip(asked, placed, strict=True):
        made = cuts * forms_per_width(form, width)
        cut.append((form, min(made, count), (form.nominal_along or Fraction(0)) * cuts))
        if made < count:
            missing.append((form, count - made))
        elif made > count:
            surplus.append((form, made - count))
    return cut, missing, surplus


def _pieces_taken(
    rows: Sequence[StockRow], free: Sequence[Fraction], taken: Sequence[Fraction]
) -> list[StockPiece]:
    return [
        StockPiece(
            where=row.where.address,
            dye_lot=row.dye_lot or "",
            at_hand=at_hand,
            take=took,
            left=at_hand - took,
        )
        for row, at_hand, took in zip(rows, free, taken, strict=True)
        if took
    ]


@dataclass(frozen=True, slots=True)
class _Ready:
    """Ready-made forms: what the piles give, and (form, count) that they do not."""

    pieces: tuple[StockPiece, ...]
    left: tuple[tuple[Form, int], ...]
    loose_lots: frozenset[str]
    exact: bool


def _take_ready_forms(needed: Needed, shop: Shop) -> _Ready:
    """Take ready-made forms, the smaller piles first.

    Where piles and bolts are of several dye lots, only whole bags are filled from a pile: the
    rest of a bag would be cut from cloth of another lot.
    """
    taken: list[StockPiece] = []
    left: list[tuple[Form, int]] = []
    lots: frozenset[str] = frozenset()
    exact = True
    for form, count in needed.forms.values():
        piles = piles_of(form, needed.sku, shop)
        wants = [Want(((Fraction(1), 1),), count)]
        bolts = [row for row in rows_of(shop, needed.sku) if row.form is None and row.free_length]
        if len({row.dye_lot or "" for row in (*piles, *bolts)}) > 1:
            wants = needed.form_wants[form.form_id]
        free = [Fraction(row.free_count) for row in piles]
        shelf = [_piece(row, count) for row, count in zip(piles, free, strict=True)]
        found = allocate(shelf, wants, StripLoss())
        taken += _pieces_taken(piles, free, found.taken)
        lots |= found.loose_lots
        exact = exact and found.exact
        rest = count - int(sum(found.taken, Fraction(0)))
        if rest:
            left.append((form, rest))
    return _Ready(tuple(taken), tuple(left), lots, exact)
