"""What a class, the options, the pattern and the shelf say of one another that cannot be.

Each contradiction is told with the cell to mend; nothing is corrected here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitmaker.errors import Location, Problem, error
from kitmaker.kits.shelf import rows_of
from kitmaker.pattern import Fabric, Pattern
from kitmaker.shop import ClassSheet, Colorway, Shop, fold_role


def check_roles(
    pattern: Pattern, class_sheet: ClassSheet, asked: Sequence[tuple[str, str | None]]
) -> Iterator[Problem]:
    """Yield every fabric that is named and that the pattern does not have.

    Asked are (option, the fabric it names; None where it holds for all).
    """
    known = {fold_role(fabric.role) for fabric in pattern.fabrics}
    advice = f"The pattern's fabrics are: {', '.join(fabric.role for fabric in pattern.fabrics)}."
    for option, role in asked:
        if role is not None and fold_role(role) not in known:
            message = f"{option} names the fabric '{role}', which the pattern does not have"
            yield error(message, None, advice)
    for row in class_sheet.fabrics:
        if fold_role(row.role) not in known:
            message = f"the class names the fabric '{row.role}', which the pattern does not have"
            yield error(message, row.where, advice)
    for colorway in class_sheet.colorways:
        for key in colorway.skus:
            if key not in known:
                yield error(
                    f"the colorway '{colorway.name}' fills the fabric "
                    f"'{colorway.roles.get(key, key)}', which the pattern does not have",
                    _cell(colorway, colorway.role_cells.get(key)),
                    advice,
                )


def check_colorways(
    colorways: Sequence[Colorway], fabrics: Sequence[Fabric], shop: Shop
) -> Iterator[Problem]:
    """Yield what keeps colorways from being made."""
    for colorway in colorways:
        if not colorway.kits:
            yield error(
                f"the colorway '{colorway.name}' has no kits",
                colorway.where,
                "Type how many kits of it are made, or delete its rows.",
            )
        for fabric in fabrics:
            yield from _check_filled(colorway, fabric, shop)


def _check_filled(colorway: Colorway, fabric: Fabric, shop: Shop) -> Iterator[Problem]:
    key = fold_role(fabric.role)
    sku = colorway.skus.get(key)
    if sku is None:
        yield error(
            f"the colorway '{colorway.name}' does not say which fabric fills "
            f"'{fabric.role}' ({fabric.where})",
            colorway.where,
            f"Add a row with the fabric {fabric.role} and its SKU to the Colorways sheet.",
        )
    elif shop.stock is not None and not rows_of(shop, sku):
        yield error(
            f"the colorway '{colorway.name}' fills '{fabric.role}' with the SKU "
            f"'{sku}', which the Stock sheet of {shop.workbook} does not have",
            _cell(colorway, colorway.cells.get(key)),
            "Correct the SKU, or add it to the Stock sheet (0 at hand if it is out).",
        )


def _cell(colorway: Colorway, cell: str | None) -> Location | None:
    """Return a cell of the Colorways sheet; that of the colorway's name where it is not known."""
    if colorway.where is None or not cell:
        return colorway.where
    return Location(colorway.where.workbook, colorway.where.sheet, cell)
