"""What the blank workbooks say: their sheets, headings, examples and explanations."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kitmaker.forms import BUILT_IN_FORMS
from kitmaker.pattern import Direction, Shape


class StarterKind(StrEnum):
    """Which blank workbook."""

    PATTERN = "pattern"
    SHOP = "shop"
    CLASS = "class"
    MEASURED = "measured"
    STASH = "stash"


@dataclass(frozen=True, slots=True)
class Field:
    """A column of a table, or a line of a sheet of labels and values.

    Attributes:
        name: Its heading or label.
        hint: What is typed there, in one sentence.
        example: What its example row holds; "" to leave that empty.
        choices: What its drop-down offers; none for free text. Other words may be typed.
        names_of: The sheet whose first column its drop-down offers instead; "" for none.
        width: Of its column, in characters.
    """

    name: str
    hint: str = ""
    example: str = ""
    choices: tuple[str, ...] = ()
    names_of: str = ""
    width: int = 16


@dataclass(frozen=True, slots=True)
class StarterSheet:
    """A sheet of a blank workbook.

    Attributes:
        name: The worksheet's.
        about: What it is for; stands on the sheet of explanations.
        fields: Its columns, or its lines.
        is_table: Whether the fields are columns.
    """

    name: str
    about: str
    fields: tuple[Field, ...] = ()
    is_table: bool = True


_FORMS = tuple(form.form_id for form in BUILT_IN_FORMS)
_SHAPES = ("rectangle", "square", "strip", Shape.CUT_ONCE.value, Shape.CUT_TWICE.value)
_DIRECTIONS = (Direction.ONE_WAY.value, Direction.LENGTHWISE.value)

GENERAL = (
    "Type sizes as they stand in the pattern: 2 1/2, 2-1/2, 2½, 2.5 or 6.4 cm.",
    "The cells are formatted as text, so that a typed 1/8 stays 1/8 and turns into no date.",
    "Leave empty what is not known. Nothing is guessed: what is not sure is asked about.",
    "Rows that begin with “Example (not read)”, this sheet, and what begins with ← are not read.",
    "Columns and sheets that are not needed may be deleted; rows may be added.",
)

_PATTERN = (
    StarterSheet(
        "Pattern",
        "What the pattern is called and how it is written.",
        is_table=False,
        fields=(
            Field("Pattern", "its name", width=24),
            Field("Size", "such as throw; leave empty where there is one only"),
            Field("Unit", "in or cm: what a bare number is in", choices=("in", "cm")),
            Field("Seam allowance", "1/4 in when left empty"),
            Field("Finished size", "such as 54 x 63"),
            Field(
                "Round cut sizes up to",
                "of pieces given by their finished size: 1/8 in when left empty",
            ),
        ),
    ),
    StarterSheet(
        "Fabrics",
        "One row for each fabric: what the pattern asks for, and either its cutting "
        "instructions as they are printed, many lines to a cell, or nothing there and a row for "
        "each piece on the sheet Pieces.",
        fields=(
            Field("Fabric", "its part in the quilt", "navy print", width=26),
            Field("Requirement", "as printed: 1¼ yd, 12 fat quarters", "1 1/4 yd"),
            Field(
                "Cutting instructions",
                "as printed, one cut to a line",
                'Cut (5) 2 1/2" x WOF strips; sub-cut into (80) 2 1/2" squares.',
                width=60,
            ),
            Field("Form", "how it is bagged", choices=_FORMS),
            Field("Prints", "how many different ones", "1", width=9),
            Field("Usable width", "the width the pattern plans for", "42"),
            Field("SKU", "your stock number", "NV-104"),
            Field("Description", "to tell it apart", "navy dots", width=24),
        ),
    ),
    StarterSheet(
        "Pieces",
        "One row for each kind of piece, in cut sizes with seams. A cut length WOF is a "
        "strip used whole. Leave this sheet empty where the instructions stand on Fabrics.",
        fields=(
            Field(
                "Fabric",
                "the same name as on Fabrics",
                "navy print",
                names_of="Fabrics",
                width=26,
            ),
            Field("Piece", "letter or name", "A corner"),
            Field("Cut width", "with seams", "2 1/2", width=11),
            Field("Cut length", "with seams; or WOF", "4 1/2", width=11),
            Field("Quantity", "for one quilt", "80", width=10),
            Field("Shape", "empty: rectangle", choices=_SHAPES, width=34),
            Field("Direction", "empty: may be turned", choices=_DIRECTIONS),
            Field("Same print", "pieces of one name come from one print"),
            Field("Cross-cut", "for strip sets: the size cut across the set", width=11),
            Field("Join", "may be sewn of shorter parts", choices=("yes", "no")),
            Field("Notes", "a remark; never read as a number", width=30),
        ),
    ),
    StarterSheet(
        "Finishing",
        "What goes round and behind the blocks, in finished sizes. What is filled in is "
        "added to the pieces, or compared with them where they have it already. Leave it empty, "
        "or delete it, where the tables name everything.",
        is_table=False,
        fields=(
            Field("Quilt width", "finished, borders included", width=24),
            Field("Quilt length", "finished, borders included"),
            Field("Binding width", "of the strip as it is cut, such as 2 1/2"),
            Field("Binding fabric", "as named on Fabrics", names_of="Fabrics"),
            Field("Border width", "finished; Border 2 width for a second one"),
            Field("Border fabric", "as named on Fabrics", names_of="Fabrics"),
            Field(
                "Setting",
                "how the blocks are set; on point adds the triangles round them",
                choices=("straight", "on point"),
            ),
            Field("Setting fabric", "of the triangles round blocks on point", names_of="Fabrics"),
            Field("Block size", "finished"),
            Field("Blocks across", "how many"),
            Field("Blocks down", "how many"),
            Field("Sashing width", "finished: the strips between the blocks"),
            Field("Sashing fabric", "as named on Fabrics", names_of="Fabrics"),
            Field("Backing overhang", "on each side, such as 4 in"),
            Field("Backing fabric", "as named on Fabrics", names_of="Fabrics"),
        ),
    ),
)

_SHOP = (
    StarterSheet(
        "Shop",
        "The shop's own figures. What is left empty has the value that its hint names.",
        is_table=False,
        fields=(
            Field("Name", "stands on every page and label", width=24),
            Field("Address"),
            Field("Phone", "whom a student calls"),
            Field("Email"),
            Field("Usable width", "of a bolt, selvages off: 40 when left empty"),
            Field("Straighten", "lost at the start of each length: 1/2 in when left empty"),
            Field("Re-square", "lost after every 6 strips: 1/4 in when left empty"),
            Field("Layers per cut", "thicknesses of cloth: 4 when left empty"),
            Field("Round yardage up to", "such as 1/8 yd"),
            Field(
                "Ease",
                "of a length, at most so much more for easier cutting: 2.5 % when left "
                "empty, 0 for the shortest, or 1/4 yd",
            ),
            Field("Ruler length", "24 in when left empty"),
            Field("Ruler width", "the widest strip it measures: 6 1/2 in when left empty"),
            Field("Markup", "100 % adds that much to the cost, ×2 multiplies it"),
            Field("Labor per hour", "at the cutting table"),
            Field("Kit fee", "for bag and label"),
            Field(
                "Label sheet",
                "which labels you print on; your own by their name on the sheet Label sheets",
                choices=("letter-30", "letter-10", "a4-21"),
            ),
            Field(
                "Bag label sheet",
                "if the labels on the bags are others; the same when left empty",
                choices=("letter-30", "letter-10", "a4-21"),
            ),
            Field(
                "Piece label sheet",
                "if the labels on the pieces are smaller; the same when left empty",
                choices=("letter-30", "letter-10", "a4-21"),
            ),
            Field("Label offset", "such as 1 mm right, 0.5 mm down"),
            Field("Smallest offcut", "worth keeping: 2 1/2 x 5 when left empty"),
            Field("Smallest length back", "worth putting back on the bolt, such as 9 in"),
            Field("Currency", "$ when left empty"),
        ),
    ),
    StarterSheet(
        "Forms",
        "Only forms of your own, or a cost and a price for one that is known already "
        "(fat-quarter, strip-2.5, square-10 and so on).",
        fields=(
            Field("Form", "a name", "fat-quarter", choices=_FORMS, width=26),
            Field("Nominal width", "across, selvage to selvage", "22"),
            Field("Nominal length", "along the selvage", "18"),
            Field("Usable width", "what is sure to be there", "20"),
            Field("Usable length", "what is sure to be there", "16"),
            Field("Cost", "of one", "2.60", width=10),
            Field("Price", "of one", "3.99", width=10),
            Field("Bundle count", "how many to a bundle"),
        ),
    ),
    StarterSheet(
        "Stock",
        "What is on the shelf. Two rows with one SKU are two lengths of the same cloth. "
        "Delete this sheet to plan without looking at the shelf; an empty one is an empty shelf.",
        fields=(
            Field("SKU", "your stock number", "NV-104", width=26),
            Field("Print", "its name", "navy dots", width=24),
            Field("Form", "empty: a length off a bolt", choices=_FORMS),
            Field("Usable width", "as measured", "41"),
            Field("Length at hand", "yd, or m where the unit is cm", "3 7/8"),
            Field("Count at hand", "of a form"),
            Field("Held", "promised to other classes", "1", width=10),
            Field("Dye lot", "", "7", width=10),
            Field("Cost", "per yd or m, or per piece", "5.40", width=10),
            Field("Price", "per yd or m, or per piece", "11.99", width=10),
            Field(
                "Order in",
                "the least you can order, and its steps: yd or m, or pieces of the form; "
                "when left empty 1/2 yd or m, and forms by the piece",
                "1",
                width=10,
            ),
            Field("Color", "a color's name, or #1b2a49", "navy", width=12),
            Field("Picture", "a PNG or JPEG file beside this workbook", width=16),
        ),
    ),
    StarterSheet(
        "Label sheets",
        "Only label sheets other than letter-30, letter-10 and a4-21. Type the measures as "
        "they stand on the pack.",
        fields=(
            Field("Label sheet", "a name of your own", "bag-8", width=26),
            Field("Paper", "of the sheet", "letter", choices=("letter", "a4")),
            Field("Columns", "labels side by side", "2", width=10),
            Field("Rows", "labels one below the other", "4", width=10),
            Field("Label width", "of one label", "4"),
            Field("Label height", "of one label", "2 1/2"),
            Field("Left margin", "left of the first label", "1/8"),
            Field("Top margin", "above the first label", "1/2"),
            Field("Pitch across", "from one left edge to the next", "4 1/8"),
            Field("Pitch down", "from one top edge to the next", "2 1/2"),
        ),
    ),
)

_CLASS = (
    StarterSheet(
        "Class",
        "The class: its name, its kits, and the file of its pattern in the same folder.",
        is_table=False,
        fields=(
            Field("Title", "stands on every page", width=24),
            Field("Date", "such as 2027-03-13; the classes of a season go by it"),
            Field("Teacher"),
            Field("Bring", "what each student brings, for the kit card"),
            Field("Kits", "how many; may stand with the colorways instead"),
            Field("Spare kits", "on top, in case"),
            Field("Size", "where the pattern has several"),
            Field("Pattern file", "such as harbor-steps.xlsx, in this folder"),
        ),
    ),
    StarterSheet(
        "Colorways",
        "One row for each fabric of each colorway: which bolt it comes from.",
        fields=(
            Field("Colorway", "its name", "blue", width=26),
            Field("Kits", "of this colorway", "7", width=10),
            Field("Fabric", "as the pattern names it", "background", width=24),
            Field("SKU", "as the stock names it", "NV-104"),
        ),
    ),
    StarterSheet(
        "Fabrics",
        "Only where something else than usual goes into the bag.",
        fields=(
            Field("Fabric", "as the pattern names it", "background", width=26),
            Field("In kit", "whether the kit holds it", "yes", choices=("yes", "no", "sold apart")),
            Field("Form", "how it is bagged", "fat-quarter", choices=_FORMS),
            Field(
                "Bag",
                "who cuts: the student, or the shop",
                "uncut",
                choices=("uncut", "pieces"),
            ),
        ),
    ),
    StarterSheet(
        "Extras",
        "What else goes into each kit: thread, buttons, a template.",
        fields=(
            Field("Item", "what it is", "spool of thread", width=26),
            Field("Count per kit", "1 when left empty", "1"),
            Field("Cost", "of one", "2.10", width=10),
            Field("Price", "of one", "3.49", width=10),
        ),
    ),
)

_NOTES = Field("Notes", "a remark; never read as a number", width=30)

_MEASURED = (
    StarterSheet(
        "Cuts",
        "Cloth as it was really measured, one row for each size. Of a SKU that stands here "
        "only this cloth is used; what else the shelf has of it stays there.",
        fields=(
            Field("SKU", "your stock number", "NV-104", width=26),
            Field("Width", "usable, across", "20 1/2"),
            Field("Length", "usable, along; of a bolt such as 9 1/2 yd", "17"),
            Field("Count", "how many measure this; 1 when left empty", "14"),
            Field(
                "Flaw at",
                "from the start of the piece; several apart by ;",
                "1 3/8 yd; 4 yd",
                width=20,
            ),
            Field("Dye lot", "where the shelf has several", "7", width=10),
            Field(
                "Kits done",
                "kits that are finished, beside a SKU that only their colorway has",
                "3",
                width=10,
            ),
            _NOTES,
        ),
    ),
)

_STASH = (
    StarterSheet(
        "Stash",
        "Cloth at hand that is to be cut into small sizes: a width and a length, or a form.",
        fields=(
            Field("Fabric", "what it is called", "navy dots", width=30),
            Field("Form", "instead of a width and a length", choices=_FORMS),
            Field("Width", "usable, across", "20 1/2"),
            Field("Length", "usable, along", "17"),
            Field("Count", "how many", "6", width=10),
            _NOTES,
        ),
    ),
)

STARTER_SHEETS: dict[StarterKind, tuple[StarterSheet, ...]] = {
    StarterKind.PATTERN: _PATTERN,
    StarterKind.SHOP: _SHOP,
    StarterKind.CLASS: _CLASS,
    StarterKind.MEASURED: _MEASURED,
    StarterKind.STASH: _STASH,
}
