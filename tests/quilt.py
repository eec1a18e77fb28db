"""Small patterns, shops and classes for tests, built in a few words."""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction as F

from kitmaker.errors import Location
from kitmaker.forms import Catalogue
from kitmaker.pattern import Amount, Direction, Fabric, Pattern, Piece, PieceKind, use_of
from kitmaker.shop import Bag, ClassSheet, Colorway, FabricChoice, Shop, StockRow, fold_role


def at(cell: str, sheet: str = "Pieces") -> Location:
    return Location("pattern.xlsx", sheet, cell)


def piece(name: str, width: object, length: object, quantity: int, **more: object) -> Piece:
    return Piece(
        name=name,
        width=F(str(width)),
        length=F(str(length)),
        quantity=quantity,
        where=at("B2"),
        **more,  # type: ignore[arg-type]
    )


def strip(name: str, width: object, quantity: int) -> Piece:
    return Piece(
        name=name,
        kind=PieceKind.STRIP,
        width=F(str(width)),
        length=None,
        quantity=quantity,
        where=at("B3"),
    )


def one_way(name: str, width: object, length: object, quantity: int) -> Piece:
    return piece(name, width, length, quantity, direction=Direction.ONE_WAY)


def fabric(role: str, *pieces: Piece, yards: object = None, **more: object) -> Fabric:
    amount = None
    if yards is not None:
        quantity = F(str(yards))
        amount = Amount(
            as_written=f"{yards} yd", quantity=quantity, unit="yd", length=quantity * 36
        )
    return Fabric(
        role=role,
        pieces=pieces,
        requirement=amount,
        use=use_of(role),
        where=at("A2", "Fabrics"),
        **more,  # type: ignore[arg-type]
    )


def pattern(*fabrics: Fabric) -> Pattern:
    return Pattern(name="Harbor Lights", fabrics=fabrics)


def bolt(sku: str, yards: object, **more: object) -> StockRow:
    return StockRow(
        sku=sku,
        print_name=f"print {sku}",
        length=F(str(yards)) * 36,
        where=Location("shop.xlsx", "Stock", "A2"),
        **more,  # type: ignore[arg-type]
    )


def on_shelf(sku: str, form: str, count: int, **more: object) -> StockRow:
    return StockRow(
        sku=sku,
        form=form,
        count=count,
        where=Location("shop.xlsx", "Stock", "A9"),
        **more,  # type: ignore[arg-type]
    )


def shop(*stock: StockRow, **more: object) -> Shop:
    rows = stock or None
    return Shop(name="Juniper & Thread Quilt Shop", stock=rows, workbook="shop.xlsx", **more)  # type: ignore[arg-type]


def colorway(name: str, kits: int, **skus: str) -> Colorway:
    return Colorway(
        name=name,
        kits=kits,
        skus={fold_role(role): sku for role, sku in skus.items()},
        where=Location("class.xlsx", "Colorways", "A2"),
    )


def class_sheet(*colorways: Colorway, **more: object) -> ClassSheet:
    return ClassSheet(title="Saturday class", colorways=colorways, **more)  # type: ignore[arg-type]


def choice(
    role: str, form: str | None = None, bag: Bag | None = None, **more: object
) -> FabricChoice:
    return FabricChoice(
        role=role,
        form=form,
        bag=bag,
        where=Location("class.xlsx", "Fabrics", "A2"),
        **more,  # type: ignore[arg-type]
    )


def priced_catalogue(**costs: str) -> Catalogue:
    catalogue = Catalogue()
    own = [
        replace(catalogue.find(name.replace("_", "-")), cost=Decimal(cost))
        for name, cost in costs.items()
    ]
    return catalogue.with_own(own)


FORMS = ("yardage", "fat quarter", "half yard", "5-inch square")


def any_row(dice: random.Random, sku: str, cell: str) -> StockRow:
    """A length or a pile, some of it promised, measured, or of one of two dye lots."""
    form = dice.choice([None, *FORMS[1:]])
    row = StockRow(
        sku=sku,
        form=form,
        dye_lot=dice.choice([None, None, "1", "2"]),
        where=Location("shop.xlsx", "Stock", cell),
    )
    if form is None:
        return replace(
            row,
            length=F(dice.randint(4, 260), 2),
            held_length=F(dice.choice([0, 0, 9])),
            usable_width=dice.choice([None, None, F(83, 2)]),
        )
    row = replace(row, count=dice.randint(0, 30), held_count=dice.choice([0, 0, 3]))
    if form == "fat quarter" and dice.random() < 0.4:
        return replace(row, usable_width=F(20), usable_length=F(33, 2))
    return row


def any_fabric(dice: random.Random, role: str, sku: str) -> Fabric:
    if dice.random() < 0.4:
        width = F(dice.randint(12, 40), 8)
        return fabric(role, strip(role, width, dice.randint(1, 8)), sku=sku)
    sizes = [F(dice.randint(12, 40), 8) for _ in range(4)]
    pieces = [
        piece(f"{role} {at}", width, length, dice.randint(2, 8))
        for at, (width, length) in enumerate(zip(sizes[::2], sizes[1::2], strict=True))
    ]
    return fabric(role, *pieces, sku=sku)
