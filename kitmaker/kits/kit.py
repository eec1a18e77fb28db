"""From one kit to the class: what all bags take, what is cut together, what it needs.

``plan_kits`` is the whole of it: choices in, a checked :class:`~kitmaker.plan.KitPlan` out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from kitmaker.errors import Problem, error, has_errors, warning
from kitmaker.forms import Form
from kitmaker.kits.choices import FabricInKit, Resolved
from kitmaker.kits.convert import grouped, usable_form
from kitmaker.kits.costs import (
    cost_of_forms,
    cost_of_length,
    cost_table,
    kit_price,
    price_of,
)
from kitmaker.kits.jobs import JobPiece, make_job
from kitmaker.kits.stock import Needed, draw, pull_line, rows_of, usable_width_of
from kitmaker.kits.yields import Basis, KeyedPiece, Taken, one_fewer_at, say_lengths, take
from kitmaker.lengths import Length, Unit, round_need_up, say_length, say_off_the_bolt
from kitmaker.pattern import Fabric, Pattern, PieceKind
from kitmaker.plan import CuttingJob, FabricPlan, KitPlan, PullLine, Yield
from kitmaker.shop import Bag, ClassSheet, Colorway, Shop, fold_role

Progress = Callable[[str], None]
"""Told in a few words what is being worked out."""


@dataclass(slots=True)
class _Entry:
    """One fabric of one colorway and print group while the plan grows."""

    fabric: Fabric
    colorway: Colorway
    group: str
    form: Form
    bag: Bag
    sku: str
    print_name: str
    basis: Basis
    pieces: list[KeyedPiece]
    per_kit: Taken | None = None
    total: Yield | None = None
    job: CuttingJob | None = None
    cut_with: tuple[tuple[str, str], ...] = ()
    cost: Decimal | None = None

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

    def times(self, kits: int) -> list[KeyedPiece]:
        """The pieces for a number of kits."""
        return [(key, piece, count * kits) for key, piece, count in self.pieces]


@dataclass(slots=True)
class _Batch:
    """Entries whose pieces the shop cuts in one go: one SKU, one form."""

    entries: list[_Entry] = field(default_factory=list)

    def job_pieces(self, kits_of: Callable[[_Entry], int]) -> list[JobPiece]:
        """All pieces for given numbers of kits.

        Two colorways that fill one role with one SKU need the same pieces: one row for both.
        """
        rows: dict[str, JobPiece] = {}
        for entry in self.entries:
            for name, piece, count in entry.pieces:
                key = "|".join((fold_role(entry.fabric.role), entry.group, name))
                row = rows.get(key)
                needed = count * kits_of(entry)
                if row is None:
                    rows[key] = JobPiece(
                        key=key,
                        role=entry.fabric.role,
                        colorway=entry.colorway.name,
                        piece=piece,
                        per_kit=count,
                        needed=needed,
                    )
                else:
                    rows[key] = replace(row, colorway="", needed=row.needed + needed)
        return [row for row in rows.values() if row.needed]

    def pieces(self, kits_of: Callable[[_Entry], int]) -> list[KeyedPiece]:
        """All pieces for given numbers of kits, as the core is asked for them."""
        return [(row.key, row.piece, row.needed) for row in self.job_pieces(kits_of)]

    @property
    def prints(self) -> int | None:
        """How many prints fill the role."""
        return self.entries[0].fabric.prints

    def take(self, kits_of: Callable[[_Entry], int]) -> Taken:
        """What these kits take."""
        first = self.entries[0]
        return take(self.pieces(kits_of), first.form, first.basis, self.prints)


def plan_kits(
    pattern: Pattern,
    shop: Shop,
    class_sheet: ClassSheet,
    resolved: Resolved,
    *,
    number: str,
    not_complete: Sequence[str] = (),
    problems: Sequence[Problem] = (),
    progress: Progress = lambda _: None,
) -> KitPlan:
    """Plan a class's kits.

    Args:
        pattern: What is read for sure, in the size planned.
        shop: The shop's figures.
        class_sheet: The class's, an empty one when there is none.
        resolved: Every choice in force.
        number: The plan number.
        not_complete: Lines left out on request.
        problems: What reading had to say.
        progress: Told what is being worked out.

    Raises:
        OurFaultError: A plan did not pass kitmaker's own check.
    """
    said = list(problems)
    entries = _entries(pattern, shop, resolved)
    _warn_of_narrow_bolts(entries, pattern.unit, said)
    planned: list[_Entry] = []
    for entry in entries:
        progress(f"working out {entry.label}")
        if _plan_one_kit(entry, said):
            planned.append(entry)
    batches = _batches(planned)
    for batch in batches:
        if batch.entries[0].bag is Bag.PIECES:
            progress(f"cutting {batch.entries[0].label} for all kits")
        _plan_batch(batch, shop, pattern.unit)
    pull = _pull(batches, shop, pattern.unit, said)
    possible, runs_out = _kits_possible(batches, shop, resolved, progress)
    _say_shortages(pull, possible, runs_out, said)
    return _assemble(
        pattern,
        shop,
        class_sheet,
        resolved,
        number,
        tuple(not_complete),
        planned,
        pull,
        possible,
        runs_out,
        said,
    )


def _entries(pattern: Pattern, shop: Shop, resolved: Resolved) -> list[_Entry]:
    entries: list[_Entry] = []
    for colorway in resolved.colorways:
        if not colorway.kits:
            continue
        for chosen in resolved.fabrics:
            entries += _fabric_entries(chosen, colorway, pattern, shop)
    return entries


def _fabric_entries(
    chosen: FabricInKit, colorway: Colorway, pattern: Pattern, shop: Shop
) -> list[_Entry]:
    fabric = chosen.fabric
    sku = colorway.skus.get(fold_role(fabric.role)) or fabric.sku or ""
    rows = rows_of(shop, sku) if sku else ()
    shrinkage = max((row.shrinkage for row in rows), default=Fraction(0))
    basis = Basis(
        shop,
        pattern.unit,
        fabric.usable_width,
        shrinkage if chosen.bag is Bag.UNCUT else Fraction(0),
    )
    measured = usable_width_of(shop, sku) if sku else None
    form = usable_form(chosen.form, shop, measured)
    keyed = [(piece.name, piece, piece.quantity) for piece in fabric.pieces]
    groups = grouped(keyed) or {"": []}
    return [
        _Entry(
            fabric=fabric,
            colorway=colorway,
            group=group,
            form=form,
            bag=chosen.bag,
            sku=sku,
            print_name=next((row.print_name for row in rows if row.print_name), ""),
            basis=basis,
            pieces=pieces,
        )
        for group, pieces in groups.items()
    ]


def _warn_of_narrow_bolts(entries: Sequence[_Entry], unit: Unit, said: list[Problem]) -> None:
    """Say where the pattern counts on more width than the bolt has."""
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
                said.append(
                    warning(
                        f"{entry.label}: the pattern counts on {say_length(counted_on, unit)} of "
                        f"width, the fabric has {say_length(usable, unit)}: a strip gives {after} "
                        f"of {piece.name} instead of {before}",
                        piece.where,
                        "The plan is made for the narrower width.",
                    )
                )


def _plan_one_kit(entry: _Entry, said: list[Problem]) -> bool:
    """Work out one kit; return whether the form can do."""
    if not entry.pieces:
        return _bag_as_stated(entry, said)
    taken = take(entry.pieces, entry.form, entry.basis, entry.fabric.prints)
    if taken.amount is None:
        said.append(error(f"{entry.label}: {taken.why}", entry.fabric.where, taken.fits_from))
        return False
    fewer = one_fewer_at(
        entry.pieces, entry.form, entry.basis, taken.amount.count, entry.fabric.prints
    )
    entry.per_kit = replace(taken, amount=replace(taken.amount, one_fewer_at=fewer))
    return True


def _bag_as_stated(entry: _Entry, said: list[Problem]) -> bool:
    """Bag a stated amount as it stands; no pieces say whether less would do."""
    requirement = entry.fabric.requirement
    if requirement is not None and requirement.length is not None and entry.form.by_length:
        length = requirement.length / (1 - entry.basis.shrinkage)
        bought = round_need_up(length, entry.basis.shop.bolt_step(entry.basis.unit))
        amount = Yield(
            count=1,
            lower_bound=1,
            proven=False,
            length=requirement.length,
            length_with_loss=length,
            buy_length=bought,
            buy=say_off_the_bolt(bought, entry.basis.unit),
            estimated=True,
        )
    elif requirement is not None and requirement.unit == entry.form.form_id:
        count = ceil(requirement.quantity)
        amount = Yield(
            count=count,
            lower_bound=count,
            proven=False,
            buy=entry.form.count_phrase(count),
            estimated=True,
        )
    else:
        stated = f"'{requirement.as_written}'" if requirement is not None else "nothing"
        said.append(
            error(
                f"{entry.label}: the pattern states {stated} and no pieces, so there is nothing "
                "that can be bagged",
                entry.fabric.where,
                "Type its requirement as a length, such as 1 1/4 yd, or leave it out of the kit.",
            )
        )
        return False
    entry.per_kit = Taken(amount, ())
    return True


def _batches(entries: Sequence[_Entry]) -> list[_Batch]:
    """Put together what the shop cuts in one go; uncut bags stay by themselves."""
    batches: dict[tuple[str, ...], _Batch] = {}
    for at, entry in enumerate(entries):
        together = entry.bag is Bag.PIECES and entry.sku and not entry.fabric.prints
        key = (entry.sku.casefold(), entry.form.form_id) if together else (str(at), entry.bag.value)
        batches.setdefault(key, _Batch()).entries.append(entry)
    return list(batches.values())


def _plan_batch(batch: _Batch, shop: Shop, unit: Unit) -> None:
    first = batch.entries[0]
    if first.per_kit is None or first.per_kit.amount is None:
        return
    if first.bag is Bag.PIECES and first.pieces:
        taken = batch.take(lambda entry: entry.kits)
        if taken.amount is None:
            return
        job = _job(batch, taken, lambda entry: entry.kits)
        names = tuple((entry.fabric.role, entry.colorway.name) for entry in batch.entries)
        for entry in batch.entries:
            entry.total = taken.amount
            entry.job = job
            own = (entry.fabric.role, entry.colorway.name)
            entry.cut_with = tuple(name for name in names if name != own)
        _share_cost(batch, _cost(first, taken.amount, shop))
        return
    amount = first.per_kit.amount
    first.total = _times(amount, first.kits, first.form, unit)
    first.cost = _cost(first, first.total, shop)
    if first.pieces:
        first.job = _job(batch, first.per_kit, lambda _: 1)


def _times(amount: Yield, kits: int, form: Form, unit: Unit) -> Yield:
    """Return what all bags of an uncut fabric take: so many times one bag."""
    if amount.buy_length is None:
        count = amount.count * kits
        return replace(
            amount,
            count=count,
            lower_bound=amount.lower_bound * kits,
            buy=form.count_phrase(count),
        )

    def scaled(length: Length | None) -> Length | None:
        return None if length is None else length * kits

    return replace(
        amount,
        count=kits,
        lower_bound=kits,
        length=scaled(amount.length),
        length_lower_bound=scaled(amount.length_lower_bound),
        length_with_loss=scaled(amount.length_with_loss),
        buy_length=scaled(amount.buy_length),
        buy=say_lengths(amount.buy_length, kits, unit),
    )


def _job(batch: _Batch, taken: Taken, kits_of: Callable[[_Entry], int]) -> CuttingJob:
    first = batch.entries[0]
    pieces = batch.job_pieces(kits_of)
    layouts = taken.layouts
    if first.bag is Bag.UNCUT:
        layouts = take(
            [(piece.key, piece.piece, piece.needed) for piece in pieces],
            first.form,
            first.basis,
            first.fabric.prints,
        ).layouts
    amount = taken.amount
    spare = Fraction(0)
    if amount is not None and amount.buy_length is not None and first.bag is Bag.UNCUT:
        spare = amount.buy_length - (amount.length_with_loss or Fraction(0))
    source = f"{first.print_name or first.fabric.role}{f', SKU {first.sku}' if first.sku else ''}"
    return make_job(pieces, layouts, first.form, first.basis, source, spare)


def _cost(entry: _Entry, total: Yield, shop: Shop) -> Decimal | None:
    if total.buy_length is None:
        return cost_of_forms(entry.form, total.count, entry.sku, shop)
    return cost_of_length(total.buy_length, entry.sku, shop)


def _share_cost(batch: _Batch, cost: Decimal | None) -> None:
    """Share a job's cost out by the area of the pieces; the cents add up exactly."""
    if cost is None:
        return
    areas = [
        sum(
            (piece.width * (piece.length or entry.form.usable_across) * count * entry.kits)
            for _, piece, count in entry.pieces
        )
        for entry in batch.entries
    ]
    cents = int(cost * 100)
    whole = sum(areas, Fraction(0))
    given = 0
    done = Fraction(0)
    for entry, area in zip(batch.entries, areas, strict=True):
        done += area
        upto = round(cents * done / whole)
        entry.cost = Decimal(upto - given) / 100
        given = upto


