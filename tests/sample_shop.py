"""The sample shop's workbook, and its class's."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from sample_book import INCHES, MONEY, Book, Cell, Row

STOCK: tuple[Row, ...] = (
    # SKU, print, form, usable width, length at hand, count, held, dye lot, cost, price, order in
    ("JT-101", "Harbor fog", None, 41.5, "13 1/4 yd", None, None, "0611", 5.9, 11.8, "5 yd"),
    ("JT-101", "Harbor fog", None, 41.5, "5 1/2 yd", None, None, "0611", 5.9, 11.8, "5 yd"),
    ("JT-210", "Lantern gold", "fat quarter", None, None, 30, 4, None, 2.6, 5.2, None),
    ("JT-214", "Lantern coral", None, 42, "8 1/4 yd", None, 1, "1702", 6.4, 12.8, None),
    ("JT-221", "Peach lamplight", "fat quarter", None, None, 12, None, None, 2.6, 5.2, 12),
    ("JT-225", "Rose lamplight", None, 42, "6 1/2 yd", None, None, "1705", 6.4, 12.8, None),
    ("JT-330", "Ink solid", None, 41, "15 yd", None, 1.5, "2204", 5.4, 10.8, "5 yd"),
    ("JT-335", "Charcoal solid", None, 41, "12 3/4 yd", None, None, "2210", 5.4, 10.8, "5 yd"),
    ("JT-342", "Night ripple", None, 42, "15 yd", None, None, "3001", 6.4, 12.8, "1 yd"),
    ("JT-342", "Night ripple", None, 42, "9 1/2 yd", None, None, "3018", 6.4, 12.8, "1 yd"),
    ("JT-347", "Sage ripple", None, 42, "9 7/8 yd", None, None, "3007", 6.4, 12.8, "1 yd"),
    ("JT-351", "Pond green", None, 41.5, "11 yd", None, None, "3302", 6.4, 12.8, "1 yd"),
    ("JT-356", "Reeds", None, 42, "14 1/4 yd", None, 2, "3310", 6.4, 12.8, "1 yd"),
    ("JT-360", "Morning sky", None, 42, "13 yd", None, None, "3404", 6.4, 12.8, None),
    ("JT-371", "Apple trees", None, 42, "10 1/8 yd", None, None, "3506", 6.9, 13.8, "1 yd"),
    ("JT-374", "Vine stripe", None, 41, "12 yd", None, None, "3511", 6.9, 13.8, "1 yd"),
    ("JT-400", "Mill pond prints", "fat quarter", None, None, 108, 12, None, 2.6, 5.2, 12),
    ("JT-410", "Umbrella prints", "fat eighth", None, None, 54, None, None, 1.4, 2.8, 12),
    ("JT-812", "Compass rose", None, 42, "15 yd", None, None, "8103", 5.9, 11.8, "5 yd"),
    ("JT-905", "Sorted solids", "square 12", None, None, 40, None, None, 0.9, 1.8, None),
)

COLORS = {
    "JT-101": "#c9d1d3",
    "JT-210": "#d9a441",
    "JT-214": "coral",
    "JT-221": "peachpuff",
    "JT-225": "#d48a94",
    "JT-330": "#1f2433",
    "JT-335": "#3d3d42",
    "JT-342": "midnightblue",
    "JT-347": "#9caf88",
}


def shop(path: Path) -> None:
    """The shop's workbook: its figures, its forms, its shelf."""
    book = Book(path, "Juniper & Thread: shop")
    book.facts(
        "Shop",
        [
            ("Name", "Juniper & Thread Quilt Shop"),
            ("Address", "14 Mill Lane, Harbor Falls"),
            ("Phone", "555-0142"),
            ("Email", "hello@juniperandthread.example"),
            ("Usable width", 40),
            ("Straighten", "1/2 in"),
            ("Re-square", "1/4 in"),
            ("Layers per cut", 4),
            ("Round yardage up to", "1/8 yd"),
            ("Ruler length", 24),
            ("Markup", "100 %"),
            ("Labor per hour", 24),
            ("Kit fee", 6),
            ("Label sheet", "letter-10"),
            ("Piece label sheet", "letter-30"),
            ("Label offset", "0 mm right, 0 mm down"),
            ("Smallest offcut", "2.5 x 5"),
            ("Smallest length back", "1/4 yd"),
            ("Currency", "$"),
        ],
    )
    book.table(
        "Forms",
        (
            "Form",
            "Nominal width",
            "Nominal length",
            "Usable width",
            "Usable length",
            "Cost",
            "Price",
            "Bundle count",
        ),
        [
            ("Fat quarter", 22, 18, 20, 16, 2.6, 5.2, 12),
            ("Remnant", 42, 20, 40, 19, 2.4, 5.5, None),
            ("Square 12", 12, 12, 12, 12, 0.9, 1.8, 20),
        ],
        widths=(16, 15, 15, 14, 14, 9, 9, 14),
        formats={"Cost": MONEY, "Price": MONEY},
    )
    book.table(
        "Stock",
        (
            "SKU",
            "Print",
            "Form",
            "Usable width",
            "Length at hand",
            "Count at hand",
            "Held",
            "Dye lot",
            "Cost",
            "Price",
            "Order in",
            "Color",
        ),
        [(*row, COLORS.get(str(row[0]))) for row in STOCK],
        widths=(10, 20, 13, 14, 15, 14, 8, 10, 8, 8, 9, 14),
        formats={"Cost": MONEY, "Price": MONEY, "Usable width": INCHES, "Held": INCHES},
    )
    book.close()


