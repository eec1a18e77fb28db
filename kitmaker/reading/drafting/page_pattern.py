"""A page's paragraphs into a pattern: which fabric each line of cuts belongs to, never guessed.

A line belongs to the fabric that it names itself ("From white cut 4 …"), else to the one that
the heading above names ("From the cream solid, cut:"). A heading that names none, or several,
a sewing step and a new section end what a heading holds for; a cut below them is *unsure*, and a
person says whose it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from kitmaker.reading.drafting.names import FabricNames
from kitmaker.reading.drafting.page_amounts import (
    AMOUNT,
    Stated,
    amounts_in,
    is_off_the_bolt,
    stated_in,
    states_amount,
)
from kitmaker.reading.drafting.page_clauses import (
    Clause,
    Heading,
    clauses_of,
    ends_scope,
    heading_of,
    is_block,
    is_of_cloth,
    is_sewing,
    may_name_cloth,
    plain_heading_of,
    section_of,
    wants_cut,
)
from kitmaker.reading.drafting.paragraphs import BULLET, Paragraph
from kitmaker.reading.layout import FACT_KEYS
from kitmaker.reading.phrases import is_cutting
from kitmaker.reading.tables import fold_heading
from kitmaker.reading.words.lexicon import FRACTION_SIGNS

_FACT = re.compile(r"(?P<label>[A-Za-z ]{3,24}?)\s*[:=]\s*(?P<value>\S.{0,80})")
_FINISHED = re.compile(
    r"(?P<label>finished\s+(?:quilt\s+)?size|quilt\s+size|finished\s+quilt|finished)\b[\s:–—-]*"
    r"(?:is\s+|about\s+|approximately\s+)?(?P<value>\d.{0,60})",
    re.IGNORECASE,
)
_NUMBERS = re.compile(rf"[\d\s./{FRACTION_SIGNS}]+")
_LONGEST_TITLE = 80
_FROM_AGAIN = re.compile(r"\b(?:from|out\s+of)\b", re.IGNORECASE)
WHOSE = "its fabric is not said for sure"


@dataclass(slots=True)
class PageFabric:
    """A fabric of a page.

    Attributes:
        role: Its name.
        amount: What is stated for it; "".
        told: The paragraphs that state its amount, and those that head its cuts.
        lines: Its cuts, each with the paragraph it stands in.
    """

    role: str
    amount: str = ""
    told: list[Paragraph] = field(default_factory=list)
    lines: list[tuple[str, Paragraph]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Unsure:
    """A line of cuts whose fabric is not sure.

    Attributes:
        text: Its words.
        paragraph: Where it stands.
        why: Why it is not sure.
    """

    text: str
    paragraph: Paragraph
    why: str


@dataclass(slots=True)
class PagePattern:
    """What a page says.

    Attributes:
        facts: Label to value and paragraph.
        fabrics: By role, in order.
        unsure: Cuts whose fabric a person must say.
        others: Every other paragraph, with what it was taken for.
        doubtful: Paragraphs of cuts below a heading that may multiply them.
    """

    facts: dict[str, tuple[str, Paragraph]] = field(default_factory=dict)
    fabrics: dict[str, PageFabric] = field(default_factory=dict)
    unsure: list[Unsure] = field(default_factory=list)
    others: list[tuple[Paragraph, str]] = field(default_factory=list)
    doubtful: list[Paragraph] = field(default_factory=list)


def read_page(paragraphs: Sequence[Paragraph]) -> PagePattern:
    """Return what a page says, paragraph by paragraph."""
    return _Page(paragraphs).read()


class _Page:
    def __init__(self, paragraphs: Sequence[Paragraph]) -> None:
        self.paragraphs = paragraphs
        self.names = FabricNames()
        self.page = PagePattern()
        self.section = ""
        self.current: str | None = None
        self.why = WHOSE
        self.block: Paragraph | None = None
        self.amounts: dict[int, list[Stated]] = {}
        self.has_amounts = False
        self.heads = False
        self.headed: Paragraph | None = None
        self.is_indented: bool | None = None

    def read(self) -> PagePattern:
        """Read the amounts first: they name the fabrics; then what is cut of each."""
        self._find_amounts()
        for at, paragraph in enumerate(self.paragraphs):
            if at in self.amounts:
                self._amount(at, paragraph)
            elif paragraph.cells:
                self._row(paragraph)
            else:
                self._paragraph(at, paragraph)
        return self.page

    # amounts

    def _find_amounts(self) -> None:
        section = ""
        for at, paragraph in enumerate(self.paragraphs):
            core = paragraph.core
            section = section_of(core) or section
            if heading_of(core) is not None:
                section = "cutting"
            if section != "sewing":
                found = list(self._amounts_of(paragraph, in_list=section == "materials"))
                if found:
                    self.amounts[at] = found
        self._drop_cuts()
        for found in self.amounts.values():
            for place, one in enumerate(found):
                role = self.names.add(one.name, sold_as=one.amount, use=one.use)
                fabric = self.page.fabrics.setdefault(role, PageFabric(role))
                if fabric.amount.casefold() != one.amount.casefold():
                    fabric.amount = " / ".join(filter(None, (fabric.amount, one.amount)))
                found[place] = replace(one, name=role)
        self.has_amounts = bool(self.amounts)
        followed = [at for at, found in self.amounts.items() if self._is_followed(at, len(found))]
        self.heads = len(followed) >= 2 or len(followed) == len(self.amounts) == 1

    def _drop_cuts(self) -> None:
        """Take no strips or squares for an amount whose fabric has one: they are cut from it."""
        bought = FabricNames()
        for one in (one for found in self.amounts.values() for one in found):
            if is_off_the_bolt(one.amount):
                bought.add(one.name, use=one.use)
        for at, (one, *_) in list(self.amounts.items()):
            heading = plain_heading_of(one.amount)
            named = bought.find(heading.name if heading is not None else one.name)
            if not is_off_the_bolt(one.amount) and named:
                del self.amounts[at]

    def _amounts_of(self, paragraph: Paragraph, *, in_list: bool) -> Iterator[Stated]:
        """Yield each amount that a paragraph states."""
        if paragraph.cells:
            found = [self._amount_cell(paragraph.cells)]
        elif states_amount(paragraph.core, in_list=in_list):
            found = [stated_in(part) for part in amounts_in(paragraph.core)]
        else:
            found = []
        yield from (one for one in found if one is not None)

    def _is_followed(self, at: int, count: int) -> bool:
        """Whether cuts stand right below a line that states one amount."""
        if count > 1 or at + 1 >= len(self.paragraphs) or at + 1 in self.amounts:
            return False
        below = self.paragraphs[at + 1].core
        return wants_cut(below, in_list=True) and plain_heading_of(below) is None

    @staticmethod
    def _amount_cell(cells: tuple[str, ...]) -> Stated | None:
        """Return the amount of a table's row; None where it states none for sure."""
        stated = [cell for cell in cells if states_amount(cell, in_list=False)]
        if len(stated) != 1:
            return None
        amount = stated[0]
        others = [cell for cell in cells if cell is not amount]
        others = [" ".join(one.split()) for one in others if not wants_cut(one, in_list=True)]
        names = [one for one in others if one and not AMOUNT.fullmatch(one) and len(one) <= 80]
        names = [one for one in names if not _NUMBERS.fullmatch(one)]
        own = stated_in(amount) if AMOUNT.fullmatch(amount.strip()) is None else None
        if not names:
            return own
        count = 2 if len(names[0]) <= 10 else 1
        use = " ".join((*names[count:], own.name if own else ""))
        return Stated(": ".join(names[:count]), amount, use)

    def _amount(self, at: int, paragraph: Paragraph) -> None:
        for one in self.amounts[at]:
            self.page.fabrics[one.name].told.append(paragraph)
        role, amount = self.amounts[at][0].name, self.amounts[at][0].amount
        if self.heads and len(self.amounts[at]) == 1:
            self._head(role, paragraph)
        else:
            self._end("")
        for cell in paragraph.cells:
            if cell != amount and wants_cut(cell, in_list=True):
                self._head(role, paragraph)
                for line in cell.split("\n"):
                    self._take(role, line, paragraph)

    # the rest

    def _head(self, role: str, paragraph: Paragraph) -> None:
        self.current, self.why = role, ""
        self.headed, self.is_indented = paragraph, None

    def _stands_out(self, paragraph: Paragraph) -> bool:
        """Whether a line stands as far left as its heading, below cuts that are indented."""
        head, line = self.headed, paragraph.lines[0]
        if head is None or head.place.column != line.place.column or head is paragraph:
            return False
        is_indented = line.left > head.lines[0].left + line.height / 2
        if self.is_indented is None:
            self.is_indented = is_indented
        return self.is_indented and not is_indented

    def _end(self, why: str) -> None:
        self.current, self.why = None, why or WHOSE

    def _row(self, paragraph: Paragraph) -> None:
        """Read a table's row without an amount: a name and its cuts side by side, or words."""
        first, *others = [cell for cell in paragraph.cells if cell]
        cuts = [cell for cell in others if wants_cut(cell, in_list=True)]
        found = self.names.find(first)
        if cuts and len(found) == 1 and not wants_cut(first, in_list=True):
            self.page.fabrics[found[0]].told.append(paragraph)
            for cell in cuts:
                for line in cell.split("\n"):
                    self._take(found[0], line, paragraph)
            return
        if cuts or wants_cut(first, in_list=True):
            self._cuts(" ".join(cell for cell in paragraph.cells if cell), paragraph)
            return
        self._other(paragraph, "a row of a table")

    def _paragraph(self, at: int, paragraph: Paragraph) -> None:
        core = paragraph.core
        if self._fact(at, paragraph):
            return
        if self._heading(paragraph, core):
            return
        if section := section_of(core):
            self.section, self.block = section, None
            self._end("")
            self._other(paragraph, "a heading")
        elif is_block(core) and not wants_cut(core):
            self.block = paragraph
            self._end("")
            self._other(paragraph, "a heading")
        elif is_sewing(core):
            self._sewing(paragraph, core)
        elif ends_scope(core):
            self._end("")
            self._other(paragraph, "a heading")
        else:
            self._cuts(core, paragraph)

    def _fact(self, at: int, paragraph: Paragraph) -> bool:
        core = paragraph.core
        found = _FINISHED.fullmatch(core) or _FACT.fullmatch(core)
        if found is not None:
            key = FACT_KEYS.get(fold_heading(found["label"]))
            if key == "Size" and re.search(r"\d", found["value"]):
                key = "Finished size"
            if key in ("Finished size", "Size", "Seam allowance", "Pattern"):
                if key in self.page.facts:
                    return False
                self.page.facts[key] = (found["value"].strip(), paragraph)
                return True
        is_title = at == 0 and len(core) <= _LONGEST_TITLE and "Pattern" not in self.page.facts
        if is_title and not wants_cut(core) and not section_of(core) and heading_of(core) is None:
            self.page.facts["Pattern"] = (core, paragraph)
            return True
        return False

    def _heading(self, paragraph: Paragraph, core: str) -> bool:
        """Take a line that names a fabric for the lines below it."""
        head = heading_of(core)
        if head is not None:
            return self._from_heading(paragraph, core, head)
        plain = plain_heading_of(core)
        return plain is not None and self._plain_heading(paragraph, core, plain)

    def _from_heading(self, paragraph: Paragraph, core: str, head: Heading) -> bool:
        """Take ``From the cream solid, cut:``; cuts on the same line are read as clauses."""
        if head.rest and _FROM_AGAIN.search(head.rest):
            return False
        role = self._named(head.name, makes_new=not self.has_amounts)
        if head.rest:
            if role is None or not wants_cut(core) or self.section == "sewing":
                return False
            self._take(role, core, paragraph)
            self._head(role, paragraph)
            return True
        if role is None:
            found = self.names.find(head.name)
            self._is_unsure(paragraph, head.name, found)
            return True
        self._head(role, paragraph)
        fabric = self.page.fabrics[role]
        fabric.told.append(paragraph)
        fabric.lines.append((core, paragraph))
        return True

    def _plain_heading(self, paragraph: Paragraph, core: str, plain: Heading) -> bool:
        """Take ``Cream solid``, ``Fabric A:``, ``White – 4 squares 3½"``."""
        found = self.names.find(plain.name)
        cuts = bool(plain.rest) and wants_cut(plain.rest, in_list=True)
        if len(found) == 1 and self.section != "sewing":
            others = self.names.mentioned(plain.rest) if plain.rest and not cuts else ()
            if others and found[0] not in others:
                self._is_unsure(paragraph, core, (found[0], *others))
                return True
            self._head(found[0], paragraph)
            if cuts:
                self._take(found[0], core, paragraph)
            else:
                self.page.fabrics[found[0]].told.append(paragraph)
            return True
        if plain.rest or len(found) == 1:
            return False
        if found:
            self._is_unsure(paragraph, plain.name, found)
            return True
        if self.has_amounts or not plain.names_cloth or section_of(core):
            return False
        role = self._named(plain.name, makes_new=True)
        if role is not None:
            self._head(role, paragraph)
            self.page.fabrics[role].told.append(paragraph)
        return role is not None

    def _is_unsure(self, paragraph: Paragraph, name: str, found: Sequence[str]) -> None:
        """Let a heading that may be several fabrics', or none's, hold for no line below it."""
        self._end(f"'{name}' may be {' or '.join(found)}" if found else WHOSE)
        self._other(paragraph, "a heading whose fabric is not sure")

    def _named(self, name: str, *, makes_new: bool) -> str | None:
        found = self.names.find(name)
        if len(found) == 1:
            return found[0]
        if found or not makes_new or not may_name_cloth(name):
            return None
        role = self.names.add(name.strip(), in_list=False)
        self.page.fabrics.setdefault(role, PageFabric(role))
        return role

    def _sewing(self, paragraph: Paragraph, core: str) -> None:
        """A sewing step ends what a heading holds for; its own cuts are asked about."""
        if is_cutting(core) and wants_cut(core):
            if self.current is not None and self.section != "sewing":
                self._take(self.current, core, paragraph)
                return
            self._cuts(core, paragraph)
            return
        self._end("it stands below a sewing step")
        self._other(paragraph, "a sewing step")

    def _cuts(self, core: str, paragraph: Paragraph) -> None:
        """Give each clause to the fabric it names, or to the heading's; else it is unsure."""
        if self.current is not None and self._stands_out(paragraph):
            self._end(f"it stands out from what is cut of {self.current}")
        if self.section == "sewing" and not is_of_cloth(core):
            self._other(paragraph, "a sewing step")
            return
        in_list = self.section == "cutting" or BULLET.match(paragraph.text) is not None
        if not wants_cut(core, in_list=in_list or self.current is not None):
            if self.current is not None and self.section != "sewing":
                self._take(self.current, core, paragraph)
            else:
                self._other(paragraph, "asks for no cloth")
            return
        clauses = tuple(clauses_of(core, self.names, self.current))
        for clause in clauses:
            self._clause(clause, paragraph)
        first = clauses[0] if len(clauses) == 1 else None
        if first is not None and first.leads and first.role and self.section != "sewing":
            self._head(first.role, paragraph)

    def _clause(self, clause: Clause, paragraph: Paragraph) -> None:
        role = clause.role
        is_new = role is None and clause.new_name and not self.has_amounts
        if is_new:
            role = self._named(clause.new_name, makes_new=True)
        if role is None and not clause.why and self.section != "sewing":
            role = self.current
        if role is None:
            self.page.unsure.append(Unsure(clause.text, paragraph, clause.why or self.why))
            return
        self._take(role, clause.text, paragraph)

    def _take(self, role: str, text: str, paragraph: Paragraph) -> None:
        fabric = self.page.fabrics[role]
        if self.block is not None:
            if not any(one is self.block for _, one in fabric.lines):
                fabric.lines.append((self.block.core, self.block))
            self.page.doubtful.append(paragraph)
        if text.strip():
            fabric.lines.append((text.strip(), paragraph))

    def _other(self, paragraph: Paragraph, why: str) -> None:
        self.page.others.append((paragraph, why))