def _need_of(
    batches: Sequence[_Batch], kits_of: Callable[[_Entry], int], totals: dict[int, Taken]
) -> dict[str, Needed]:
    """Return what given numbers of kits need, by SKU (fabrics without one apart)."""
    needs: dict[str, Needed] = {}
    for at, batch in enumerate(batches):
        first = batch.entries[0]
        key = first.sku.casefold() or f"\0{at}"
        needed = needs.setdefault(key, Needed(first.sku))
        needed.roles += [entry.fabric.role for entry in batch.entries]
        taken = totals.get(at) if first.bag is Bag.PIECES else first.per_kit
        if taken is None or taken.amount is None:
            continue
        kits = 1 if first.bag is Bag.PIECES else kits_of(first)
        amount = taken.amount
        if not kits:
            continue
        if amount.buy_length is None:
            needed.add_forms(first.form, amount.count * kits)
        elif first.bag is Bag.UNCUT:
            needed.lengths.append((amount.buy_length, kits))
        else:
            needed.strips += [(layout.sheet.along, layout.copies) for layout in taken.layouts]
    return needs


def _totals(batches: Sequence[_Batch], kits_of: Callable[[_Entry], int]) -> dict[int, Taken]:
    return {
        at: batch.take(kits_of)
        for at, batch in enumerate(batches)
        if batch.entries[0].bag is Bag.PIECES
        and batch.entries[0].pieces
        and any(kits_of(entry) for entry in batch.entries)
    }


