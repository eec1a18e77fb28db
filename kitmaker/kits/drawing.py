"""A SKU's need, met from its stock rows: stock comes in pieces, and no cut runs across a gap.

Ready-made forms are taken from their piles first; what the piles do not give is cut from the
bolts in the shop, together with the lengths and strips, as many as lie side by side at a time
(½ yd gives 2 fat quarters, and one too many goes on the shelf). A form is cut at its nominal
length: straightening it comes out of what is not counted as usable anyway, or is paid for
where all of it counts. All that one kit takes of a SKU comes from one dye lot. Which row gives
what is found by :mod:`kitmaker.kits.allocation`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import ceil

from kitmaker.cutting.purchase import StripLoss
from kitmaker.forms import Form
from kitmaker.kits.allocation import allocate
from kitmaker.kits.shelf import (
    bolt_width_of,
    forms_per_width,
    is_limited,
    length_for_forms,
    piles_of,
    rows_of,
)
from kitmaker.kits.wants import Allocation, FormCut, ShelfPiece, Want
from kitmaker.lengths import Length
from kitmaker.plans import StockPiece
from kitmaker.shop import Shop, StockRow
from kitmaker.table.cloths import loss_of


@dataclass(slots=True)
class _Bag:
    """What one kit of a colorway takes: lengths, forms by id, and pieces cut for all kits."""

    kits: int
    lengths: Counter[Length] = field(default_factory=Counter)
    forms: Counter[str] = field(default_factory=Counter)
    pieces: dict[str, Fraction] = field(default_factory=dict)

    @property
    def want(self) -> Want:
        return Want(
            parts=tuple(sorted(self.lengths.items())),
            copies=self.kits,
            forms=tuple(sorted(self.forms.items())),
            pieces=tuple(sorted(self.pieces.items())),
        )


@dataclass(slots=True)
class Needed:
    """What all kits take of one SKU."""

    sku: str  # the stock number; "" for a fabric without one
    roles: list[str] = field(default_factory=list)  # the roles it fills
    # form id to (form, count) of whole forms
    forms: dict[str, tuple[Form, int]] = field(default_factory=dict)
    # colorway to what is in one kit, from one dye lot
    bags: dict[str, _Bag] = field(default_factory=dict)
    bulk: list[Want] = field(default_factory=list)  # what the shop cuts up for all kits

    def add_forms(self, form: Form, count: int, colorway: str, kits: int) -> None:
        """Add whole forms to every kit of a colorway."""
        self._count_forms(form, count * kits)
        self._bag(colorway, kits).forms[form.form_id] += count

    def add_length(self, colorway: str, length: Length, kits: int) -> None:
        """Add a continuous length, loss and rounding included, to every kit of a colorway."""
        self._bag(colorway, kits).lengths[length] += 1

    def add_pieces(self, colorway: str, kits: int, pieces: Iterable[tuple[str, Fraction]]) -> None:
        """Add pieces that come out of the bulk to every kit of a colorway."""
        self._bag(colorway, kits).pieces.update(pieces)

    def cut_up_forms(self, form: Form, count: int, gives: tuple[tuple[str, int], ...] = ()) -> None:
        """Add forms that the shop cuts up, and the pieces that each gives."""
        self._count_forms(form, count)
        one = ((form.form_id, 1),)
        self.bulk.append(Want((), count, is_loose=True, forms=one, gives=gives))

    def cut_up(self, each: Length, count: int, gives: tuple[tuple[str, int], ...] = ()) -> None:
        """Add strips or stretches that the shop cuts up, and the pieces that each gives."""
        part = ((each, 1),)
        self.bulk.append(Want(part, count, is_strip=True, is_loose=True, gives=gives))

    def _bag(self, colorway: str, kits: int) -> _Bag:
        return self.bags.setdefault(colorway, _Bag(kits))

    def _count_forms(self, form: Form, count: int) -> None:
        _, before = self.forms.get(form.form_id, (form, 0))
        self.forms[form.form_id] = (form, before + count)

    @property
    def wants(self) -> list[Want]:
        """All of it kit by kit, as the allocation is asked for it where dye lots differ."""
        return [*(bag.want for bag in self.bags.values()), *self.bulk]

    @property
    def wants_of_one_lot(self) -> list[Want]:
        """The same where all cloth is of one dye lot: any form may go into any bag."""
        wants = [replace(want, forms=(), pieces=(), gives=()) for want in self.wants if want.parts]
        for form_id, (_, count) in self.forms.items():
            wants.append(Want((), count, forms=((form_id, 1),)))
        return wants

    @property
    def inches(self) -> Length:
        """Inches of all lengths and stretches."""
        return sum((want.inches * want.copies for want in self.wants), Fraction(0))

    def inches_off_one_bolt(self, loss: StripLoss) -> Length:
        """Inches that all of it takes off one piece that is long enough."""
        return _inches_of([(want, want.copies) for want in self.wants], loss)


@dataclass(frozen=True, slots=True)
class Taken:
    """How a SKU's need was met."""

    # each stock row that gives something, and how much: inches or forms
    rows: tuple[tuple[StockRow, Fraction], ...]
    pieces: tuple[StockPiece, ...]  # the same as it is printed
    cut_for_forms: Length  # inches off a bolt for forms that are not on the shelf ready-made
    missing_length: Length  # inches that found no place
    missing_forms: tuple[tuple[Form, int], ...]  # (form, count) that found no place
    length: Length  # inches taken off bolts, loss included, what found no place included
    cut_forms: tuple[tuple[Form, int], ...] = ()  # (form, count) cut from a bolt
    surplus: tuple[tuple[Form, int], ...] = ()  # (form, count) cut from a bolt beyond the need
    # the dye lots that a fabric which the shop cuts up for all kits comes from, where there are
    # several
    mixed_lots: tuple[str, ...] = ()
    # whether there are lengths, so that forms may be cut and need no bundles
    has_lengths: bool = False
    unmatched: int = 0  # kits that would mix dye lots, though nothing else is missing
    exact: bool = True  # whether it is sure that no less is missing
    # all that would have to come: (None, inches) and (form, count); for kits that would mix dye
    # lots what they take
    missing: tuple[tuple[Form | None, Fraction], ...] = ()
    # (form, how many in piles fill no bag) of forms that are missing
    no_bag: tuple[tuple[Form, int], ...] = ()

    @property
    def is_short(self) -> bool:
        """Whether something found no place."""
        return self.missing_length > 0 or bool(self.missing_forms) or self.unmatched > 0


