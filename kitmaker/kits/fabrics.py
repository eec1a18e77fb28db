"""One fabric of one colorway on its way into the kit: its form, its bolt, what one kit takes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from math import ceil
from types import MappingProxyType

from kitmaker.cutting_jobs import Yield
from kitmaker.errors import Location, Problem, error, warning
from kitmaker.forms import Form
from kitmaker.kits.choices import FabricInKit, Resolved
from kitmaker.kits.demands import KeyedPiece, pattern_width_of
from kitmaker.kits.joins import as_in_pattern, in_parts, why_in_one
from kitmaker.kits.letters import letters_of, own_letters
from kitmaker.kits.mixes import BY_AREA, demands_of, take_any
from kitmaker.kits.shelf import bolt_width_of, length_for_forms, piles_of, rows_of, usable_form
from kitmaker.kits.yields import Basis, Taken, grouped, one_fewer_at
from kitmaker.lengths import Unit, round_need_up, say_length, say_off_the_bolt, say_usable
from kitmaker.pattern import Fabric, Pattern, Piece, PieceKind
from kitmaker.shop import Bag, Colorway, Shop, fold_role

Progress = Callable[[str], None]
"""Told in a few words what is being worked out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One fabric of one colorway and print group, as it was chosen.

    Its pieces carry the keys by which a job knows them.
    """

    fabric: Fabric
    colorway: Colorway
    group: str
    form: Form
    bag: Bag
    sku: str
    print_name: str
    basis: Basis
    pieces: tuple[KeyedPiece, ...]

    @property
    def kits(self) -> int:
        """Kits of this colorway, spare ones included."""
        return self.colorway.kits or 0

    @property
    def label(self) -> str:
        """How a person is told which fabric this is."""
        parts = [self.fabric.role]
        if self.group:
            parts.append(f"print {self.group}")
        if self.colorway.name:
            parts.append(self.colorway.name)
        return ", ".join(parts)

    def at_hand(self, kits: int) -> dict[str, int]:
        """Return how many of each form of a mix there are for one of so many kits.

        Only forms that must come from the shelf are limited, as those the bolt is too narrow
        or too short-stocked for may be cut as well.
        """
        shop = self.basis.shop
        if shop.stock is None or not self.sku:
            return {}
        bolt = any(row.form is None for row in rows_of(shop, self.sku))
        width = bolt_width_of(shop, self.sku)
        return {
            form.form_id: sum(row.free_count for row in piles_of(form, self.sku, shop)) // kits
            for form in self.form.mix
            if not (bolt and length_for_forms(form, 1, width)[1])
        }

    def with_amount(self, taken: Taken) -> OneKit:
        """Return the fabric with what one kit takes of it.

        Raises:
            ValueError: The pieces do not fit the form.
        """
        if taken.amount is None:
            raise ValueError(f"{self.label} does not fit: {taken.why}")
        chosen = {field.name: getattr(self, field.name) for field in fields(Entry)}
        return OneKit(**chosen, amount=taken.amount, per_kit=taken)


@dataclass(frozen=True, slots=True, kw_only=True)
class OneKit(Entry):
    """The same with what one kit takes of it: how much, and how it is cut."""

    amount: Yield
    per_kit: Taken


def entries_of(pattern: Pattern, shop: Shop, resolved: Resolved) -> list[Entry]:
    """Return every fabric in the kit, colorway by colorway."""
    entries: list[Entry] = []
    letters = _letters(pattern, resolved)
    for colorway in resolved.colorways:
        if not colorway.kits:
            continue
        for chosen in resolved.fabrics:
            entries += entries_of_fabric(chosen, colorway, pattern.unit, shop, letters)
    return entries


def entries_in(
    pattern: Pattern, shop: Shop, resolved: Resolved, chosen: FabricInKit, form: Form
) -> list[Entry]:
    """Return one fabric alone in a form, in every colorway."""
    return entries_of(pattern, shop, replace(resolved, fabrics=(replace(chosen, form=form),)))


def _letters(pattern: Pattern, resolved: Resolved) -> dict[str, str]:
    """Return the letter of each piece by its key: one run through the kit, in every colorway.

    Letters by which the pattern calls pieces of fabrics that are not in the kit stay theirs.
    """
    named = {
        _key(chosen.fabric, piece): piece.name
        for chosen in resolved.fabrics
        for piece in chosen.fabric.pieces
    }
    kept = own_letters(piece.name for fabric in pattern.fabrics for piece in fabric.pieces)
    return dict(zip(named, letters_of(list(named.values()), kept), strict=True))


def entries_of_fabric(
    chosen: FabricInKit,
    colorway: Colorway,
    unit: Unit,
    shop: Shop,
    letters: Mapping[str, str] = MappingProxyType({}),
) -> list[Entry]:
    """Return a fabric of a colorway, each of its print groups by itself."""
    fabric = chosen.fabric
    sku = colorway.skus.get(fold_role(fabric.role)) or fabric.sku or ""
    rows = rows_of(shop, sku) if sku else ()
    shrinkage = max((row.shrinkage for row in rows), default=Fraction(0))
    basis = Basis(
        shop,
        unit,
        pattern_width_of(fabric, shop.catalogue),
        shrinkage if chosen.bag is Bag.UNCUT else Fraction(0),
        to_cut=chosen.bag is Bag.UNCUT,
        letters=letters,
        joins=chosen.joins,
    )
    form = usable_form(chosen.form, sku, shop)
    keyed = [(_key(fabric, piece), piece, piece.quantity) for piece in fabric.pieces]
    cut = in_parts(keyed, form, chosen.joins, unit, basis.pattern_width)
    groups = grouped(cut) or {"": []}
    return [
        Entry(
            fabric=fabric,
            colorway=colorway,
            group=group,
            form=form,
            bag=chosen.bag,
            sku=sku,
            print_name=next((row.print_name for row in rows if row.print_name), ""),
            basis=basis,
            pieces=tuple(pieces),
        )
        for group, pieces in groups.items()
    ]


def _key(fabric: Fabric, piece: Piece) -> str:
    """Return what the places of a piece are marked with: the same in every colorway."""
    return "|".join((fold_role(fabric.role), piece.print_group or "", piece.name))


def warn_of_narrow_bolts(entries: Sequence[Entry], unit: Unit, problems: list[Problem]) -> None:
    """Warn where the pattern plans for more width than the bolt has, or bolts of a SKU differ."""
    problems += _say_unlike_bolts(entries, unit)
    for entry in entries:
        counted_on = entry.fabric.usable_width
        usable = entry.form.usable_across
        if counted_on is None or counted_on <= usable or not entry.form.by_length:
            continue
        for _, piece, _ in entry.pieces:
            if piece.kind is not PieceKind.PIECE or piece.across is None:
                continue
            before, after = counted_on // piece.across, usable // piece.across
            if after < before:
                problems.append(
                    warning(
                        f"{entry.label}: the pattern plans for {say_length(counted_on, unit)} of "
                        f"width, but the fabric has {say_length(usable, unit)}: a strip gives "
                        f"{after} of {piece.name} instead of {before}",
                        piece.where,
                        "The plan is made for the narrower width.",
                    )
                )


def warn_of_broken_prints(entries: Iterable[Entry]) -> Iterator[Problem]:
    """Warn, once a piece, where a seam breaks a one-way print."""
    broken = dict.fromkeys(
        (entry.fabric.role, piece.name, piece.where)
        for entry in entries
        for _, piece, _ in entry.pieces
        if piece.sewn is not None and piece.is_one_way
    )
    for role, name, where in broken:
        yield warning(
            f"{role}: '{name}' is of a one-way print: sewn of parts, the print breaks at each seam",
            where,
            "Match the print at the seam, or cut it whole from another form.",
        )


def _say_unlike_bolts(entries: Sequence[Entry], unit: Unit) -> Iterator[Problem]:
    """Say where the pieces of a SKU differ in width: all of it is cut as the narrowest is."""
    for sku, entry in {
        entry.sku.casefold(): entry for entry in entries if entry.form.by_length
    }.items():
        rows = [row for row in rows_of(entry.basis.shop, sku) if row.usable_width and not row.form]
        widths = {row.usable_width: row for row in reversed(rows)}
        if len(widths) > 1:
            sizes = " and ".join(
                f"{say_usable(width, unit)} {unit.value} ({row.where.cell})"
                for width, row in sorted(widths.items(), key=lambda item: item[0] or 0)
                if width is not None
            )
            message = f"SKU {entry.sku} is {sizes} wide: all of it is cut as the narrowest"
            yield warning(message, rows[0].where, "")


_GIVE_COSTS = "Give the cost of each form of the mix in the shop's Forms sheet."


def plan_kits_of(
    entries: Iterable[Entry],
    problems: list[Problem],
    progress: Progress = lambda _: None,
    *,
    to_pull: bool = False,
) -> list[OneKit]:
    """Work out one kit of each fabric; pieces that do not fit their form are said and left out.

    With ``to_pull`` it only matters what is pulled for the bags, and not how it is cut.
    """
    planned: list[OneKit] = []
    for entry in entries:
        progress(f"working out {entry.label}")
        kit = plan_one_kit(entry, problems, to_pull=to_pull)
        planned += [kit] if kit is not None else []
    return planned


def plan_one_kit(entry: Entry, problems: list[Problem], *, to_pull: bool = False) -> OneKit | None:
    """Work out what one kit takes of a fabric; None where its pieces do not fit the form."""
    if not entry.pieces:
        stated = amount_as_stated(entry)
        if stated is None:
            problems.append(_nothing_to_bag(entry))
        return None if stated is None else entry.with_amount(Taken(stated, ()))
    at_hand = entry.at_hand(entry.kits)
    taken = take_to_pull(entry, at_hand) if to_pull else take_one_kit(entry, at_hand)
    if taken.amount is None:
        problems.append(_cannot(entry, taken))
        return None
    if entry.form.mix and taken.amount.cost is None:
        problems.append(warning(f"{entry.label}: {BY_AREA}", entry.fabric.where, _GIVE_COSTS))
    return entry.with_amount(taken)


def take_one_kit(entry: Entry, at_hand: Mapping[str, int] = MappingProxyType({})) -> Taken:
    """Find what one kit takes of a fabric that has pieces, and where one form fewer would do.

    Of a mix, ``at_hand`` says by form id how many there are of those that are limited.
    """
    taken = take_any(entry.pieces, entry.form, entry.basis, entry.fabric.prints, at_hand)
    if taken.amount is None or entry.form.mix:
        return taken
    fewer = one_fewer_at(
        entry.pieces, entry.form, entry.basis, taken.amount.count, entry.fabric.prints
    )
    return replace(taken, amount=replace(taken.amount, one_fewer_at=fewer))


def take_to_pull(entry: Entry, at_hand: Mapping[str, int]) -> Taken:
    """Find what one kit takes, as :func:`take_one_kit` does, but not how it is cut.

    Of what the shop cuts up for all kits no kit has a share of its own: it only has to fit.
    """
    if entry.form.mix:
        return take_any(entry.pieces, entry.form, entry.basis, entry.fabric.prints, at_hand)
    if entry.bag is Bag.PIECES:
        asked = demands_of(entry.pieces, entry.form, entry.basis)
        nothing = Yield(count=0, lower_bound=0, proven=False, buy="")
        return Taken(None if asked.why else nothing, (), asked.why, asked.fits_from)
    basis = replace(entry.basis, to_cut=False)
    return take_any(entry.pieces, entry.form, basis, entry.fabric.prints)


def _cannot(entry: Entry, taken: Taken) -> Problem:
    """Return what does not fit, why it is not sewn of shorter parts, or that it might be."""
    message, fits_from, where = f"{entry.label}: {taken.why}", taken.fits_from, entry.fabric.where
    refused = why_not_sewn(entry)
    if refused is not None:
        why, where = refused
        message = f"{message}; {why}"
    elif sewn_of_parts(entry) is not None:
        fits_from = f"{fits_from} It fits if it is sewn of shorter parts: add --join."
    return error(message, where, fits_from)


def why_not_sewn(entry: Entry) -> tuple[str, Location] | None:
    """Return why a piece that is too long is not sewn of parts though it may be, and its cell."""
    basis, wholes = entry.basis, as_in_pattern(entry.pieces)
    return why_in_one(wholes, entry.form, basis.joins, basis.unit, basis.pattern_width)


def sewn_of_parts(entry: Entry) -> Entry | None:
    """Return a fabric whose pieces do not fit as it fits once shorter parts may be sewn.

    None where they may already, or where it fits not even so.
    """
    basis = entry.basis
    if basis.joins.is_asked:
        return None
    joins = replace(basis.joins, is_asked=True)
    wholes = as_in_pattern(entry.pieces)
    parts = in_parts(wholes, entry.form, joins, basis.unit, basis.pattern_width)
    if demands_of(parts, entry.form, basis).why:
        return None
    return replace(entry, pieces=parts, basis=replace(basis, joins=joins))


def amount_as_stated(entry: Entry) -> Yield | None:
    """Return a stated amount as it stands, without pieces that say whether less would do.

    None where the pattern states none that can go into the bag in this form.
    """
    requirement = entry.fabric.requirement
    if requirement is not None and requirement.length is not None and entry.form.by_length:
        length = requirement.length / (1 - entry.basis.shrinkage)
        bought = round_need_up(length, entry.basis.shop.bolt_step(entry.basis.unit))
        return Yield(
            count=1,
            lower_bound=1,
            proven=False,
            length=requirement.length,
            length_with_loss=length,
            buy_length=bought,
            buy=say_off_the_bolt(bought, entry.basis.unit),
            estimated=True,
        )
    if requirement is not None and requirement.unit == entry.form.form_id:
        count = ceil(requirement.quantity)
        return Yield(
            count=count,
            lower_bound=count,
            proven=False,
            buy=entry.form.count_phrase(count),
            estimated=True,
        )
    return None


def _nothing_to_bag(entry: Entry) -> Problem:
    requirement = entry.fabric.requirement
    stated = f"'{requirement.as_written}'" if requirement is not None else "nothing"
    return error(
        f"{entry.label}: the pattern states {stated} and no pieces, so there is nothing "
        "that can be bagged",
        entry.fabric.where,
        "Type its requirement as a length, such as 1 1/4 yd, or leave it out of the kit.",
    )