def _pull(
    batches: Sequence[_Batch], shop: Shop, unit: Unit, said: list[Problem]
) -> tuple[PullLine, ...]:
    def kits_of(entry: _Entry) -> int:
        return entry.kits

    needs = _need_of(batches, kits_of, _totals(batches, kits_of))
    costs: dict[str, list[Decimal | None]] = {}
    for at, batch in enumerate(batches):
        key = batch.entries[0].sku.casefold() or f"\0{at}"
        costs.setdefault(key, []).extend(entry.cost for entry in batch.entries)
    lines: list[PullLine] = []
    for key, needed in needs.items():
        known = [cost for cost in costs[key] if cost is not None]
        cost = sum(known, Decimal(0)) if len(known) == len(costs[key]) else None
        line = pull_line(needed, shop, unit, cost)
        if not needed.sku:
            line = replace(line, short="", pieces=())
        lines.append(line)
    nameless = [line.roles for line in lines if not line.sku]
    if shop.stock is not None and nameless:
        said.append(
            warning(
                f"not checked against the shelf: {'; '.join(nameless)} (no SKU is given)",
                None,
                "Give the SKU in the pattern's Fabrics sheet or the class's Colorways sheet.",
            )
        )
    return tuple(lines)


def _kits_possible(
    batches: Sequence[_Batch], shop: Shop, resolved: Resolved, progress: Progress
) -> tuple[int | None, str]:
    """Return how many complete kits the shelf gives, up to those planned, and what runs out."""
    if shop.stock is None:
        return None, ""
    planned = resolved.kits + resolved.spare_kits
    first_short = _first_short(batches, shop, resolved, planned)
    if not first_short:
        return planned, ""
    low, high, runs_out = 0, planned, first_short
    while high - low > 1:
        middle = (low + high) // 2
        progress(f"asking the shelf for {middle} kits")
        short = _first_short(batches, shop, resolved, middle)
        if short:
            high, runs_out = middle, short
        else:
            low = middle
    return low, runs_out