def draw(needed: Needed, shop: Shop, *, only_if_short: bool = False) -> Taken:
    """Meet a SKU's need from its stock rows.

    Without a Stock sheet everything is met and nothing is taken from any row. Of a SKU that is
    short only whole bags are taken: what is ordered comes in another dye lot and fills up no
    bag that was begun. What the shop cuts up for all kits is in no bag yet.

    With ``only_if_short`` it is only asked if something is short, not from which rows the rest
    comes; that is quicker.
    """
    loss = loss_of(shop)
    if not is_limited(needed.sku, shop):
        return Taken((), (), Fraction(0), Fraction(0), (), needed.inches_off_one_bolt(loss))
    forms = {form_id: form for form_id, (form, _) in needed.forms.items()}
    rows: list[tuple[StockRow, Form | None]] = []
    rows += [(row, form) for form in forms.values() for row in piles_of(form, needed.sku, shop)]
    rows += [(row, None) for row in rows_of(shop, needed.sku) if row.form is None]
    width = bolt_width_of(shop, needed.sku)
    ways = tuple(_form_cuts(forms.values(), width))
    sides = tuple((way.form, forms_per_width(forms[way.form], width)) for way in ways)
    shelf = [_row(row, form, sides) for row, form in rows]
    one_lot = len({piece.lot for piece in shelf if piece.free}) <= 1
    wants = needed.wants_of_one_lot if one_lot else needed.wants
    asked = [replace(piece, lot="") for piece in shelf] if one_lot else shelf
    found = allocate(asked, wants, loss, ways, remnants_first=not only_if_short)
    is_short = found.placed != tuple(want.copies for want in wants)
    if is_short and one_lot and not only_if_short:
        wants = needed.wants
        found = allocate(asked, wants, loss, ways)
    return _taken(needed, rows, shelf, wants, found, loss)


def _form_cuts(forms: Iterable[Form], width: Length) -> Iterator[FormCut]:
    """Yield how forms are cut off a bolt.

    A form that counts in full has no edge to spare: it pays for straightening as strips do.
    """
    for form in forms:
        each, cuts = length_for_forms(form, 1, width)
        if cuts:
            yield FormCut(form.form_id, each, is_strip=form.usable_along == form.nominal_along)


def _row(row: StockRow, form: Form | None, sides: tuple[tuple[str, int], ...]) -> ShelfPiece:
    lot = row.dye_lot or ""
    if form is not None:
        return ShelfPiece(Fraction(row.free_count), lot, form.form_id)
    return ShelfPiece(row.free_length, lot, side_by_side=sides)


