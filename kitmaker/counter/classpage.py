"""A class as its page shows it: what its workbook says or what was typed, and the choices."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import TypeAlias

from kitmaker.counter.classforms import Typed, TypedBag, typed_of
from kitmaker.counter.desk import Desk, ShopChoice
from kitmaker.counter.readings import try_to_read
from kitmaker.errors import KitmakerError, Problem, UsageError, has_errors
from kitmaker.forms import UnknownFormError
from kitmaker.kits.choices import Options, Resolved, resolve
from kitmaker.lengths import say_off_the_bolt
from kitmaker.paper.cell_edits import why_not_edited
from kitmaker.pattern import PatternReading, Use
from kitmaker.shop import ClassReading, ClassSheet, Shop, StockRow, figures_of, fold_role

Choices: TypeAlias = tuple[tuple[str, str], ...]
"""What a drop-down offers: what each choice saves, and what it is called."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SkuField:
    """Which bolt fills a fabric of a colorway."""

    field: str  # its name in the form
    role: str  # the fabric
    value: str  # the SKU that is chosen; ""
    choices: Choices  # what the shelf has; empty where there is no shelf to choose from


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenClass:
    """A class with all that its page is made of."""

    file: str  # its workbook; "" for a new class
    digest: str  # of the workbook; ""
    shop: ShopChoice  # the shop
    typed: Typed  # what the fields hold
    reading: ClassReading | None  # what was read of the workbook; None for a new class
    pattern: PatternReading | None  # what was read of the pattern; None where it could not be
    fault: KitmakerError | None  # why it could not be

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


def open_class(desk: Desk, file: str, shop: ShopChoice, typed: Typed | None = None) -> OpenClass:
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
    return OpenClass(
        file=file,
        digest=reading.digest if reading is not None else "",
        shop=shop,
        typed=fields,
        reading=reading,
        pattern=pattern,
        fault=fault,
    )


def resolved_of(made: OpenClass) -> Resolved | tuple[Problem, ...]:
    """Bring class, pattern and shop together; return what contradicts itself instead."""
    if made.pattern is None or made.reading is None:
        return ()
    figures = figures_of(made.shop.reading)
    try:
        return resolve(made.pattern.pattern, figures, made.reading.class_sheet, Options())
    except UsageError as fault:
        return fault.problems


def class_page(
    desk: Desk,
    made: OpenClass,
    problems: Sequence[Problem] = (),
    *,
    notice: str = "",
    digest: str | None = None,
) -> str:
    """Return the page of a class.

    Problems say why it was not saved. The digest is that of the workbook as the browser knows
    it; as it is now when None.
    """
    said, shop = [*problems], made.shop.reading
    if made.fault is not None and (made.file or made.typed.facts["Pattern file"]):
        said += made.fault.problems
    if made.reading is not None and not problems:
        resolved = resolved_of(made)
        said += made.reading.problems
        said += (
            [problem for problem in shop.problems if problem.is_error] if shop is not None else []
        )
        said += resolved if isinstance(resolved, tuple) else ()
    roles = made.roles
    return desk.render(
        "class",
        desk.head(
            (made.typed.facts["Title"] or made.file) if made.file else "New class",
            notice=notice,
            problems=tuple(dict.fromkeys(said)),
            shop=made.shop,
        ),
        file=made.file,
        digest=made.digest if digest is None else digest,
        shop=desk.shop_to_name(made.shop),
        facts=made.typed.facts,
        sizes=made.pattern.pattern.sizes if made.pattern is not None else (),
        patterns=_patterns(desk.folder.listing().patterns, made.typed.facts["Pattern file"]),
        colorways=[
            (
                colorway,
                [
                    _sku_field(f"sku-{at}-{key}", role, colorway.skus.get(key, ""), made.shop)
                    for key, role in roles.items()
                ],
            )
            for at, colorway in enumerate(made.typed.colorways)
        ],
        bags=[
            (key, role, made.typed.fabrics.get(key, TypedBag()), _form_choices(key, made))
            for key, role in roles.items()
        ],
        why_not_saved=_why_not_saved(desk, made.file),
        has_unread=made.pattern is not None and has_errors(made.pattern.problems),
        has_pattern=made.pattern is not None,
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
    choices = [("", "–")]
    choices += [(sku, f"{words[0]} – {' + '.join(words[1:])}") for sku, words in labels.items()]
    if value and value not in labels:
        same = next((sku for sku in labels if sku.casefold() == value.casefold()), "")
        if not same:
            choices.append((value, f"{value} – not on the shelf"))
        value = same or value
    return SkuField(field=field, role=role, value=value, choices=tuple(choices))


def _say_free(row: StockRow, shop: Shop) -> str:
    """Say what of a row of the shelf is promised to nobody: ``9⅞ yd``, ``26 fat quarters``."""
    if row.form is None:
        return say_off_the_bolt(row.free_length, shop.unit)
    with suppress(UnknownFormError):
        return shop.catalogue.find(row.form).count_phrase(row.free_count)
    return f"{row.free_count} {row.form}"


def _form_choices(key: str, made: OpenClass) -> Choices:
    catalogue = figures_of(made.shop.reading).catalogue
    forms = {form.form_id: form.name for form in catalogue}
    typed = made.typed.fabrics.get(key, TypedBag()).form
    own = {typed: typed} if typed and typed not in forms else {}
    return tuple(({"": "as the pattern says"} | own | forms).items())
