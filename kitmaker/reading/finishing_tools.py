"""What the parts of a Finishing sheet share: its labels, the fabrics, and how to add to them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from kitmaker.arithmetic.figures import CutRules
from kitmaker.errors import Location
from kitmaker.lengths import Length
from kitmaker.pattern import Note, Piece, Use, use_of
from kitmaker.reading.fabric_draft import FabricDraft, FabricDrafts
from kitmaker.reading.finishing_control import (
    agree,
    compare_pieces,
    look_alikes,
    narrow,
    needs_run,
    pieces_of,
    say_places,
    says_no_purpose,
)
from kitmaker.reading.finishing_sheet import FinishingLabels
from kitmaker.reading.slips import find_slip


def piece_of(
    name: str, size: tuple[Length, Length], count: int, where: Location, formula: str, **more: Any
) -> Piece:
    """Return a piece that the sheet asks for, of a cut size in inches."""
    width, length = size
    told = {"where": where, "formula": formula, **more}
    return Piece(name=name, width=width, length=length, quantity=count, **told)


@dataclass(slots=True)
class Tools:
    """A Finishing sheet at work."""

    labels: FinishingLabels
    drafts: FabricDrafts  # the fabrics so far
    notes: list[Note]  # what was made of the sheet
    rules: CutRules  # the seam allowance, the unit, and what cut sizes are rounded up to

    @property
    def seam(self) -> Length:
        """The seam allowance, inches."""
        return self.rules.seam

    def draft(self, part: str, use: Use | None = None, key: str = "") -> FabricDraft:
        """Return the fabric a part is cut from, a new one when it is in no table.

        The part names it where the sheet does not, or its use; ``key`` is the label that names it
        where that is not the part's own.
        """
        key = key or f"{part} fabric"
        role = self.labels.text(key)
        if not role:
            of_use = [one for one in self.drafts.all() if use_of(one.role) is use]
            if use is not None and of_use:
                return of_use[0]
            if (named := self._cut_from(part)) is not None:
                return named
        where = self.labels.location(key, part, f"{part} width", f"{part} overhang", "Quilt width")
        meant = find_slip(role, [draft.role for draft in self.drafts.all()]) if role else None
        if meant is not None and self.drafts.find(role) is None:
            self.labels.error(key, f"no table has the fabric '{role}'", f"Did you mean '{meant}'?")
            return self.drafts.get(meant, where)
        return self.drafts.get(role or part, where)

    def _cut_from(self, part: str) -> FabricDraft | None:
        """Return the one fabric with pieces of a part's name; None for none or several."""
        here, word = self.labels.where.sheet, part.casefold()
        found = [
            draft
            for draft in self.drafts.all()
            for piece in draft.pieces
            if word in piece.name.casefold() and piece.where.sheet != here
        ]
        return found[0] if len(set(map(id, found))) == 1 else None

    def say(self, length: Length) -> str:
        """Say a measure without its unit."""
        return self.rules.say(length)

    def with_unit(self, length: Length) -> str:
        """Say a measure with its unit."""
        return f"{self.say(length)} {self.labels.unit.value}"

    def estimate(self, part: str, assumed: list[str], suggestion: str, *keys: str) -> None:
        """Mark a part as an estimate where something had to be assumed."""
        if assumed:
            self.labels.warning(
                f"an estimate: for the {part}, {' and '.join(assumed)} assumed", suggestion, *keys
            )

    def note(self, words: str, text: str, draft: FabricDraft, where: Location) -> None:
        """Tell what was made of the sheet's words for a fabric."""
        self.notes.append(Note(where=where, words=words, understood=text, role=draft.role))

    def has(self, draft: FabricDraft, word: str) -> list[Piece]:
        """Return the pieces of a part that a fabric has from elsewhere than this sheet."""
        return self._elsewhere(pieces_of(draft, word))

    def _elsewhere(self, pieces: list[Piece]) -> list[Piece]:
        return [piece for piece in pieces if piece.where.sheet != self.labels.where.sheet]

    def put(self, draft: FabricDraft, word: str, pieces: list[Piece], where: Location) -> None:
        """Add pieces to a fabric, or compare them with those it already has.

        Such pieces are known by a word: ``binding``.
        """
        problems, unit = self.labels.problems, self.labels.unit
        stated = self.has(draft, word)
        if stated:
            widths = set(map(narrow, stated))
            others = [piece for piece in pieces if narrow(piece) not in widths]
            if len(others) == len(pieces) or not widths < set(map(narrow, pieces)):
                others = []  # else a border of its own beside one of the table's
            asked = [piece for piece in pieces if piece not in others]
            problems += compare_pieces(draft, word, stated, asked, where, unit)
            draft.pieces = [needs_run(piece, stated, asked, word) for piece in draft.pieces]
            draft.pieces.extend(others)
            return
        alike = self._elsewhere(look_alikes(draft, word, pieces))
        plain = [one for one in alike if says_no_purpose(one.name)]
        found = plain or alike
        if found:
            agrees = agree(draft, word, found, pieces)
            exact = set(map(narrow, found)) <= set(map(narrow, pieces))
            message = (
                f"{say_places(found)} of '{draft.role}' may be the {word} that this sheet asks for"
            )
            if plain and agrees and exact:
                problems += compare_pieces(draft, word, plain, pieces, where, unit)
                draft.pieces = [needs_run(piece, plain, pieces, word) for piece in draft.pieces]
                return
            if (plain and agrees) or (exact and (plain or agrees)):
                todo = f"Call it '{word}' if it is, else write 'not {word}' in its Notes."
                problems.refuse(message, where, todo)
                return
            if exact:
                todo = f"Call it '{word}' if it is."
                problems.warn(f"{message}; both are counted", where, todo)
        elif self._is_of_another_fabric(draft, word, pieces, where):
            return
        draft.pieces.extend(pieces)

    def _is_of_another_fabric(
        self, draft: FabricDraft, word: str, pieces: list[Piece], where: Location
    ) -> bool:
        for other in self.drafts.all():
            alike = look_alikes(other, word, pieces) if other is not draft else []
            found = [one for one in self.has(other, word) if one in alike]
            if found:
                message = (
                    f"the {word} is of '{draft.role}' here, but of '{other.role}' at "
                    f"{say_places(found)}"
                )
                todo = (
                    f"Name one fabric for it in both places, or write 'not {word}' in the Notes "
                    "of the pieces."
                )
                self.labels.problems.refuse(message, where, todo)
                return True
        return False
