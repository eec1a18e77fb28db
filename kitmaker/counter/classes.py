"""A class: filled in, saved in its workbook, and planned."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace

from flask import Response, request

from kitmaker import api
from kitmaker.counter.classforms import FACTS, Typed, TypedColorway, sheet_of, typed_in, typed_of
from kitmaker.counter.desk import Desk, ShopChoice
from kitmaker.counter.links import go_to, link
from kitmaker.counter.readings import try_to_read
from kitmaker.counter.refusals import MissingError, OutsideError, status_of
from kitmaker.counter.tasks import PlanTask
from kitmaker.counter.views import (
    AskShopView,
    BagFields,
    Choice,
    ClassView,
    ColorwayFields,
    SkuField,
)
from kitmaker.errors import (
    ChangedError,
    KitmakerError,
    OutputError,
    Problem,
    UsageError,
    error,
    has_errors,
    warning,
)
from kitmaker.forms import UnknownFormError
from kitmaker.kits.choices import Options, Resolved, resolve
from kitmaker.lengths import say_off_the_bolt
from kitmaker.paper.cell_edits import why_not_edited
from kitmaker.paper.folder import safe_folder_name
from kitmaker.pattern import PatternReading, Use
from kitmaker.shop import Bag, ClassReading, ClassSheet, Shop, StockRow, figures_of, fold_role


@dataclass(frozen=True, slots=True, kw_only=True)
class _Open:
    """A class with all that its page is made of.

    Attributes:
        file: Its workbook; "" for a new class.
        digest: Of the workbook; "".
        shop: The shop.
        typed: What the fields hold.
        reading: What was read of the workbook; None for a new class.
        pattern: What was read of the pattern; None where it could not be.
        fault: Why it could not be.
    """

    file: str
    digest: str
    shop: ShopChoice
    typed: Typed
    reading: ClassReading | None
    pattern: PatternReading | None
    fault: KitmakerError | None

    @property
    def roles(self) -> dict[str, str]:
        """The fabrics by their folded names: the pattern's, then what else the class names."""
        found: dict[str, str] = {}
        if self.pattern is not None:
            for fabric in self.pattern.pattern.fabrics:
                if fabric.use is not Use.BATTING:
                    found.setdefault(fold_role(fabric.role), fabric.role)
        if self.reading is not None:
            sheet = self.reading.class_sheet
            for colorway in sheet.colorways:
                for key, role in colorway.roles.items():
                    found.setdefault(key, role)
            for one in sheet.fabrics:
                found.setdefault(fold_role(one.role), one.role)
        return found


def ask_which_shop(desk: Desk, shop: ShopChoice, asked: Mapping[str, str]) -> str:
    """Ask which of several shop workbooks is meant."""
    return desk.render(
        "ask_shop",
        AskShopView(
            head=desk.head("Which shop’s workbook?", shop=shop),
            shops=shop.asked_of,
            kept=tuple((name, value) for name, value in asked.items() if name != "shop"),
            address=request.path,
        ),
    )


def show(desk: Desk) -> Response | str:
    """Show a class as its workbook has it now."""
    file = request.args.get("file", "")
    desk.folder.find(file)
    shop = desk.shop_for(request.args.get("shop", ""), file)
    if shop.asked_of:
        return ask_which_shop(desk, shop, request.args)
    return _page(
        desk, _opened(desk, file, shop), notice="Saved." if "saved" in request.args else ""
    )


def _opened(desk: Desk, file: str, shop: ShopChoice, typed: Typed | None = None) -> _Open:
    """Open a class: as its workbook has it, or with what was typed instead."""
    reading = desk.read_class(file, shop.reading) if file else None
    fields = typed or typed_of(reading.class_sheet if reading is not None else ClassSheet())
    named = fields.facts["Pattern file"]
    if named:
        pattern, fault = try_to_read(desk, named, fields.facts["Size"], shop.reading)
    else:
        pattern, fault = (
            None,
            UsageError("The class names no pattern. Type it beside Pattern file."),
        )
    return _Open(
        file=file,
        digest=reading.digest if reading is not None else "",
        shop=shop,
        typed=fields,
        reading=reading,
        pattern=pattern,
        fault=fault,
    )


def new(desk: Desk) -> Response | str:
    """Show a new class for a pattern, with the forms that were chosen for it."""
    shop = desk.shop_for(request.args.get("shop", ""))
    if shop.asked_of:
        return ask_which_shop(desk, shop, request.args)
    facts = dict.fromkeys(FACTS, "")
    facts["Pattern file"] = request.args.get("pattern", "")
    facts["Size"] = request.args.get("size", "")
    chosen = {
        name.removeprefix("form-"): value
        for name, value in request.args.items()
        if name.startswith("form-") and value
    }
    typed = typed_in({**{f"in_kit-{key}": "" for key in chosen}, **request.args})
    typed = replace(typed, facts=facts, colorways=())
    if shop.reading is not None and facts["Pattern file"]:
        typed = _with_colorway(typed)
    made = _opened(desk, "", shop, typed)
    if made.fault is not None and facts["Pattern file"]:
        raise made.fault
    if made.pattern is not None:
        facts["Title"] = made.pattern.pattern.name
    return _page(desk, made)


