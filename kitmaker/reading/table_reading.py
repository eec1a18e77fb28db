"""What the readers of a pattern's tables share: facts, problems, and rows that ask for nothing.

Totals, remarks and half-filled rows stand between the rows of every table. They are told
apart here, in one way for tables of fabrics and tables of pieces.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from kitmaker.arithmetic.figures import CutRules, rules_of
from kitmaker.drafts import HOW_SURE
from kitmaker.errors import Location, Problems
from kitmaker.forms import Catalogue
from kitmaker.lengths import Unit
from kitmaker.pattern import Note
from kitmaker.reading.cells import plain_spaces, read_text, tidy_text
from kitmaker.reading.fabric_draft import FabricDraft, FabricDrafts
from kitmaker.reading.grid import Cell, CellKind, row_and_column
from kitmaker.reading.phrases import FabricFacts, is_cutting, read_lines, says_a_cut
from kitmaker.reading.slips import find_other_name, find_slip, has_size, is_slip
from kitmaker.reading.tables import Table, TableRow, fold_heading
from kitmaker.reading.words.quantity import Place, ask_about_quantity

_TOTALS = ("total", "totals", "sum", "grand total", "subtotal")


@dataclass(slots=True, kw_only=True)
class TableReading:
    """A pattern's tables while they are read."""

    unit: Unit  # what bare numbers are in
    seam: Fraction  # the seam allowance in inches
    # what cut sizes with a root in them are rounded up to; None for the unit's own
    step: Fraction | None
    size: str | None  # the size that is read; None where there is one only
    bracket: int | None  # which of two sizes in brackets is read: 0, 1, or None
    other_sizes: frozenset[str]  # words that name a size which is not read
    catalogue: Catalogue  # the forms whose names are known
    drafts: FabricDrafts = field(default_factory=FabricDrafts)  # the fabrics so far
    listed: set[str] = field(default_factory=set)  # the roles that a table of fabrics lists
    # the headings of the table that a role's piece first stood in
    seen_in: dict[tuple[str, str], Location] = field(default_factory=dict)
    problems: Problems = field(default_factory=Problems)  # what could not be read so far
    notes: list[Note] = field(default_factory=list)  # what was made of lines so far
    # the folded name of each fabric, once for each table that has it
    names: list[str] = field(default_factory=list)
    # the roles that have been asked about as misspelled
    slips: set[str] = field(default_factory=set)

    def rules(self, draft: FabricDraft | None = None) -> CutRules:
        """Return the rules by which finished sizes become cut ones, of a fabric or in general."""
        width = draft.usable_width if draft is not None else None
        return rules_of(self.unit, self.seam, self.step, width)

    def draft_of(self, cell: Cell, role: str, table: Table) -> FabricDraft:
        """Return the fabric that a Fabric cell names, under whichever of its names.

        Only a table without amounts calls a fabric by another name than the table of
        fabrics does: two rows with an amount each are two fabrics.
        """
        states_amounts = "Requirement" in table.known_keys()
        if states_amounts or self.drafts.find(role) is not None:
            return self.drafts.get(role, cell.location)
        known = [draft.role for draft in self.drafts.all() if draft.role in self.listed]
        other = find_other_name(role, known, self.names)
        if other is None:
            return self.drafts.get(role, cell.location)
        if not other.is_sure:
            self.problems.warn(
                f"'{role}' is taken for the fabric '{other.role}'",
                cell.location,
                "Type one name for one fabric.",
            )
        return self.drafts.get(other.role, cell.location)

    def sized_cell(self, table: Table, row: TableRow, key: str) -> tuple[Cell, bool]:
        """Return the cell of a key in the chosen size, and whether its column is a size's."""
        columns = table.sized.get(key, ())
        for column in columns:
            if self.size is not None and fold_heading(column.extra) == fold_heading(self.size):
                cell = row.row.cells.get(column.number)
                return cell or row.sheet.blank(row.number, column.number), True
        return row.cell(key), bool(columns)

    def none_of_size(self, table: Table, key: str, cell: Cell, words: str, role: str) -> None:
        """Say that a size has none of something; a blank cell may have been forgotten."""
        if not has_size(table.sized.get(key, ()), self.size):
            return  # said once, of the whole column
        message = f"none for {self.size}"
        self.notes.append(Note(where=cell.location, words=words, understood=message, role=role))
        if cell.is_blank:
            self.problems.warn(
                f"nothing stands here for '{words}': {message}",
                cell.location,
                "Type 0 if that is right, else what is missing.",
            )

    def say_merged(self, row: TableRow, quantity: Cell) -> None:
        """Warn of a count merged over rows and of a size merged over width and length."""
        if not quantity.is_blank and row_and_column(quantity.location)[0] != row.number:
            first = quantity.location.cell
            self.problems.warn(
                f"{first} is merged over several rows; row {row.number} is read as "
                f"{read_text(quantity)} of its own",
                quantity.location,
                "Type the quantity in each row.",
            )
        for kind in ("Cut", "Finished"):
            width, length = row.cell(f"{kind} width"), row.cell(f"{kind} length")
            if not width.is_blank and width.location == length.location:
                self.problems.warn(
                    f"{width.location.cell} is merged over width and length: read as both",
                    width.location,
                    "Type each in its own cell.",
                )

    def no_fabric(self, row: TableRow) -> None:
        """Report a row without a fabric, or take it as a note."""
        alone = row.row.lone_text()
        if alone is not None and not says_a_cut(alone.text):
            self.note(alone)
            return
        column = row.columns.get("Fabric")
        where = row.sheet.blank(row.number, column.number if column else 1).location
        self.problems.refuse(
            "there is no fabric in this row", where, "Type which fabric it is cut from."
        )

    def carry_down(self, carried: list[tuple[Location, str]]) -> None:
        """Say once for a table which rows are cut from the fabric named above them."""
        by_role: dict[str, list[str]] = {}
        for where, role in carried:
            by_role.setdefault(role, []).append(where.cell or "")
        if carried:
            cells = "; ".join(f"{', '.join(at)} '{role}'" for role, at in by_role.items())
            message = f"rows without a fabric take the one above: {cells}"
            self.problems.warn(message, carried[0][0], "Look whether that is right.")

    def unlisted(self, role: str, where: Location) -> None:
        """Say that a fabric is cut from which no table of fabrics lists."""
        meant = find_slip(role, self.listed)
        self.slips.update({role} if meant else ())
        message = f"the fabric '{role}' is not in the table of fabrics"
        if meant is None:
            self.problems.warn(message, where)
        else:
            self.problems.refuse(message, where, f"Did you mean '{meant}'?")

    def say_like_names(self) -> None:
        """Warn of two fabrics whose names are one but for a slip of the keyboard."""
        drafts = self.drafts.all()
        for at, draft in enumerate(drafts):
            for other in drafts[:at]:
                asked = bool({draft.role, other.role} & self.slips)
                if not asked and is_slip(draft.role, other.role):
                    self.problems.warn(
                        f"'{draft.role}' and '{other.role}' ({other.where.address}) are taken "
                        "for two fabrics",
                        draft.where,
                        "Type one name in both places if they are one.",
                    )

    def check_remark(self, row: TableRow) -> None:
        """Ask about words beside a row that may change its quantity; a draft's were asked about."""
        if row.has(HOW_SURE):
            return
        for key in ("Notes", "Location", "Piece", "Fabric", "Block", "Color", "Description"):
            if row.has(key) and row.cell(key).kind is CellKind.TEXT:
                is_note = key in ("Notes", "Location")
                self.ask_about(row.cell(key), Place.NOTE if is_note else Place.NAME)

    def ask_about(self, cell: Cell, place: Place) -> None:
        """Ask about words of quantity in a cell, once for a merged one."""
        asked = ask_about_quantity(cell.text, place, cell.location, f"the {place}")
        if asked is not None:
            self.problems.append(asked)

    def refuse_cuts_in_remarks(self, row: TableRow) -> None:
        """Report cuts under a heading that is none of cutting, in a table without one."""
        for key in ("Notes", "Location", "Color", "Block", "Description"):
            if not row.has(key) or row.cell(key).kind is not CellKind.TEXT:
                continue
            lines = row.cell(key).text.split("\n")
            if read_lines(lines, FabricFacts(prints=1, cloths=1)).cuts:
                self.problems.refuse(
                    f"'{row.text(key)}' asks for a cut, but stands under {key} and is not read",
                    row.cell(key).location,
                    "Head the column 'Cutting instructions'.",
                )

    def is_astray(self, row: TableRow, known: set[int]) -> bool:
        """Take a single text under no known heading as a note, unless it asks for a cut."""
        alone = row.row.lone_text()
        if alone is None or alone.column in known:
            return False
        if says_a_cut(alone.text):
            self.problems.refuse(
                f"'{plain_spaces(alone.text)}' stands under no known heading, so it is not read",
                alone.location,
                "Move it under Cutting instructions, beside its fabric.",
            )
        else:
            self.note(alone)
        return True

    def is_total(self, row: TableRow) -> bool:
        """Whether a row holds totals; it is said to be passed over."""
        first = row.row.first()
        words = fold_heading(first.text) if first.kind is CellKind.TEXT else ""
        if words not in _TOTALS and not words.startswith(("total ", "totals ")):
            return False
        self.problems.warn(
            f"'{read_text(first)}' is a row of totals and is passed over", first.location
        )
        return True

    def is_note(self, row: TableRow, *keys: str) -> bool:
        """Take a row with one text only as a note, unless it asks for a cut."""
        alone = row.row.lone_text()
        columns = {row.columns[key].number for key in keys if key in row.columns} | {1}
        if alone is None or alone.column not in columns:
            return False
        text = plain_spaces(alone.text)
        if says_a_cut(alone.text):
            self.problems.refuse(
                f"'{text}' stands alone in its row: it names a size or a count, and no piece is "
                "read from it",
                alone.location,
                "Fill in the row, or move it beside its fabric.",
            )
            return True
        if _is_sentence(alone.text):
            self.note(alone)
            return True
        if len(keys) == 1:
            return False  # a fabric without an amount yet, or with its cuts in the next rows
        piece = row.columns.get("Piece")
        known = self.drafts.find(alone.text) is not None or "Fabric" not in row.columns
        known = known or (piece is not None and alone.column == piece.number)
        message = f"nothing but '{text}' stands in this row, so it is passed over"
        say = self.problems.refuse if known else self.problems.warn
        say(message, alone.location, "Fill in the row, or delete it.")
        return True

    def loose_text(self, cell: Cell) -> None:
        """Take a text outside every table as a note, unless it asks for a cut."""
        if is_cutting(cell.text) and says_a_cut(cell.text):
            self.problems.refuse(
                f"'{plain_spaces(cell.text)}' stands outside the tables and is not read",
                cell.location,
                "Put it under Cutting instructions, beside its fabric.",
            )
        else:
            self.note(cell)

    def note(self, cell: Cell) -> None:
        """Take a cell as a note."""
        words = plain_spaces(cell.text)
        self.notes.append(Note(where=cell.location, words=words, understood="a note"))
        self.ask_about(cell, Place.NOTE)


def _is_sentence(text: str) -> bool:
    words = text.strip()
    return (
        words.endswith((".", "!", "?"))
        or words.casefold().startswith(("*", "note", "tip", "see "))
        or len(words.split()) > 4
        or is_cutting(words)
    )


def is_none(cell: Cell) -> bool:
    """Whether a size's column says that there is none for that size: blank, 0 or a dash."""
    words = tidy_text(cell.text).casefold()
    return cell.is_blank or cell.number == 0 or words in ("0", "-", "–", "—", "n/a", "none")
