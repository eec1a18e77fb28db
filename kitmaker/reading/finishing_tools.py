"""What the parts of a Finishing sheet share: its labels, the fabrics, and how to add to them."""

from __future__ import annotations

from dataclasses import dataclass

from kitmaker.arithmetic.figures import CutRules
from kitmaker.arithmetic.finishing import CAUTIOUS_USABLE_WIDTH
from kitmaker.lengths import Length, say_size
from kitmaker.pattern import Note, Piece, Use, use_of
from kitmaker.reading.fabric_draft import FabricDraft, FabricDrafts
from kitmaker.reading.finishing_control import compare_pieces, pieces_of
from kitmaker.reading.finishing_sheet import FinishingLabels


def usable_width(draft: FabricDraft) -> Length:
    """Return what strips of a fabric are counted on, inches: its own width, else 40."""
    return draft.usable_width or CAUTIOUS_USABLE_WIDTH


@dataclass(slots=True)
class Tools:
    """A Finishing sheet at work.

    Attributes:
        labels: The sheet.
        drafts: The fabrics so far.
        notes: What was made of the sheet.
        rules: The seam allowance, the unit, and what cut sizes are rounded up to.
    """

    labels: FinishingLabels
    drafts: FabricDrafts
    notes: list[Note]
    rules: CutRules

    @property
    def seam(self) -> Length:
        """The seam allowance, inches."""
        return self.rules.seam

    def draft(self, part: str, use: Use | None = None, key: str = "") -> FabricDraft:
        """Return the fabric a part is cut from, a new one when it is in no table.

        Args:
            part: The part, which names the fabric where the sheet does not.
            use: What the fabric may be known by instead; None for nothing.
            key: The label that names it; "" for the part's own.
        """
        key = key or f"{part} fabric"
        role = self.labels.text(key)
        if not role and use is not None:
            for draft in self.drafts.all():
                if use_of(draft.role) is use:
                    return draft
        where = self.labels.location(key, part, f"{part} width", f"{part} overhang", "Quilt width")
        return self.drafts.get(role or part, where)

    def say(self, length: Length) -> str:
        """Say a measure without its unit."""
        return say_size(length, self.labels.unit)

    def with_unit(self, length: Length) -> str:
        """Say a measure with its unit."""
        return f"{self.say(length)} {self.labels.unit.value}"

    def estimate(self, part: str, assumed: list[str], suggestion: str, *keys: str) -> None:
        """Mark a part as an estimate where something had to be assumed."""
        if assumed:
            self.labels.warning(
                f"an estimate: for the {part}, {' and '.join(assumed)} assumed", suggestion, *keys
            )

    def has(self, draft: FabricDraft, word: str) -> list[Piece]:
        """Return the pieces of a part that a fabric has from elsewhere than this sheet."""
        here = self.labels.where.sheet
        return [one for one in pieces_of(draft, word) if one.where.sheet != here]

    def put(
        self, draft: FabricDraft, word: str, pieces: list[Piece], keys: tuple[str, ...]
    ) -> None:
        """Add pieces to a fabric, or compare them with those it already has.

        Args:
            draft: The fabric.
            word: What such pieces are known by: ``binding``.
            pieces: What the sheet asks for.
            keys: The labels that ask for it.
        """
        where = self.labels.location(*keys)
        stated = self.has(draft, word)
        if stated:
            compare_pieces(draft, word, stated, pieces, where, self.labels)
            return
        draft.pieces.extend(pieces)
