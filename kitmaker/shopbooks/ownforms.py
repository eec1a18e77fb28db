"""The shop's own forms: a remnant, a pack of rectangles, its own idea of a fat quarter.

A form whose name is a built-in one's replaces it, and takes over what its row leaves
blank; any other needs a size. The usable size is never more than the nominal one.
"""

from __future__ import annotations

from typing import TypeAlias

from kitmaker.errors import Problems, has_errors
from kitmaker.forms import Catalogue, Form, UnknownFormError, form_id_of
from kitmaker.lengths import Length, Unit, say_length
from kitmaker.reading.grid import Sheet
from kitmaker.reading.tables import Headings, TableRow
from kitmaker.shopbooks.ledger import data_rows, measure_under, money, read_table, whole

FORM_HEADINGS: Headings = {
    "Form": ("Forms", "Form name"),
    "Nominal width": (),
    "Nominal length": (),
    "Usable width": (),
    "Usable length": (),
    "Cost": (),
    "Price": (),
    "Bundle count": ("Bundle", "In a bundle"),
    "Notes": ("Note", "Remarks", "Comments", "Description"),
}

_Sizes: TypeAlias = dict[str, Length | None]
_FullSize: TypeAlias = tuple[Length, Length | None, Length, Length | None]
"""Nominal across and along, usable across and along."""
_SIZE_KEYS = ("Nominal width", "Nominal length", "Usable width", "Usable length")


def read_own_forms(sheet: Sheet, unit: Unit, problems: Problems) -> tuple[Form, ...]:
    """Read the Forms sheet.

    A form with an error is left out; bare sizes are in the unit.
    """
    table = read_table(sheet, FORM_HEADINGS, problems, required=("Form",))
    if table is None:
        return ()
    forms: dict[str, Form] = {}
    for row in data_rows(table, problems):
        form = _read_form(row, unit, problems)
        if form is None:
            continue
        if form.form_id in forms:
            problems.refuse(
                f"the form '{row.text('Form')}' stands there twice",
                row.cell("Form").location,
                "Keep one row of it.",
            )
            continue
        forms[form.form_id] = form
    return tuple(forms.values())


def _read_form(row: TableRow, unit: Unit, problems: Problems) -> Form | None:
    name_cell = row.cell("Form")
    name = row.text("Form")
    if not any(char.isalnum() for char in name):
        problems.refuse("a form needs a name here", name_cell.location, "Type what one is called.")
        return None
    faults = Problems()
    replaced = _built_in(name)
    sizes = _read_sizes(row, unit, faults)
    bundle = whole(row.cell("Bundle count"), faults, what="bundle count")
    cost = money(row.cell("Cost"), faults, what="cost")
    price = money(row.cell("Price"), faults, what="price")
    problems += faults
    if has_errors(faults):
        return None
    full = _filled_sizes(row, sizes, replaced, problems)
    if full is None:
        return None
    nominal_across, nominal_along, usable_across, usable_along = full
    plural = name if name[-1:].casefold() == "s" or name[-1:].isnumeric() else f"{name}s"
    return Form(
        form_id=replaced.form_id if replaced else form_id_of(name),
        name=replaced.name if replaced else name,
        plural=replaced.plural if replaced else plural,
        nominal_across=nominal_across,
        nominal_along=nominal_along,
        usable_across=usable_across,
        usable_along=usable_along,
        full_size_only_if_measured=usable_along is not None
        and (usable_across, usable_along) == (nominal_across, nominal_along),
        bundle_count=bundle,
        cost=cost,
        price=price,
        own=True,
    )


def _built_in(name: str) -> Form | None:
    try:
        return Catalogue().find(name)
    except UnknownFormError:
        return None


def _read_sizes(row: TableRow, unit: Unit, problems: Problems) -> _Sizes:
    sizes: _Sizes = {}
    for key in _SIZE_KEYS:
        sizes[key] = measure_under(row, key, unit, problems)
    for nominal, usable in (_SIZE_KEYS[::2], _SIZE_KEYS[1::2]):
        most, least = sizes[nominal], sizes[usable]
        if most is not None and least is not None and least > most:
            problems.refuse(
                f"the {usable.lower()} {say_length(least, unit)} is more than the "
                f"{nominal.lower()} {say_length(most, unit)}",
                row.cell(usable).location,
                f"Type at most {say_length(most, unit)}.",
            )
    return sizes


def _filled_sizes(
    row: TableRow, sizes: _Sizes, replaced: Form | None, problems: Problems
) -> _FullSize | None:
    """Return the sizes, what is blank taken from the built-in form or from each other."""
    if replaced is not None and replaced.by_length:
        return _by_length_sizes(row, sizes, replaced, problems)
    across = _pair(sizes["Nominal width"], sizes["Usable width"])
    along = _pair(sizes["Nominal length"], sizes["Usable length"])
    if replaced is not None and replaced.nominal_along and replaced.usable_along:
        across = across or (replaced.nominal_across, replaced.usable_across)
        along = along or (replaced.nominal_along, replaced.usable_along)
    if across is None or along is None:
        missing = "width" if across is None else "length"
        problems.refuse(
            f"the form '{row.text('Form')}' has no {missing}",
            row.cell(f"Nominal {missing}").location,
            f"Type its nominal {missing} and the size that is left after squaring up.",
        )
        return None
    counted_whole = [key for key in ("Usable width", "Usable length") if _only_nominal(sizes, key)]
    if counted_whole:
        problems.warn(
            f"the form '{row.text('Form')}' states no "
            f"{' and no '.join(counted_whole).lower()}; the nominal size is used",
            row.cell("Form").location,
            "Type the size that is left after squaring up.",
        )
    return across[0], along[0], across[1], along[1]


def _only_nominal(sizes: _Sizes, usable: str) -> bool:
    return sizes[usable] is None and sizes[usable.replace("Usable", "Nominal")] is not None


def _pair(nominal: Length | None, usable: Length | None) -> tuple[Length, Length] | None:
    first = nominal if nominal is not None else usable
    second = usable if usable is not None else nominal
    return (first, second) if first is not None and second is not None else None


def _by_length_sizes(
    row: TableRow, sizes: _Sizes, replaced: Form, problems: Problems
) -> _FullSize | None:
    for key in ("Nominal length", "Usable length"):
        if sizes[key] is not None:
            problems.refuse(
                f"{replaced.name} is sold by length and has no length of its own",
                row.cell(key).location,
                "Empty this cell, or give the form another name.",
            )
            return None
    across = _pair(sizes["Nominal width"], sizes["Usable width"])
    nominal, usable = across or (replaced.nominal_across, replaced.usable_across)
    return nominal, None, usable, None