def save(desk: Desk) -> Response | str:
    """Save a class, and plan it where that is asked for."""
    form = request.form
    file, what = form.get("file", ""), form.get("do", "save")
    shop = desk.shop_for(form.get("shop", ""), file)
    typed = typed_in(form)
    if what in ("colorway", "fabrics"):
        if what == "colorway" or not typed.colorways:
            typed = _with_colorway(typed)
        return _page(desk, _opened(desk, file, shop, typed), digest=form.get("digest"))
    try:
        made = _opened(desk, file, shop, typed)
    except MissingError as fault:
        return _changed(desk, file, shop, typed, fault)
    if isinstance(made.fault, OutsideError):
        raise made.fault
    sheet, problems = sheet_of(typed, made.roles)
    if problems:
        page = _page(desk, made, problems, digest=form.get("digest"))
        return Response(page, status=422)
    try:
        saved = _write(desk, file, form.get("digest", ""), sheet, shop)
    except (ChangedError, MissingError) as fault:
        return _changed(desk, file, shop, typed, fault)
    except OutputError as fault:
        page = _page(desk, made, fault.problems, digest=form.get("digest"))
        return Response(page, status=status_of(fault))
    if what == "plan":
        return _plan(desk, saved, shop, leave_out="leave_out" in form)
    return go_to(link("/class", file=saved, shop=form.get("shop", ""), saved="yes"))


def _with_colorway(typed: Typed) -> Typed:
    more = TypedColorway(f"Colorway {len(typed.colorways) + 1}", "", {})
    return replace(typed, colorways=(*typed.colorways, more))


def _write(desk: Desk, file: str, digest: str, sheet: ClassSheet, shop: ShopChoice) -> str:
    """Write the workbook; return its name."""
    with desk.folder.saving:
        if not file:
            file = desk.folder.free_name(f"{safe_folder_name(sheet.title, '')}-class", ".xlsx")
            api.write_class(sheet, desk.folder.path_of(file), shop=shop.reading)
            return file
        api.write_class(sheet, desk.folder.find(file), over=digest)
    return file


def _changed(
    desk: Desk, file: str, shop: ShopChoice, typed: Typed, fault: KitmakerError
) -> Response:
    """Show a workbook anew that was changed meanwhile, and what was typed and is not saved."""
    try:
        now = _opened(desk, file, shop)
    except MissingError:
        raise ChangedError(
            f"'{file}' was taken away or renamed since this page was opened, so nothing was saved."
        ) from None
    anew = "Below is what it holds now. Type again what you want, and save."
    problems = [error(fault.problems[0].message, None, anew)]
    problems += [
        warning(f"{label} was typed as '{typed.facts[label] or 'nothing'}', and is not saved")
        for label in FACTS
        if typed.facts[label] != now.typed.facts[label]
    ]
    if typed.colorways != now.typed.colorways:
        problems.append(warning("what was chosen for the colorways is not saved either"))
    return Response(_page(desk, now, problems), status=409)


def _plan(desk: Desk, file: str, shop: ShopChoice, *, leave_out: bool) -> Response:
    """Start the planning of a class that is saved."""
    made = _opened(desk, file, desk.shop_for(shop.name, file))
    if made.fault is not None:  # the class's page says what
        return go_to(link("/class", file=file, shop=shop.name))
    resolved = _resolved(made)
    steps = 3
    if isinstance(resolved, Resolved):
        steps += len(resolved.fabrics) * len(resolved.colorways)
        steps += sum(1 for one in resolved.fabrics if one.bag is Bag.PIECES)
    path = desk.folder.find(file)
    run = desk.runs.start(
        PlanTask(
            class_file=path,
            shop=desk.folder.find(shop.name) if shop.name else None,
            leave_out_unread=leave_out,
        ),
        title=made.typed.facts["Title"] or file,
        back=link(
            "/class", file=file, shop=shop.name if len(desk.folder.listing().shops) > 1 else ""
        ),
        steps=steps,
    )
    return go_to(f"/runs/{run.name}")


def _resolved(made: _Open) -> Resolved | tuple[Problem, ...]:
    """Bring class, pattern and shop together; return what contradicts itself instead."""
    if made.pattern is None or made.reading is None:
        return ()
    figures = figures_of(made.shop.reading)
    try:
        return resolve(made.pattern.pattern, figures, made.reading.class_sheet, Options())
    except UsageError as fault:
        return fault.problems


