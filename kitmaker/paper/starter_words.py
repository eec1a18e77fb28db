"""What the blank workbooks say: their sheets, headings, examples and explanations."""

from __future__ import annotations

from dataclasses import dataclass, field
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A column of a table, or a line of a sheet of labels and values.

    Attributes:
        name: Its heading or label.
        example: What its example row holds; "" to leave that empty.
        hint: What is typed there, in one sentence.
        choices: What its drop-down offers; none for free text. Other words may be typed.
        names_of: The sheet whose first column its drop-down offers instead; "" for none.
        width: Of its column, in characters.
    """

    name: str
    example: str = ""
    hint: str = ""
    choices: tuple[str, ...] = ()
    names_of: str = ""
    width: int = 16


@dataclass(frozen=True, slots=True, kw_only=True)
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
    fields: tuple[Field, ...] = field(default_factory=tuple)
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
        name="Pattern",
        about="What the pattern is called and how it is written.",
        is_table=False,
        fields=(
            Field(name="Pattern", hint="its name", width=24),
            Field(name="Size", hint="such as throw; leave empty where there is one only"),
            Field(name="Unit", hint="in or cm: what a bare number is in", choices=("in", "cm")),
            Field(name="Seam allowance", hint="1/4 in when left empty"),
            Field(name="Finished size", hint="such as 54 x 63"),
            Field(
                name="Round cut sizes up to",
                hint="of pieces given by their finished size: 1/8 in when left empty",
            ),
        ),
    ),
    StarterSheet(
        name="Fabrics",
        about="One row for each fabric: what the pattern asks for, and either its cutting "
        "instructions as they are printed, many lines to a cell, or nothing there and a row for "
        "each piece on the sheet Pieces.",
        fields=(
            Field(name="Fabric", example="navy print", hint="its part in the quilt", width=26),
            Field(
                name="Requirement", example="1 1/4 yd", hint="as printed: 1¼ yd, 12 fat quarters"
            ),
            Field(
                name="Cutting instructions",
                example='Cut (5) 2 1/2" x WOF strips; sub-cut into (80) 2 1/2" squares.',
                hint="as printed, one cut to a line",
                width=60,
            ),
            Field(name="Form", example="", hint="how it is bagged", choices=_FORMS),
            Field(name="Prints", example="1", hint="how many different ones", width=9),
            Field(name="Usable width", example="42", hint="the width the pattern plans for"),
            Field(name="SKU", example="NV-104", hint="your stock number"),
            Field(name="Description", example="navy dots", hint="to tell it apart", width=24),
        ),
    ),
    StarterSheet(
        name="Pieces",
        about="One row for each kind of piece, in cut sizes with seams. A cut length WOF is a "
        "strip used whole. Leave this sheet empty where the instructions stand on Fabrics.",
        fields=(
            Field(
                name="Fabric",
                example="navy print",
                hint="the same name as on Fabrics",
                names_of="Fabrics",
                width=26,
            ),
            Field(name="Piece", example="A corner", hint="letter or name"),
            Field(name="Cut width", example="2 1/2", hint="with seams", width=11),
            Field(name="Cut length", example="4 1/2", hint="with seams; or WOF", width=11),
            Field(name="Quantity", example="80", hint="for one quilt", width=10),
            Field(name="Shape", hint="empty: rectangle", choices=_SHAPES, width=34),
            Field(name="Direction", hint="empty: may be turned", choices=_DIRECTIONS),
            Field(name="Same print", hint="pieces of one name come from one print"),
            Field(name="Cross-cut", hint="for strip sets: the size cut across the set", width=11),
            Field(name="Join", hint="may be sewn of shorter parts", choices=("yes", "no")),
            Field(name="Notes", hint="a remark; never read as a number", width=30),
        ),
    ),
    StarterSheet(
        name="Finishing",
        about="What goes round and behind the blocks, in finished sizes. What is filled in is "
        "added to the pieces, or compared with them where they have it already. Leave it empty, "
        "or delete it, where the tables name everything.",
        is_table=False,
        fields=(
            Field(name="Quilt width", hint="finished, borders included", width=24),
            Field(name="Quilt length", hint="finished, borders included"),
            Field(name="Binding width", hint="of the strip as it is cut, such as 2 1/2"),
            Field(name="Binding fabric", hint="as named on Fabrics", names_of="Fabrics"),
            Field(name="Border width", hint="finished; Border 2 width for a second one"),
            Field(name="Border fabric", hint="as named on Fabrics", names_of="Fabrics"),
            Field(
                name="Setting",
                hint="how the blocks are set; on point adds the triangles round them",
                choices=("straight", "on point"),
            ),
            Field(
                name="Setting fabric",
                hint="of the triangles round blocks on point",
                names_of="Fabrics",
            ),
            Field(name="Block size", hint="finished"),
            Field(name="Blocks across", hint="how many"),
            Field(name="Blocks down", hint="how many"),
            Field(name="Sashing width", hint="finished: the strips between the blocks"),
            Field(name="Sashing fabric", hint="as named on Fabrics", names_of="Fabrics"),
            Field(name="Backing overhang", hint="on each side, such as 4 in"),
            Field(name="Backing fabric", hint="as named on Fabrics", names_of="Fabrics"),
        ),
    ),
)

_SHOP = (
    StarterSheet(
        name="Shop",
        about="The shop's own figures. What is left empty has the value that its hint names.",
        is_table=False,
        fields=(
            Field(name="Name", hint="stands on every page and label", width=24),
            Field(name="Address"),
            Field(name="Phone", hint="whom a student calls"),
            Field(name="Email"),
            Field(name="Usable width", hint="of a bolt, selvages off: 40 when left empty"),
            Field(
                name="Straighten", hint="lost at the start of each length: 1/2 in when left empty"
            ),
            Field(name="Re-square", hint="lost after every 6 strips: 1/4 in when left empty"),
            Field(name="Layers per cut", hint="thicknesses of cloth: 4 when left empty"),
            Field(name="Round yardage up to", hint="such as 1/8 yd"),
            Field(
                name="Ease",
                hint="of a length, at most so much more for easier cutting: 2.5 % when left "
                "empty, 0 for the shortest, or 1/4 yd",
            ),
            Field(name="Ruler length", hint="24 in when left empty"),
            Field(
                name="Ruler width", hint="the widest strip it measures: 6 1/2 in when left empty"
            ),
            Field(name="Markup", hint="100 % adds that much to the cost, ×2 multiplies it"),
            Field(name="Labor per hour", hint="at the cutting table"),
            Field(name="Kit fee", hint="for bag and label"),
            Field(
                name="Label sheet",
                hint="which labels you print on; your own by their name on the sheet Label sheets",
                choices=("letter-30", "letter-10", "a4-21"),
            ),
            Field(
                name="Bag label sheet",
                hint="if the labels on the bags are others; the same when left empty",
                choices=("letter-30", "letter-10", "a4-21"),
            ),
            Field(
                name="Piece label sheet",
                hint="if the labels on the pieces are smaller; the same when left empty",
                choices=("letter-30", "letter-10", "a4-21"),
            ),
            Field(name="Label offset", hint="such as 1 mm right, 0.5 mm down"),
            Field(name="Smallest offcut", hint="worth keeping: 2 1/2 x 5 when left empty"),
            Field(name="Smallest length back", hint="worth putting back on the bolt, such as 9 in"),
            Field(name="Currency", hint="$ when left empty"),
        ),
    ),
    StarterSheet(
        name="Forms",
        about="Only forms of your own, or a cost and a price for one that is known already "
        "(fat-quarter, strip-2.5, square-10 and so on).",
        fields=(
            Field(name="Form", example="fat-quarter", hint="a name", choices=_FORMS, width=26),
            Field(name="Nominal width", example="22", hint="across, selvage to selvage"),
            Field(name="Nominal length", example="18", hint="along the selvage"),
            Field(name="Usable width", example="20", hint="what is sure to be there"),
            Field(name="Usable length", example="16", hint="what is sure to be there"),
            Field(name="Cost", example="2.60", hint="of one", width=10),
            Field(name="Price", example="3.99", hint="of one", width=10),
            Field(name="Bundle count", example="", hint="how many to a bundle"),
        ),
    ),
    StarterSheet(
        name="Stock",
        about="What is on the shelf. Two rows with one SKU are two lengths of the same cloth. "
        "Delete this sheet to plan without looking at the shelf; an empty one is an empty shelf.",
        fields=(
            Field(name="SKU", example="NV-104", hint="your stock number", width=26),
            Field(name="Print", example="navy dots", hint="its name", width=24),
            Field(name="Form", hint="empty: a length off a bolt", choices=_FORMS),
            Field(name="Usable width", example="41", hint="as measured"),
            Field(name="Length at hand", example="3 7/8", hint="yd, or m where the unit is cm"),
            Field(name="Count at hand", hint="of a form"),
            Field(name="Held", example="1", hint="promised to other classes", width=10),
            Field(name="Dye lot", example="7", width=10),
            Field(name="Cost", example="5.40", hint="per yd or m, or per piece", width=10),
            Field(name="Price", example="11.99", hint="per yd or m, or per piece", width=10),
            Field(
                name="Order in",
                example="1",
                hint="the least you can order, and its steps: yd or m, or pieces of the form; "
                "when left empty 1/2 yd or m, and forms by the piece",
                width=10,
            ),
            Field(name="Color", example="navy", hint="a color's name, or #1b2a49", width=12),
            Field(name="Picture", hint="a PNG or JPEG file beside this workbook", width=16),
        ),
    ),
    StarterSheet(
        name="Label sheets",
        about="Only label sheets other than letter-30, letter-10 and a4-21. Type the measures as "
        "they stand on the pack.",
        fields=(
            Field(name="Label sheet", example="bag-8", hint="a name of your own", width=26),
            Field(name="Paper", example="letter", hint="of the sheet", choices=("letter", "a4")),
            Field(name="Columns", example="2", hint="labels side by side", width=10),
            Field(name="Rows", example="4", hint="labels one below the other", width=10),
            Field(name="Label width", example="4", hint="of one label"),
            Field(name="Label height", example="2 1/2", hint="of one label"),
            Field(name="Left margin", example="1/8", hint="left of the first label"),
            Field(name="Top margin", example="1/2", hint="above the first label"),
            Field(name="Pitch across", example="4 1/8", hint="from one left edge to the next"),
            Field(name="Pitch down", example="2 1/2", hint="from one top edge to the next"),
        ),
    ),
)

_CLASS = (
    StarterSheet(
        name="Class",
        about="The class: its name, its kits, and the file of its pattern in the same folder.",
        is_table=False,
        fields=(
            Field(name="Title", hint="stands on every page", width=24),
            Field(name="Date", hint="such as 2027-03-13; the classes of a season go by it"),
            Field(name="Teacher"),
            Field(name="Bring", hint="what each student brings, for the kit card"),
            Field(name="Kits", hint="how many; may stand with the colorways instead"),
            Field(name="Spare kits", hint="on top, in case"),
            Field(name="Size", hint="where the pattern has several"),
            Field(name="Pattern file", hint="such as harbor-steps.xlsx, in this folder"),
        ),
    ),
    StarterSheet(
        name="Colorways",
        about="One row for each fabric of each colorway: which bolt it comes from.",
        fields=(
            Field(name="Colorway", example="blue", hint="its name", width=26),
            Field(name="Kits", example="7", hint="of this colorway", width=10),
            Field(name="Fabric", example="background", hint="as the pattern names it", width=24),
            Field(name="SKU", example="NV-104", hint="as the stock names it"),
        ),
    ),
    StarterSheet(
        name="Fabrics",
        about="Only where something else than usual goes into the bag.",
        fields=(
            Field(name="Fabric", example="background", hint="as the pattern names it", width=26),
            Field(
                name="In kit",
                example="yes",
                hint="whether the kit holds it",
                choices=("yes", "no", "sold apart"),
            ),
            Field(name="Form", example="fat-quarter", hint="how it is bagged", choices=_FORMS),
            Field(
                name="Bag",
                example="uncut",
                hint="who cuts: the student, or the shop",
                choices=("uncut", "pieces"),
            ),
        ),
    ),
    StarterSheet(
        name="Extras",
        about="What else goes into each kit: thread, buttons, a template.",
        fields=(
            Field(name="Item", example="spool of thread", hint="what it is", width=26),
            Field(name="Count per kit", example="1", hint="1 when left empty"),
            Field(name="Cost", example="2.10", hint="of one", width=10),
            Field(name="Price", example="3.49", hint="of one", width=10),
        ),
    ),
)

_NOTES = Field(name="Notes", hint="a remark; never read as a number", width=30)

_MEASURED = (
    StarterSheet(
        name="Cuts",
        about="Cloth as it was really measured, one row for each size. Of a SKU that stands here "
        "only this cloth is used; what else the shelf has of it stays there.",
        fields=(
            Field(name="SKU", example="NV-104", hint="your stock number", width=26),
            Field(name="Width", example="20 1/2", hint="usable, across"),
            Field(name="Length", example="17", hint="usable, along; of a bolt such as 9 1/2 yd"),
            Field(name="Count", example="14", hint="how many measure this; 1 when left empty"),
            Field(
                name="Flaw at",
                example="1 3/8 yd; 4 yd",
                hint="from the start of the piece; several apart by ;",
                width=20,
            ),
            Field(name="Dye lot", example="7", hint="where the shelf has several", width=10),
            Field(
                name="Kits done",
                example="3",
                hint="kits that are finished, beside a SKU that only their colorway has",
                width=10,
            ),
            _NOTES,
        ),
    ),
)

_STASH = (
    StarterSheet(
        name="Stash",
        about="Cloth at hand that is to be cut into small sizes: a width and a length, or a form.",
        fields=(
            Field(name="Fabric", example="navy dots", hint="what it is called", width=30),
            Field(name="Form", hint="instead of a width and a length", choices=_FORMS),
            Field(name="Width", example="20 1/2", hint="usable, across"),
            Field(name="Length", example="17", hint="usable, along"),
            Field(name="Count", example="6", hint="how many", width=10),
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
