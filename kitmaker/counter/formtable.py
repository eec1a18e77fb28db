"""Each fabric in each form, with money: to compare, and to choose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from flask import Response, request

from kitmaker import api
from kitmaker.choosing import FabricOptions, Option
from kitmaker.commands.convert import say_proof
from kitmaker.counter import classes
from kitmaker.counter.desk import Desk, ShopChoice
from kitmaker.counter.links import go_to, link
from kitmaker.counter.readings import read_in_size
from kitmaker.counter.refusals import status_of
from kitmaker.counter.tasks import FormsTask
from kitmaker.errors import OutputError, Problem, UsageError
from kitmaker.kits.choices import Options, resolve
from kitmaker.paper.sheets.saying import say_left_over, say_minutes, say_money
from kitmaker.pattern import PatternReading
from kitmaker.shop import ClassReading, ClassSheet, FabricChoice, figures_of, fold_role

_SHOWN_WITHOUT_COST = 4
"""How many forms are shown at once where no cost is known; the rest can be opened."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormRow:
    """A fabric in one form."""

    value: str  # what choosing it saves
    form: str  # its name
    buy: str  # how much of it one kit takes
    proof: str  # whether less would do
    cost: str  # of one kit, with the currency; "" unknown
    amount: str  # the cost as a number, for adding up; "" unknown
    more: str  # its price, what is left over, minutes at the table
    is_chosen: bool  # whether it is the one in force


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricForms:
    """A fabric with the forms it can go into a kit in."""

    field: str  # the name of its choice in the page's form
    role: str  # the fabric
    rows: tuple[FormRow, ...]  # those that fit, the cheapest first
    more_rows: tuple[FormRow, ...]  # those that fit besides, of little use: their cost is not known
    any_cost: bool  # whether the cost of any of them is known
    wont_fit: tuple[tuple[str, str], ...]  # those that do not, (form, why)
    chosen: str  # what is in force, in words; "" where nothing is chosen


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """The pattern whose forms are looked at, and the class they are chosen for, if any."""

    pattern: PatternReading
    file: str
    class_file: str
    reading: ClassReading | None
    shop: ShopChoice
    shop_name: str

    @property
    def address(self) -> str:
        """Where this table is shown."""
        of_class = {"class": self.class_file} if self.class_file else {}
        rest = {} if self.class_file else {"pattern": self.file, "size": self.size}
        return link("/forms", **of_class, **rest, shop=self.shop_name)

    @property
    def size(self) -> str:
        """The size; "" where there is one only."""
        return self.pattern.pattern.size or ""


def _asked(desk: Desk, named: Mapping[str, str], shop: ShopChoice) -> _Asked:
    class_file, pattern, size = (named.get(name, "") for name in ("class", "pattern", "size"))
    reading = desk.read_class(class_file, shop.reading) if class_file else None
    if reading is not None:
        pattern = reading.class_sheet.pattern_file or ""
        size = reading.class_sheet.size or ""
    if not pattern:
        raise UsageError("The class names no pattern. Type it beside Pattern file, and save.")
    return _Asked(
        pattern=read_in_size(desk, pattern, size, shop.reading),
        file=pattern,
        class_file=class_file,
        reading=reading,
        shop=shop,
        shop_name=desk.shop_to_name(shop),
    )


def show(desk: Desk) -> str:
    """Show the table, or offer to work it out."""
    shop = desk.shop_for(request.args.get("shop", ""), request.args.get("class", ""))
    if shop.asked_of:
        return classes.ask_which_shop(desk, shop, request.args)
    return _page(desk, _asked(desk, request.args, shop))


def _page(desk: Desk, asked: _Asked, problems: tuple[Problem, ...] = ()) -> str:
    key = desk.forms_key(asked.file, asked.size or None, asked.shop.reading)
    options = desk.forms_of(key)
    sign = figures_of(asked.shop.reading).currency
    chosen = {} if options is None else _chosen(asked)
    title = f"{asked.pattern.pattern.name}: forms and money"
    return desk.render(
        "forms",
        desk.head(title, shop=asked.shop, problems=problems),
        pattern=asked.file,
        class_file=asked.class_file,
        digest=asked.reading.digest if asked.reading is not None else "",
        shop=asked.shop_name,
        size=asked.size,
        currency=sign,
        fabrics=None if options is None else [_fabric(one, chosen, sign) for one in options],
    )