def _page(
    desk: Desk,
    made: _Open,
    problems: list[Problem] | tuple[Problem, ...] = (),
    *,
    notice: str = "",
    digest: str | None = None,
) -> str:
    said, shop = [*problems], made.shop.reading
    if made.fault is not None and (made.file or made.typed.facts["Pattern file"]):
        said += made.fault.problems
    if made.reading is not None and not problems:
        resolved = _resolved(made)
        said += made.reading.problems
        said += [one for one in shop.problems if one.is_error] if shop is not None else []
        said += resolved if isinstance(resolved, tuple) else ()
    roles = made.roles
    listing = desk.folder.listing()
    several = len(listing.shops) > 1
    return desk.render(
        "class",
        ClassView(
            head=desk.head(
                made.typed.facts["Title"] or "New class",
                notice=notice,
                problems=tuple(dict.fromkeys(said)),
                shop=made.shop,
            ),
            file=made.file,
            digest=made.digest if digest is None else digest,
            shop=made.shop.name if several else "",
            facts=dict(made.typed.facts),
            sizes=made.pattern.pattern.sizes if made.pattern is not None else (),
            patterns=_patterns(listing.patterns, made.typed.facts["Pattern file"]),
            colorways=tuple(
                ColorwayFields(
                    name=one.name,
                    kits=one.kits,
                    skus=tuple(
                        _sku_field(f"sku-{at}-{key}", role, one.skus.get(key, ""), made.shop)
                        for key, role in roles.items()
                    ),
                )
                for at, one in enumerate(made.typed.colorways)
            ),
            bags=tuple(_bag_fields(key, role, made) for key, role in roles.items()),
            why_not_saved=_why_not_saved(desk, made.file),
            has_unread=made.pattern is not None and has_errors(made.pattern.problems),
            has_pattern=made.pattern is not None,
        ),
    )


_MOST_PATTERNS = 300
"""More files than these are typed, not chosen from a drop-down."""


def _patterns(names: tuple[str, ...], chosen: str) -> tuple[str, ...]:
    if len(names) > _MOST_PATTERNS:
        return ()
    return tuple(dict.fromkeys(("", *names, *([chosen] if chosen else []))))


def _why_not_saved(desk: Desk, file: str) -> str:
    if not desk.folder.can_be_written:
        return "This folder can only be read, so nothing can be saved or planned in it."
    return why_not_edited(desk.folder.find(file).read_bytes(), file) if file else ""


def _sku_field(field: str, role: str, value: str, shop: ShopChoice) -> SkuField:
    """Return a choice among the SKUs of the shelf, the chosen one always among them."""
    if shop.reading is None or shop.reading.shop.stock is None:
        return SkuField(field=field, role=role, value=value, choices=())
    figures = shop.reading.shop
    labels: dict[str, list[str]] = {}
    for row in figures.stock or ():
        free = _say_free(row, figures)
        labels.setdefault(row.sku, [f"{row.sku} {row.print_name}".strip()]).append(free)
    choices = [
        Choice(value=sku, label=f"{words[0]} – {' + '.join(words[1:])}")
        for sku, words in labels.items()
    ]
    if value and value not in labels:
        same = next((sku for sku in labels if sku.casefold() == value.casefold()), "")
        if not same:
            choices.append(Choice(value=value, label=f"{value} – not on the shelf"))
        value = same or value
    return SkuField(
        field=field, role=role, value=value, choices=(Choice(value="", label="–"), *choices)
    )


def _say_free(row: StockRow, shop: Shop) -> str:
    """Say what of a row of the shelf is promised to nobody: ``9⅞ yd``, ``26 fat quarters``."""
    if row.form is None:
        return say_off_the_bolt(row.free_length, shop.unit)
    with suppress(UnknownFormError):
        return shop.catalogue.find(row.form).count_phrase(row.free_count)
    return f"{row.free_count} {row.form}"


def _bag_fields(key: str, role: str, made: _Open) -> BagFields:
    typed = made.typed.fabrics.get(key)
    catalogue = figures_of(made.shop.reading).catalogue
    forms = [Choice(value=form.form_id, label=form.name) for form in catalogue]
    chosen = typed.form if typed is not None else ""
    if chosen and chosen not in [form.value for form in forms]:
        forms.insert(0, Choice(value=chosen, label=chosen))
    return BagFields(
        key=key,
        role=role,
        in_kit=typed.in_kit if typed is not None else "",
        form=chosen,
        bag=typed.bag if typed is not None else "",
        forms=(Choice(value="", label="as the pattern says"), *forms),
    )