def _first_short(batches: Sequence[_Batch], shop: Shop, resolved: Resolved, kits: int) -> str:
    shares = share_out(kits, [colorway.kits or 0 for colorway in resolved.colorways])
    by_name = {
        colorway.name: share for colorway, share in zip(resolved.colorways, shares, strict=True)
    }

    def kits_of(entry: _Entry) -> int:
        return by_name[entry.colorway.name]

    for needed in _need_of(batches, kits_of, _totals(batches, kits_of)).values():
        if needed.sku and draw(needed, shop).is_short:
            return f"{', '.join(dict.fromkeys(needed.roles))} (SKU {needed.sku})"
    return ""


def share_out(kits: int, weights: Sequence[int]) -> list[int]:
    """Share kits out in proportion, whole ones, the largest remainders first."""
    whole = sum(weights)
    if whole == 0:
        return [0] * len(weights)
    shares = [kits * weight // whole for weight in weights]
    order = sorted(range(len(weights)), key=lambda at: (-(kits * weights[at] % whole), at))
    for at in order[: kits - sum(shares)]:
        shares[at] += 1
    return shares


def _say_shortages(
    pull: Sequence[PullLine], possible: int | None, runs_out: str, said: list[Problem]
) -> None:
    for line in pull:
        if line.short:
            name = f"{line.print_name}, " if line.print_name else ""
            said.append(
                error(
                    f"not enough on the shelf: {name}SKU {line.sku} ({line.roles}) is {line.short}",
                    None,
                    "Restock it, make fewer kits, or choose another form for it.",
                )
            )
    if possible is not None and runs_out:
        said.append(warning(f"complete kits possible: {possible}; {runs_out} runs out", None, ""))


def _assemble(
    pattern: Pattern,
    shop: Shop,
    class_sheet: ClassSheet,
    resolved: Resolved,
    number: str,
    not_complete: tuple[str, ...],
    entries: Sequence[_Entry],
    pull: tuple[PullLine, ...],
    possible: int | None,
    runs_out: str,
    said: list[Problem],
) -> KitPlan:
    fabrics = tuple(_fabric_plan(entry, shop) for entry in entries)
    minutes = _minutes(fabrics, shop)
    all_kits = resolved.kits + resolved.spare_kits
    fabric_costs = [(entry.label, entry.cost) for entry in entries]
    costs = cost_table(fabric_costs, class_sheet, shop, minutes, all_kits)
    known = [cost for _, cost in fabric_costs if cost is not None]
    complete = len(known) == len(fabric_costs)
    unknown = [label for label, cost in fabric_costs if cost is None]
    if unknown and known:
        said.append(
            warning(
                f"no cost is known for {'; '.join(unknown)}: the kit's cost is left open",
                None,
                "Give a cost in the Stock sheet, or in the Forms sheet.",
            )
        )
    price = kit_price(costs, shop, class_sheet) if not has_errors(said) or complete else None
    return KitPlan(
        number=number,
        pattern=pattern,
        shop=shop,
        class_sheet=class_sheet,
        kits=resolved.kits,
        spare_kits=resolved.spare_kits,
        colorways=resolved.colorways,
        choices=resolved.choices,
        fabrics=fabrics,
        left_out=resolved.left_out,
        pull=pull,
        kits_possible=possible,
        runs_out=runs_out,
        costs=costs,
        fabric_cost=sum(known, Decimal(0)) if complete and known else None,
        price_per_kit=price,
        minutes=minutes,
        bag_labels=resolved.bag_labels,
        piece_labels=resolved.piece_labels,
        not_complete=not_complete,
        problems=tuple(said),
    )


def _fabric_plan(entry: _Entry, shop: Shop) -> FabricPlan:
    if entry.per_kit is None or entry.per_kit.amount is None or entry.total is None:
        raise ValueError(f"{entry.label} was not planned")
    return FabricPlan(
        role=entry.fabric.role,
        colorway=entry.colorway.name,
        sku=entry.sku,
        group=entry.group,
        print_name=entry.print_name,
        form=entry.form,
        bag=entry.bag,
        kits=entry.kits,
        per_kit=entry.per_kit.amount,
        total=entry.total,
        job=entry.job,
        cut_with=entry.cut_with,
        cost=entry.cost,
        price=price_of(entry.cost, shop),
    )


def _minutes(fabrics: Sequence[FabricPlan], shop: Shop) -> Fraction:
    """Minutes at the shop's table: cutting jobs once each, a pull a bag for uncut fabrics."""
    seconds = Fraction(0)
    counted: Counter[int] = Counter()
    for fabric in fabrics:
        if fabric.bag is Bag.PIECES and fabric.job is not None:
            counted[id(fabric.job)] += 1
            if counted[id(fabric.job)] == 1:
                seconds += fabric.job.minutes * 60
            continue
        seconds += shop.seconds_per_pull
        if fabric.form.by_length:
            seconds += fabric.kits * (shop.seconds_per_cut + shop.seconds_per_setting)
    return seconds / 60