def _chosen(asked: _Asked) -> dict[str, str]:
    """Return the form in force for each fabric that is in the kit, by its folded name."""
    sheet = asked.reading.class_sheet if asked.reading is not None else ClassSheet()
    try:
        resolved = resolve(
            asked.pattern.pattern,
            figures_of(asked.shop.reading),
            replace(sheet, colorways=()),
            Options(),
        )
    except UsageError:
        return {}
    return {fold_role(fabric.fabric.role): fabric.form.form_id for fabric in resolved.fabrics}


def _fabric(fabric_options: FabricOptions, chosen: dict[str, str], sign: str) -> FabricForms:
    key = fold_role(fabric_options.fabric.role)
    taken = chosen.get(key, "")
    rows = [_row(option, taken, sign) for option in fabric_options.ranked]
    any_cost = any(row.cost for row in rows)
    first = [
        row
        for at, row in enumerate(rows)
        if row.is_chosen or (row.cost if any_cost else at < _SHOWN_WITHOUT_COST)
    ]
    in_force = next((row for row in rows if row.is_chosen), None)
    return FabricForms(
        field=f"form-{key}",
        role=fabric_options.fabric.role,
        rows=tuple(first),
        more_rows=tuple(row for row in rows if row not in first),
        any_cost=any_cost,
        wont_fit=tuple((option.form.name, option.in_the_way) for option in fabric_options.wont_fit),
        chosen="" if in_force is None else _say(in_force),
    )


def _say(row: FormRow) -> str:
    return "; ".join(part for part in (row.buy, row.cost, row.proof) if part)


def _row(option: Option, taken: str, sign: str) -> FormRow:
    amount = option.amount
    proof = "" if amount is None else say_proof(amount)
    if option.feasible is None:
        proof = option.why
    more = []
    if option.price is not None:
        more.append(f"sells for {say_money(option.price, sign)}")
    if option.left_over is not None:
        more.append(say_left_over(option.left_over))
    if option.minutes is not None:
        more.append(say_minutes(option.minutes))
    return FormRow(
        value=option.form.form_id,
        form=option.form.name,
        buy="" if amount is None else amount.buy,
        proof=proof,
        cost="" if option.cost is None else say_money(option.cost, sign),
        amount="" if option.cost is None else f"{option.cost:.4f}",
        more="; ".join(more),
        is_chosen=option.form.form_id == taken,
    )


def work_out(desk: Desk) -> Response | str:
    """Work the table out in a process of its own, or save what was chosen from it."""
    form = request.form
    shop = desk.shop_for(form.get("shop", ""), form.get("class", ""))
    asked = _asked(desk, form, shop)
    if form.get("do") == "choose" and asked.reading is not None:
        try:
            return _choose(desk, asked, asked.reading)
        except OutputError as fault:
            return Response(_page(desk, asked, fault.problems), status=status_of(fault))
    path = desk.folder.find(asked.file)
    run = desk.runs.start(
        FormsTask(
            pattern=path,
            size=asked.size or None,
            shop=desk.folder.find(shop.name) if shop.name else None,
        ),
        title=f"{asked.pattern.pattern.name} in each form",
        back=asked.address,
        steps=len(asked.pattern.pattern.fabrics) + 1,
        key=desk.forms_key(asked.file, asked.size or None, shop.reading),
    )
    return go_to(f"/runs/{run.name}")


def _choose(desk: Desk, asked: _Asked, reading: ClassReading) -> Response:
    """Save the chosen forms in the class's workbook."""
    sheet = reading.class_sheet
    rows = {fold_role(one.role): one for one in sheet.fabrics}
    before = _chosen(asked)
    for fabric in asked.pattern.pattern.fabrics:
        key = fold_role(fabric.role)
        form = request.form.get(f"form-{key}", "")
        if form and form != before.get(key):
            row = rows.get(key) or FabricChoice(role=fabric.role, where=fabric.where)
            rows[key] = replace(row, form=form)
    made = replace(sheet, fabrics=tuple(rows.values()))
    with desk.folder.saving:
        path = desk.folder.find(asked.class_file)
        api.write_class(made, path, over=request.form.get("digest", ""))
    return go_to(link("/class", file=asked.class_file, shop=asked.shop_name, saved="yes"))
