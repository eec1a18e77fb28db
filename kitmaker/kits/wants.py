"""What is wanted of one SKU's rows on the shelf, and what is taken of them: values only."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from kitmaker.cutting.purchase import StripLoss
from kitmaker.lengths import Length


@dataclass(frozen=True, slots=True)
class ShelfPiece:
    """A row of the shelf.

    Attributes:
        free: Inches of a length; how many are in a pile.
        lot: Its dye lot ("" is one too).
        form: The form in a pile; "" for a length.
        side_by_side: Of a length: (form, how many one cut gives) of each form it can give.
    """

    free: Length
    lot: str = ""
    form: str = ""
    side_by_side: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class FormCut:
    """How a form is cut off a length: the inches of a cut, and whether it pays as strips do."""

    form: str
    along: Length
    is_strip: bool = False


@dataclass(frozen=True, slots=True)
class Want:
    """What is wanted several times.

    Attributes:
        parts: (inches, how many) that belong together and come from one dye lot.
        copies: How many times; for what is in a bag, in kits.
        is_strip: Whether the lengths pay for straightening and re-squaring.
        is_loose: Whether it is cut for all kits, and not wanted kit by kit.
        forms: (form, how many), from the same lot.
        gives: Of what is loose: (piece, how many a copy gives).
        pieces: Of a kit: (piece, how many it takes), from loose wants of its lot.
    """

    parts: tuple[tuple[Length, int], ...]
    copies: int
    is_strip: bool = False
    is_loose: bool = False
    forms: tuple[tuple[str, int], ...] = ()
    gives: tuple[tuple[str, int], ...] = ()
    pieces: tuple[tuple[str, Fraction], ...] = ()

    @property
    def inches(self) -> Length:
        """Inches of one copy."""
        return sum((size * count for size, count in self.parts), Fraction(0))


@dataclass(frozen=True, slots=True)
class Allocation:
    """Where everything goes.

    Attributes:
        taken: Off each row, in their order: inches, loss included, or pieces of a form.
        placed: Copies of each want that found a place, in the order of the wants.
        lots: Of each want, the dye lots that it comes from.
        cuts: Of each row, (form, cuts) that give forms.
        strips: Of each row, (inches, how many) of strips and stretches cut up for all kits.
        exact: Whether it is sure that no more can be placed.
    """

    taken: tuple[Length, ...]
    placed: tuple[int, ...]
    lots: tuple[frozenset[str], ...]
    cuts: tuple[tuple[tuple[str, int], ...], ...]
    strips: tuple[tuple[tuple[Length, int], ...], ...]
    exact: bool = True


@dataclass(frozen=True, slots=True)
class Task:
    """The shelf, and what is wanted of it."""

    shelf: tuple[ShelfPiece, ...]
    wants: tuple[Want, ...]
    loss: StripLoss
    form_cuts: tuple[FormCut, ...] = ()

    @property
    def lots(self) -> tuple[str, ...]:
        """The dye lots on the shelf."""
        return tuple(dict.fromkeys(piece.lot for piece in self.shelf))

    def only(self, lot: str) -> Task:
        """Return the task with nothing free of other lots."""
        none = Fraction(0)
        own = (one if one.lot == lot else replace(one, free=none, lot=lot) for one in self.shelf)
        return replace(self, shelf=tuple(own))

    def lots_by_size(self) -> list[str]:
        """Return the lots, that with the least cloth first."""
        cloth = dict.fromkeys(self.lots, Fraction(0))
        for piece in self.shelf:
            cloth[piece.lot] += piece.free * (self.along(piece.form) if piece.form else 1)
        return sorted(self.lots, key=lambda lot: (cloth[lot], lot))

    def along(self, form: str) -> Length:
        """Return the inches of a form's cut; 1 where it is not cut off a length."""
        return next((cut.along for cut in self.form_cuts if cut.form == form), Fraction(1))

    def forms_wanted(self, copies: Sequence[int]) -> Counter[str]:
        """Return how many of each form some copies of the wants take."""
        forms: Counter[str] = Counter()
        for want, times in zip(self.wants, copies, strict=True):
            for form, count in want.forms:
                forms[form] += count * times
        return forms

    def strips_of(self, copies: Sequence[int]) -> int:
        """Return how many strips some copies of the wants are."""
        pairs = zip(self.wants, copies, strict=True)
        return sum(n * times for want, times in pairs if want.is_strip for _, n in want.parts)

    def inches_of_cuts(self, cuts: Iterable[tuple[str, int]], strips: int) -> Length:
        """Return the inches of (form, cuts), with the loss of those and of some strips."""
        inches = Fraction(0)
        pays = {cut.form for cut in self.form_cuts if cut.is_strip}
        for form, count in cuts:
            inches += self.along(form) * count
            strips += count if form in pays else 0
        return inches + self.loss.on(strips)

    def worth(self, want: Want) -> Fraction:
        """Return what a placed copy counts for: its inches, and those of its forms.

        A kit whose pieces the shop cuts counts for its share of what is cut for all.
        """
        own = want.inches
        own += sum((self.along(form) * count for form, count in want.forms), Fraction(0))
        if not want.pieces:
            return own
        kits = sum(other.copies for other in self.wants if other.pieces)
        bulk = (one.inches * one.copies for one in self.wants if one.is_loose)
        return own + sum(bulk, Fraction(0)) / kits + 1
