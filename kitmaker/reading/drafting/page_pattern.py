"""A page's paragraphs into a pattern: which fabric each line of cuts belongs to, never guessed.

A line belongs to the fabric that it names itself ("From white cut 4 …"), else to the one that
the heading above names ("From the cream solid, cut:"). A heading that names none, or several,
a sewing step and a new section end what a heading holds for; a cut below them is *unsure*, and a
person says whose it is.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from kitmaker.errors import Location
from kitmaker.reading.drafting.names import FabricNames
from kitmaker.reading.drafting.page_amounts import (
    is_bare_amount,
    is_read,
    name_and_use,
)
from kitmaker.reading.drafting.page_clauses import (
    Clause,
    Heading,
    clauses_of,
    ends_scope,
    heading_of,
    heads_alone,
    is_block,
    is_of_cloth,
    is_sewing,
    may_name_cloth,
    plain_heading_of,
    section_of,
    wants_cut,
)
from kitmaker.reading.drafting.page_sizes import (
    PageSizes,
    size_in_front,
    size_named,
)
from kitmaker.reading.drafting.page_tables import find_amounts
from kitmaker.reading.drafting.paragraphs import BULLET, Paragraph
from kitmaker.reading.layout import FABRIC_NAMES, FACT_KEYS
from kitmaker.reading.phrases import is_cutting
from kitmaker.reading.tables import fold_heading
from kitmaker.shop import fold_role

_FACT = re.compile(r"(?P<label>[A-Za-z ]{3,24}?)\s*[:=]\s*(?P<value>\S.{0,80})")
_FINISHED = re.compile(
    r"(?P<label>finished\s+(?:quilt\s+)?size|quilt\s+size|finished\s+quilt|finished)\b[\s:–—-]*"
    r"(?:is\s+|about\s+|approximately\s+)?(?P<value>\d.{0,60})",
    re.IGNORECASE,
)
_COUNT = re.compile(r"\d{1,3}")
_SAYS_OF_WHAT = re.compile(r"\b(?:per|each|every|blocks?|units?|finished|total)\b", re.IGNORECASE)
"""Words of a table's headings, below which a bare number may be no count of what is cut."""
_FABRIC_HEADINGS = frozenset(map(fold_heading, ("Fabric", "Fabrics", *FABRIC_NAMES)))
_LONGEST_TITLE = 80
_FROM_AGAIN = re.compile(r"\b(?:from|out\s+of)\b", re.IGNORECASE)
WHOSE = "its fabric is not said for sure"
TWO_AMOUNTS = "Two amounts are stated for its fabric: its cuts may be of two patterns, or sizes."
NOT_READ = (
    "What the figures of this row ask for is not said. Type it here, or 'no cut' under Choose."
)
NOT_WHOSE = (
    "An amount whose fabric is not said. Type it under Requirement of its fabric, and 'no cut' "
    "under Choose in this row."
)


@dataclass(slots=True)
class PageFabric:
    """A fabric of a page."""

    role: str  # its name
    # what is stated for it, by the size of the quilt; "" for any size
    amounts: dict[str, str] = field(default_factory=dict)
    # the paragraphs that state its amount, and those that head its cuts
    told: list[Paragraph] = field(default_factory=list)
    # its cuts, each with the paragraph it stands in, and its size
    lines: list[tuple[str, Paragraph, str]] = field(default_factory=list)

    def add_amount(self, size: str, amount: str) -> None:
        """Take an amount; two for one size stand side by side, to be held against each other."""
        others = self.amounts.get(size, "")
        if amount.casefold() not in others.casefold().split(" / "):
            self.amounts[size] = " / ".join(filter(None, (others, amount)))

    @property
    def has_two_amounts(self) -> bool:
        """Whether amounts that differ are stated for it, in one size."""
        return any(" / " in amount and not is_read(amount) for amount in self.amounts.values())


@dataclass(frozen=True, slots=True)
class Unsure:
    """A line of cuts whose fabric is not sure."""

    text: str  # its words
    paragraph: Paragraph  # where it stands
    why: str  # why it is not sure
    size: str = ""  # the size of the quilt that it is for; "" for any