COLORWAYS: dict[str, tuple[int, dict[str, str]]] = {
    "Dusk": (
        7,
        {
            "Background": "JT-101",
            "Lantern print 1": "JT-210",
            "Lantern print 2": "JT-214",
            "Ironwork": "JT-330",
            "Border": "JT-342",
            "Binding": "JT-342",
            "Backing": "JT-812",
        },
    ),
    "Dawn": (
        5,
        {
            "Background": "JT-101",
            "Lantern print 1": "JT-221",
            "Lantern print 2": "JT-225",
            "Ironwork": "JT-335",
            "Border": "JT-347",
            "Binding": "JT-335",
            "Backing": "JT-812",
        },
    ),
}


def harbor_lanterns_class(path: Path) -> None:
    """A class of twelve in two colorways that share their background."""
    book = Book(path, "Harbor Lanterns: class")
    book.facts(
        "Class",
        [
            ("Title", "Harbor Lanterns in two Saturdays"),
            ("Date", date(2027, 3, 13)),
            ("Teacher", "Wren Halloway"),
            ("Kits", 12),
            ("Spare kits", 0),
            ("Size", "throw"),
            ("Pattern file", "harbor-lanterns.xlsx"),
            ("Bring", "a rotary cutter, a mat, a 24 in ruler, gray thread"),
        ],
    )
    book.table(
        "Colorways",
        ("Colorway", "Kits", "Fabric", "SKU"),
        [
            (name, kits, role, sku)
            for name, (kits, skus) in COLORWAYS.items()
            for role, sku in skus.items()
        ],
        widths=(14, 8, 20, 12),
    )
    book.table(
        "Fabrics",
        ("Fabric", "In kit", "Form", "Bag"),
        [
            ("Background", "yes", "yardage", "pieces"),
            ("Lantern print 1", "yes", "fat quarter", "uncut"),
            ("Lantern print 2", "yes", "fat quarter", "uncut"),
            ("Ironwork", "yes", "yardage", "uncut"),
            ("Border", "yes", "yardage", "uncut"),
            ("Binding", "sold apart", "yardage", "uncut"),
            ("Backing", "no", None, None),
        ],
        widths=(20, 14, 16, 12),
    )
    book.table(
        "Extras",
        ("Item", "Count per kit", "Cost", "Price"),
        [
            ("Pattern booklet", 1, 6, 12),
            ("Spool of ink-blue thread", 1, 2.75, 5.5),
        ],
        widths=(28, 15, 10, 10),
        formats={"Cost": MONEY, "Price": MONEY},
    )
    book.close()


def _class(path: Path, *facts: tuple[str, Cell]) -> None:
    """A class in the fabrics that its pattern names."""
    book = Book(path, f"{facts[0][1]}: class")
    book.facts("Class", facts)
    book.close()


def mill_pond_stars_class(path: Path) -> None:
    """The first class of the season: it takes most of the fat quarters."""
    _class(
        path,
        ("Title", "Mill Pond Stars on snowy Saturdays"),
        ("Date", date(2027, 1, 16)),
        ("Teacher", "Odette Marlowe"),
        ("Kits", 7),
        ("Pattern file", "mill-pond-stars-as-written.xlsx"),
    )


def paper_boats_class(path: Path) -> None:
    """A class for a crib quilt, of fabrics that two others need as well."""
    _class(
        path,
        ("Title", "Paper Boats for a new arrival"),
        ("Date", date(2027, 2, 20)),
        ("Teacher", "Wren Halloway"),
        ("Kits", 9),
        ("Spare kits", 1),
        ("Size", "crib"),
        ("Pattern file", "paper-boats-two-sizes.xlsx"),
    )


def orchard_gate_class(path: Path) -> None:
    """The last class of the season."""
    _class(
        path,
        ("Title", "Orchard Gate in spring"),
        ("Date", date(2027, 5, 8)),
        ("Teacher", "Odette Marlowe"),
        ("Kits", 5),
        ("Pattern file", "orchard-gate-one-way.xlsx"),
    )
