"""A class: filled in, saved in its workbook, and planned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from flask import Response, request

from kitmaker import api
from kitmaker.counter.classforms import FACTS, Typed, TypedColorway, sheet_of, typed_in
from kitmaker.counter.classpage import class_page, open_class, resolved_of
from kitmaker.counter.desk import Desk, ShopChoice
from kitmaker.counter.links import go_to, link
from kitmaker.counter.refusals import MissingError, OutsideError, status_of
from kitmaker.counter.tasks import PlanTask
from kitmaker.errors import ChangedError, KitmakerError, OutputError, error, warning
from kitmaker.kits.choices import Resolved
from kitmaker.paper.folder import safe_folder_name
from kitmaker.shop import Bag, ClassSheet


def ask_which_shop(desk: Desk, shop: ShopChoice, asked: Mapping[str, str]) -> str:
    """Ask which of several shop workbooks is meant."""
    return desk.render(
        "ask_shop",
        desk.head("Which shop’s workbook?", shop=shop),
        shops=shop.asked_of,
        kept={name: value for name, value in asked.items() if name != "shop"},
        address=request.path,
    )


def show(desk: Desk) -> Response | str:
    """Show a class as its workbook has it now."""
    file = request.args.get("file", "")
    desk.folder.find(file)
    shop = desk.shop_for(request.args.get("shop", ""), file)
    if shop.asked_of:
        return ask_which_shop(desk, shop, request.args)
    return class_page(
        desk, open_class(desk, file, shop), notice="Saved." if "saved" in request.args else ""
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
    made = open_class(desk, "", shop, typed)
    if made.fault is not None and facts["Pattern file"]:
        raise made.fault
    if made.pattern is not None:
        facts["Title"] = made.pattern.pattern.name
    return class_page(desk, made)


def save(desk: Desk) -> Response | str:
    """Save a class, and plan it where that is asked for."""
    form = request.form
    file, what = form.get("file", ""), form.get("do", "save")
    shop = desk.shop_for(form.get("shop", ""), file)
    typed = typed_in(form)
    if what in ("colorway", "fabrics"):
        if what == "colorway" or not typed.colorways:
            typed = _with_colorway(typed)
        return class_page(desk, open_class(desk, file, shop, typed), digest=form.get("digest"))
    try:
        made = open_class(desk, file, shop, typed)
    except MissingError as fault:
        return _changed(desk, file, shop, typed, fault)
    if isinstance(made.fault, OutsideError):
        raise made.fault
    sheet, problems = sheet_of(typed, made.roles)
    if problems:
        page = class_page(desk, made, problems, digest=form.get("digest"))
        return Response(page, status=422)
    try:
        saved = _write(desk, file, form.get("digest", ""), sheet, shop)
    except (ChangedError, MissingError) as fault:
        return _changed(desk, file, shop, typed, fault)
    except OutputError as fault:
        page = class_page(desk, made, fault.problems, digest=form.get("digest"))
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
        now = open_class(desk, file, shop)
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
    return Response(class_page(desk, now, problems), status=409)


def _plan(desk: Desk, file: str, shop: ShopChoice, *, leave_out: bool) -> Response:
    """Start the planning of a class that is saved."""
    made = open_class(desk, file, desk.shop_for(shop.name, file))
    address = link("/class", file=file, shop=desk.shop_to_name(shop))
    resolved = resolved_of(made)
    if made.fault is not None or not isinstance(resolved, Resolved):
        return go_to(address)  # the page says what is wrong
    steps = 3 + len(resolved.fabrics) * len(resolved.colorways)
    steps += sum(1 for fabric in resolved.fabrics if fabric.bag is Bag.PIECES)
    run = desk.runs.start(
        PlanTask(
            class_file=desk.folder.find(file),
            shop=desk.folder.find(shop.name) if shop.name else None,
            leave_out_unread=leave_out,
        ),
        title=made.typed.facts["Title"] or file,
        back=address,
        steps=steps,
    )
    return go_to(f"/runs/{run.name}")