@dataclass(slots=True)
class PagePattern:
    """What a page says."""

    sizes: tuple[str, ...] = ()  # the sizes of the quilt; none where it has one only
    # label to value and paragraph
    facts: dict[str, tuple[str, Paragraph]] = field(default_factory=dict)
    fabrics: dict[str, PageFabric] = field(default_factory=dict)  # by role, in order
    unsure: list[Unsure] = field(default_factory=list)  # cuts whose fabric a person must say
    # every other paragraph, with what it was taken for
    others: list[tuple[Paragraph, str]] = field(default_factory=list)
    # why cuts are to be looked at, by the place of their paragraphs
    doubtful: dict[Location, str] = field(default_factory=dict)


def read_page(paragraphs: Sequence[Paragraph]) -> PagePattern:
    """Return what a page says, paragraph by paragraph."""
    return _Page(paragraphs).read()


class _Page:
    def __init__(self, paragraphs: Sequence[Paragraph]) -> None:
        self.paragraphs = paragraphs
        self.names = FabricNames()
        self.sizes = PageSizes(paragraphs)
        self.size = ""
        self.is_inner = False
        self.page = PagePattern(sizes=tuple(self.sizes.names.values()))
        self.section = ""
        self.current: str | None = None
        self.why = WHOSE
        self.block: Paragraph | None = None
        self.amounts = find_amounts(paragraphs, self.sizes)
        self.has_amounts = False
        self.heads = False
        self.headed: Paragraph | None = None
        self.is_indented: bool | None = None
        self.has_cuts = False
        self.table_heads, self.names_first = "", False

    def read(self) -> PagePattern:
        """Read the amounts first: they name the fabrics; then what is cut of each."""
        self._name_fabrics()
        for at, paragraph in enumerate(self.paragraphs):
            if at in self.amounts:
                self._amount(at, paragraph)
            elif paragraph.cells:
                self._row(paragraph)
            else:
                self._paragraph(at, paragraph)
        return self.page

    # amounts

    def _name_fabrics(self) -> None:
        for found in self.amounts.values():
            for place, one in enumerate(found):
                role = self.names.add(one.name, sold_as=one.amount, use=one.use)
                fabric = self.page.fabrics.setdefault(role, PageFabric(role))
                fabric.add_amount(self.sizes.known(one.size), one.amount)
                found[place] = replace(one, name=role)
        self.has_amounts = bool(self.amounts)
        followed = [at for at, found in self.amounts.items() if self._is_followed(at, len(found))]
        self.heads = len(followed) >= 2 or len(followed) == len(self.amounts) == 1

    def _is_followed(self, at: int, count: int) -> bool:
        """Whether cuts stand right below a line that states one amount."""
        if count > 1 or at + 1 >= len(self.paragraphs) or at + 1 in self.amounts:
            return False
        below = self.paragraphs[at + 1].core
        return wants_cut(below, in_list=True) and plain_heading_of(below) is None

    def _amount(self, at: int, paragraph: Paragraph) -> None:
        roles = dict.fromkeys(amount.name for amount in self.amounts[at])
        for role in roles:
            self.page.fabrics[role].told.append(paragraph)
        role, amounts = self.amounts[at][0].name, {amount.amount for amount in self.amounts[at]}
        if self.heads and len(roles) == 1:
            self._head(role, paragraph)
        else:
            self._end("")
        for cell in paragraph.cells:
            if cell not in amounts and wants_cut(cell, in_list=True):
                self._head(role, paragraph)
                for line in cell.split("\n"):
                    self._take(role, line, paragraph)

    # the rest

    def _head(self, role: str, paragraph: Paragraph) -> None:
        self.current, self.why = role, ""
        self.headed, self.is_indented, self.has_cuts = paragraph, None, False
        if self.is_inner:
            self.size, self.is_inner = "", False

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
        if all(map(is_bare_amount, (first, *others))):
            self.page.unsure.append(Unsure(paragraph.text, paragraph, NOT_WHOSE))
            return
        if others and all(map(size_named, others)):
            self._other(paragraph, "a row of a table")
            return
        cuts, has_figures = self._cuts_of_row(others), re.search(r"\d", paragraph.text)
        if not cuts and not has_figures:
            self.table_heads = paragraph.text
            self.names_first = fold_heading(first) in _FABRIC_HEADINGS
        asks = wants_cut(first, in_list=True)
        found = () if asks else self._first_of_row(first, makes_new=bool(cuts) and self.names_first)
        if cuts and len(found) == 1:
            self.page.fabrics[found[0]].told.append(paragraph)
            for line in (line for cell in cuts for line in cell.split("\n")):
                self._take(found[0], line, paragraph)
        elif cuts or asks:
            self._cuts(" ".join(cell for cell in paragraph.cells if cell), paragraph)
        elif found and has_figures:
            self.page.unsure.append(Unsure(paragraph.text, paragraph, NOT_READ))
        else:
            self._other(paragraph, "a row of a table")

    def _cuts_of_row(self, others: Sequence[str]) -> list[str]:
        """Return the cuts in a row: cells that ask for one, or a count and a size together."""
        cuts = [cell for cell in others if wants_cut(cell, in_list=True)]
        numbers = sum(_COUNT.fullmatch(cell) is not None for cell in others)
        together = " ".join(others)
        if numbers == 1 and len(cuts) < 2 and not _SAYS_OF_WHAT.search(self.table_heads):
            return [together] if wants_cut(together, in_list=True) else []
        return cuts

    def _first_of_row(self, first: str, *, makes_new: bool) -> tuple[str, ...]:
        """Return the fabrics that a row's first cell may mean; a new one below ``Fabric``."""
        found = self.names.find(first)
        if found or not makes_new:
            return found
        role = self._named(name_and_use(first)[0], makes_new=True)
        return () if role is None else (role,)

    def _paragraph(self, at: int, paragraph: Paragraph) -> None:
        core = paragraph.core
        if self._fact(at, paragraph) or self._size_heading(at, paragraph, core):
            return
        if is_bare_amount(core):
            self.page.unsure.append(Unsure(core, paragraph, NOT_WHOSE))
            return
        if self._heading(paragraph, core):
            return
        if section := section_of(core):
            self.section, self.block, self.size = section, None, ""
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

    def _size_heading(self, at: int, paragraph: Paragraph, core: str) -> bool:
        """Take ``Crib size`` for the cuts below; right below a fabric, for its own."""
        size = self.sizes.known(size_named(core))
        if not size:
            return False
        is_below = self.headed is self.paragraphs[at - 1] and not self.has_cuts
        self.is_inner = self.is_inner or is_below
        if not self.is_inner:
            self._end("")
        self.size = size
        self._other(paragraph, "a heading")
        return True

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
        fabric.lines.append((core, paragraph, self.size))
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
                is_all_name = fold_role(plain.name) == fold_role(found[0])
                self._take(found[0], plain.rest if is_all_name else core, paragraph)
            else:
                self.page.fabrics[found[0]].told.append(paragraph)
            return True
        if plain.rest or len(found) == 1:
            return False
        if found:
            self._is_unsure(paragraph, plain.name, found)
            return True
        if section_of(core) or is_block(core):
            return False
        if not self.has_amounts and plain.names_cloth:
            role = self._named(plain.name, makes_new=True)
            if role is not None:
                self._head(role, paragraph)
                self.page.fabrics[role].told.append(paragraph)
                return True
        if self.current is not None and heads_alone(core):
            self._is_unsure(paragraph, plain.name, ())
            return True
        return False

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
        if paragraph.lines[0].is_astray:
            self._end("it stands between two rows of a table")
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
            why = clause.why or self.why
            self.page.unsure.append(Unsure(clause.text, paragraph, why, self.size))
            return
        self._take(role, clause.text, paragraph)

    def _take(self, role: str, text: str, paragraph: Paragraph) -> None:
        fabric, size = self.page.fabrics[role], self.size
        self.has_cuts = True
        if self.block is not None:
            if not any(one is self.block for _, one, _ in fabric.lines):
                fabric.lines.append((self.block.core, self.block, size))
            self.page.doubtful[paragraph.place] = "The heading above may multiply it."
        if fabric.has_two_amounts:
            self.page.doubtful[paragraph.place] = TWO_AMOUNTS
        if self.page.sizes and not size:
            size, text = self._of_size(text, paragraph)
        if text.strip():
            fabric.lines.append((text.strip(), paragraph, size))

    def _of_size(self, text: str, paragraph: Paragraph) -> tuple[str, str]:
        """Return the one size that a line is for, and its words; "" for all sizes, to look at."""
        named, rest = size_in_front(text)
        spoken = self.sizes.spoken_of(text)
        if len(spoken) == 1:
            return spoken[0], rest if self.sizes.known(named) else text
        if wants_cut(text, in_list=True):
            message = "No size is said for it, so it is cut for each."
            self.page.doubtful[paragraph.place] = message
        return "", text

    def _other(self, paragraph: Paragraph, why: str) -> None:
        self.page.others.append((paragraph, why))
