"""A class as it is filled in: the words in the page's fields, to a class sheet and back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from kitmaker.errors import Location, Problem, Problems
from kitmaker.shop import Bag, ClassSheet, Colorway, FabricChoice, InKit, fold_role
from kitmaker.shopbooks.class_edits import bag_of, facts_of

FACTS = tuple(facts_of(ClassSheet()))
"""The labels of the Class sheet, in the order in which they are asked for."""
_MOST_KITS = 100_000
_NOWHERE = Location("")


@dataclass(frozen=True, slots=True)
class TypedColorway:
    """One colorway: its name, its kits, and the SKU for each fabric, folded."""

    name: str
    kits: str
    skus: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class TypedBag:
    """What is chosen for one fabric: in kit, form, bag; each "" where nothing is."""

    in_kit: str = ""
    form: str = ""
    bag: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What the fields hold."""

    facts: Mapping[str, str]  # by the labels of the Class sheet
    colorways: tuple[TypedColorway, ...] = ()  # in order
    fabrics: Mapping[str, TypedBag] = field(default_factory=dict)  # by fabric, folded


def typed_of(sheet: ClassSheet) -> Typed:
    """Return a class sheet as the fields show it."""
    return Typed(
        facts={label: _said(value) for label, value in facts_of(sheet).items()},
        colorways=tuple(
            TypedColorway(colorway.name, _said(colorway.kits), dict(colorway.skus))
            for colorway in sheet.colorways
        ),
        fabrics={
            fold_role(fabric.role): TypedBag(*map(_said, bag_of(fabric)))
            for fabric in sheet.fabrics
        },
    )


def _said(value: str | int | None) -> str:
    return "" if value is None else str(value)


def typed_in(form: Mapping[str, str]) -> Typed:
    """Return what a browser sends of the fields."""
    count = 0
    while f"colorway-{count}-name" in form:
        count += 1
    keys = [name.removeprefix("in_kit-") for name in form if name.startswith("in_kit-")]
    return Typed(
        facts={label: _clean(form.get(label, "")) for label in FACTS},
        colorways=tuple(
            TypedColorway(
                _clean(form.get(f"colorway-{at}-name", "")),
                _clean(form.get(f"colorway-{at}-kits", "")),
                {
                    name.removeprefix(f"sku-{at}-"): _clean(value)
                    for name, value in form.items()
                    if name.startswith(f"sku-{at}-")
                },
            )
            for at in range(count)
        ),
        fabrics={
            key: TypedBag(
                *(_clean(form.get(f"{part}-{key}", "")) for part in ("in_kit", "form", "bag"))
            )
            for key in keys
        },
    )


def _clean(text: str) -> str:
    return " ".join("".join(char if char.isprintable() else " " for char in text).split())


def sheet_of(typed: Typed, roles: Mapping[str, str]) -> tuple[ClassSheet, list[Problem]]:
    """Return the class sheet that was typed, and what cannot be taken for sure."""
    said = Problems()
    facts = typed.facts
    sheet = ClassSheet(
        title=facts["Title"],
        date=facts["Date"],
        teacher=facts["Teacher"],
        bring=facts["Bring"],
        kits=_number(facts["Kits"], "Kits", 1, said),
        spare_kits=_number(facts["Spare kits"], "Spare kits", 0, said),
        size=facts["Size"] or None,
        pattern_file=facts["Pattern file"] or None,
        colorways=tuple(_colorways(typed.colorways, roles, said)),
        fabrics=tuple(
            FabricChoice(
                role=roles.get(key, key),
                in_kit=InKit(fabric.in_kit) if fabric.in_kit in list(InKit) else None,
                form=fabric.form or None,
                bag=Bag(fabric.bag) if fabric.bag in list(Bag) else None,
                where=_NOWHERE,
            )
            for key, fabric in typed.fabrics.items()
        ),
    )
    if not sheet.title:
        said.refuse("the class has no title", None, "Type what it is called beside Title.")
    return sheet, said


def _number(text: str, label: str, least: int, problems: Problems) -> int | None:
    if not text:
        return None
    if text.isdecimal() and least <= int(text) <= _MOST_KITS:
        return int(text)
    problems.refuse(
        f"'{text}' beside {label} is not a whole number of {least} or more", None, "Type it again."
    )
    return None


def _colorways(
    typed: Iterable[TypedColorway], roles: Mapping[str, str], problems: Problems
) -> Iterable[Colorway]:
    names: set[str] = set()
    for at, one in enumerate(typed, start=1):
        skus = {key: sku for key, sku in one.skus.items() if sku}
        if not skus:
            if one.kits:
                problems.refuse(
                    f"no SKU is chosen for '{one.name}'", None, "Choose one for each fabric."
                )
            continue
        if not fold_role(one.name):
            problems.refuse(f"colorway {at} has no name", None, "Type one, such as blue.")
        elif fold_role(one.name) in names:
            problems.refuse(
                f"two colorways are called '{one.name}'", None, "Give one another name."
            )
        names.add(fold_role(one.name))
        yield Colorway(
            name=one.name,
            kits=_number(one.kits, f"Kits of {one.name}", 1, problems),
            skus=skus,
            roles={key: roles.get(key, key) for key in skus},
        )
