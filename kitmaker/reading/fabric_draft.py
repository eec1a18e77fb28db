"""A fabric while its pattern is being read: what is known of it so far.

Rows of several tables speak of one fabric. A draft gathers what they say and answers what
a reader of cuts has to ask: how wide the fabric is, how long the requirement, how many
prints it comes in.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from kitmaker.arithmetic.finishing import CAUTIOUS_USABLE_WIDTH
from kitmaker.errors import Level, Location, Problems, UnreadableError
from kitmaker.lengths import Length
from kitmaker.pattern import Amount, Fabric, Piece, Use, use_of
from kitmaker.reading.phrases.model import NARROWEST_WHOLE_WIDTH, WIDEST_WHOLE_WIDTH
from kitmaker.shop import fold_role

LARGEST_PIECE: Length = Fraction(400)
SMALLEST_PIECE: Length = Fraction(1, 10)
LONGEST_JOINED: Length = Fraction(4_000)
WIDEST_STRIP: Length = Fraction(60)
LONGEST_BACKING: Length = Fraction(150)
"""Beyond these a size is a slip of the keyboard. Our own bounds, no source."""

MOST_FABRICS = 1_000
"""More than any pattern has. Our own bound, no source."""


@dataclass(slots=True, kw_only=True)
class FabricDraft:
    """What is known of a fabric so far."""

    role: str  # as first typed
    where: Location  # the cell of its role
    # what the pattern states; None where nothing is stated or it is unread
    requirement: Amount | None = None
    # the number of separate pieces of cloth the requirement speaks of
    amount_prints: int | None = None
    prints: int | None = None  # the Prints cell
    # usable_width, form, sku, description: as in :class:`kitmaker.pattern.Fabric`
    usable_width: Length | None = None
    form: str | None = None
    sku: str | None = None
    description: str = ""
    pieces: list[Piece] = field(default_factory=list)  # the pieces read so far
    repeated: int = 0  # how often the same requirement stands there again
    # what is wrong with amounts that cannot be read
    unread: Problems = field(default_factory=Problems)
    # whether a cut was not sure, as one "from each" of an unknown number
    needs_amount: bool = False

    def print_count(self) -> int | None:
        """How many prints "from each" multiplies by; None when unsure."""
        said = {count for count in (self.prints, self.amount_prints) if count is not None}
        return said.pop() if len(said) == 1 else None

    @property
    def counted_width(self) -> Length:
        """What strips of it are counted on, inches: its own width, else 40."""
        return self.usable_width or CAUTIOUS_USABLE_WIDTH

    @property
    def whole_widths(self) -> tuple[Length, Length]:
        """From and up to which length a strip goes across the whole fabric, inches."""
        narrowest = self.usable_width or NARROWEST_WHOLE_WIDTH
        return narrowest, max(WIDEST_WHOLE_WIDTH, narrowest + 5)

    def is_whole_width(self, length: Length) -> bool:
        """Whether a strip of this length goes across the whole fabric."""
        narrowest, widest = self.whole_widths
        return narrowest <= length <= widest

    def believes_strip(self, width: Length) -> bool:
        """Whether a strip across the whole fabric may be so wide; a backing's lengths are."""
        is_backing = use_of(self.role) is Use.BACKING
        return width <= (LONGEST_BACKING if is_backing else WIDEST_STRIP)

    def finished(self, problems: Problems) -> Fabric:
        """Return the fabric, pieces of one name told apart by a number.

        An amount that cannot be read blocks a fabric only where its cuts are not sure.
        """
        if self.pieces and not self.needs_amount:
            problems += [
                replace(one, level=Level.WARNING, message=f"{one.message}; the cuts are read")
                for one in self.unread
            ]
        else:
            problems += self.unread
        return Fabric(
            role=self.role,
            requirement=self.requirement,
            pieces=tuple(self._numbered(problems)),
            form=self.form,
            prints=self.prints,
            usable_width=self.usable_width,
            sku=self.sku,
            description=self.description,
            use=use_of(self.role),
            where=self.where,
        )

    def _numbered(self, problems: Problems) -> list[Piece]:
        taken = {piece.name.casefold() for piece in self.pieces}
        last: dict[str, int] = {}
        named: list[Piece] = []
        for piece in self.pieces:
            folded = piece.name.casefold()
            if folded not in last:
                last[folded] = 1
                named.append(piece)
                continue
            last[folded] += 1
            while f"{folded} {last[folded]}" in taken:
                last[folded] += 1
            name = f"{piece.name} {last[folded]}"
            taken.add(name.casefold())
            problems.warn(
                f"'{piece.name}' stands there more than once for '{self.role}'; this one is "
                f"called '{name}' and both are counted",
                piece.where,
                "Give it a name of its own, or delete it if it is the same piece.",
            )
            named.append(replace(piece, name=name))
        return named


class FabricDrafts:
    """The drafts of a pattern by role, in the order in which the roles first stand there."""

    def __init__(self) -> None:
        self._drafts: dict[str, FabricDraft] = {}

    def find(self, role: str) -> FabricDraft | None:
        """Return the draft of a role, compared without case, spaces and hyphens."""
        return self._drafts.get(fold_role(role))

    def get(self, role: str, where: Location) -> FabricDraft:
        """Return the draft of a role, a new one when it is new."""
        draft = self._drafts.setdefault(fold_role(role), FabricDraft(role=role, where=where))
        if len(self._drafts) > MOST_FABRICS:
            raise UnreadableError(
                f"'{where.workbook}' names more than {MOST_FABRICS} fabrics. "
                "Look whether counts or notes stand in the Fabric column."
            )
        return draft

    def all(self) -> tuple[FabricDraft, ...]:
        """The drafts, in order."""
        return tuple(self._drafts.values())