def _taken(
    needed: Needed,
    rows: Sequence[tuple[StockRow, Form | None]],
    shelf: Sequence[ShelfPiece],
    wants: Sequence[Want],
    found: Allocation,
    loss: StripLoss,
) -> Taken:
    """Say what an allocation takes and what is missing."""
    missing = [want.copies - placed for want, placed in zip(wants, found.placed, strict=True)]
    pairs = list(zip(wants, missing, strict=True))
    missing_length = _inches_of(pairs, loss)
    off_bolts = sum(
        (took for took, (_, form) in zip(found.taken, rows, strict=True) if form is None),
        Fraction(0),
    )
    forms = _forms_taken(needed, shelf, wants, found)
    lots = frozenset[str]().union(*found.lots) if any(want.is_loose for want in wants) else ()
    missing_forms = tuple((one.form, one.missing) for one in forms if one.missing)
    short = missing_length or missing_forms
    unmatched = sum(times for want, times in pairs if want.pieces)
    return Taken(
        rows=tuple((row, took) for (row, _), took in zip(rows, found.taken, strict=True) if took),
        pieces=tuple(_pieces_taken(needed, rows, shelf, found)),
        cut_for_forms=(
            sum((one.inches for one in forms), Fraction(0))
            if any(want.parts for want in wants)
            else off_bolts
        ),
        missing_length=missing_length,
        missing_forms=missing_forms,
        length=off_bolts + missing_length,
        cut_forms=tuple((one.form, one.cut) for one in forms if one.cut),
        surplus=tuple((one.form, one.surplus) for one in forms if one.surplus),
        mixed_lots=tuple(sorted(lots)) if len(lots) > 1 else (),
        has_lengths=any(form is None for _, form in rows),
        unmatched=0 if short else unmatched,
        exact=found.exact,
        missing=tuple(_missing(needed, _with_share(pairs, unmatched), loss)),
        no_bag=tuple(_no_bag(missing_forms, rows, found)),
    )


def _no_bag(
    missing: Sequence[tuple[Form, int]],
    rows: Sequence[tuple[StockRow, Form | None]],
    found: Allocation,
) -> Iterator[tuple[Form, int]]:
    """Yield how many of each form that is missing stay in its piles."""
    for form, _ in missing:
        piles = [at for at, (_, one) in enumerate(rows) if one == form]
        yield form, sum(rows[at][0].free_count - int(found.taken[at]) for at in piles)


def _inches_of(pairs: Sequence[tuple[Want, int]], loss: StripLoss) -> Length:
    """Return the inches of one length that gives so many copies of the wants."""
    strips = sum(times for want, times in pairs if want.is_strip)
    return sum((want.inches * times for want, times in pairs), loss.on(strips))


def _with_share(pairs: Sequence[tuple[Want, int]], unmatched: int) -> list[tuple[Want, int]]:
    """Return what is missing, with the cloth of kits that would mix dye lots.

    Where only they miss something, all that is cut up found its place, in too many lots: they
    need their share of it again, from one.
    """
    if not unmatched or any(times for want, times in pairs if want.is_loose):
        return list(pairs)
    kits = sum(want.copies for want, _ in pairs if want.pieces)
    return [
        (want, ceil(Fraction(want.copies * unmatched, kits)) if want.is_loose else times)
        for want, times in pairs
    ]


def _missing(
    needed: Needed, pairs: Sequence[tuple[Want, int]], loss: StripLoss
) -> Iterator[tuple[Form | None, Fraction]]:
    if inches := _inches_of(pairs, loss):
        yield None, inches
    for form_id, (form, _) in needed.forms.items():
        count = sum(dict(want.forms).get(form_id, 0) * times for want, times in pairs)
        if count:
            yield form, Fraction(count)


@dataclass(frozen=True, slots=True)
class _FormTaken:
    """How a form was met: cut off lengths (inches, how many, how many too many), and missing."""

    form: Form
    inches: Length
    cut: int
    surplus: int
    missing: int


def _forms_taken(
    needed: Needed, shelf: Sequence[ShelfPiece], wants: Sequence[Want], found: Allocation
) -> list[_FormTaken]:
    placed: Counter[str] = Counter()
    for want, copies in zip(wants, found.placed, strict=True):
        for form_id, each in want.forms:
            placed[form_id] += each * copies
    met: list[_FormTaken] = []
    for form_id, (form, count) in needed.forms.items():
        ready = made = cuts = 0
        for piece, gives in zip(shelf, found.rows, strict=True):
            ready += int(gives.taken) if piece.form == form_id else 0
            off_it = dict(gives.cuts).get(form_id, 0)
            cuts += off_it
            made += off_it and off_it * dict(piece.side_by_side)[form_id]
        cut = placed[form_id] - ready
        inches = (form.nominal_along or Fraction(0)) * cuts
        met.append(_FormTaken(form, inches, cut, made - cut, count - placed[form_id]))
    return met


def _pieces_taken(
    needed: Needed,
    rows: Sequence[tuple[StockRow, Form | None]],
    shelf: Sequence[ShelfPiece],
    found: Allocation,
) -> Iterator[StockPiece]:
    for (row, _), piece, gives in zip(rows, shelf, found.rows, strict=True):
        if gives.taken:
            sides = dict(piece.side_by_side)
            yield StockPiece(
                where=row.where.address,
                dye_lot=row.dye_lot or "",
                at_hand=piece.free,
                take=gives.taken,
                left=piece.free - gives.taken,
                cut_into=tuple(
                    (needed.forms[form_id][0], cuts, cuts * sides[form_id])
                    for form_id, cuts in gives.cuts
                ),
                strips=gives.strips,
                bags=gives.bags,
            )
