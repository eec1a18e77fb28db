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
    """A row of the shelf."""

    free: Length  # inches of a length; how many are in a pile
    lot: str = ""  # its dye lot ("" is one too)
    form: str = ""  # the form in a pile; "" for a length
    # of a length: (form, how many one cut gives) of each form it can give
    side_by_side: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class FormCut:
    """How a form is cut off a length: the inches of a cut, and whether it pays as strips do."""

    form: str
    along: Length
    is_strip: bool = False


@dataclass(frozen=True, slots=True)
class Want:
    """What is wanted several times."""

    # (inches, how many) that belong together and come from one dye lot
    parts: tuple[tuple[Length, int], ...]
    copies: int  # how many times; for what is in a bag, in kits
    is_strip: bool = False  # whether the lengths pay for straightening and re-squaring
    is_loose: bool = False  # whether it is cut for all kits, and not wanted kit by kit
    forms: tuple[tuple[str, int], ...] = ()  # (form, how many), from the same lot
    gives: tuple[tuple[str, int], ...] = ()  # of what is loose: (piece, how many a copy gives)
    # of a kit: (piece, how many it takes), from loose wants of its lot
    pieces: tuple[tuple[str, Fraction], ...] = ()

    @property
    def inches(self) -> Length:
        """Inches of one copy."""
        return sum((size * count for size, count in self.parts), Fraction(0))


@dataclass(frozen=True, slots=True)
class FromRow:
    """What a row gives."""

    taken: Length  # inches, loss included, or pieces of a form
    cuts: tuple[tuple[str, int], ...] = ()  # (form, cuts) that give forms
    # (inches, how many) of strips and stretches cut up for all kits
    strips: tuple[tuple[Length, int], ...] = ()
    # (inches, how many) of lengths that go into bags as they are
    bags: tuple[tuple[Length, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Allocation:
    """Where everything goes."""

    rows: tuple[FromRow, ...]  # what each row gives, in their order
    placed: tuple[int, ...]  # copies of each want that found a place, in the order of the wants
    lots: tuple[frozenset[str], ...]  # of each want, the dye lots that it comes from
    exact: bool = True  # whether it is sure that no more can be placed

    @property
    def taken(self) -> tuple[Length, ...]:
        """Off each row: inches, loss included, or pieces of a form."""
        return tuple(row.taken for row in self.rows)


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

    @property
    def inches(self) -> Length:
        """Inches of all lengths and strips that are wanted."""
        return sum((want.inches * want.copies for want in self.wants), Fraction(0))

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

    def off_piles(self) -> tuple[dict[int, int], Counter[str]]:
        """Return what each pile gives of the forms that all copies take, and what is missing.

        The smallest piles give first.
        """
        missing = self.forms_wanted([want.copies for want in self.wants])
        given: dict[int, int] = {}
        piles = [at for at, piece in enumerate(self.shelf) if piece.form]
        for at in sorted(piles, key=lambda at: (self.shelf[at].free, -at)):
            form = self.shelf[at].form
            given[at] = min(int(self.shelf[at].free), missing[form])
            missing[form] -= given[at]
        return given, +missing

    def off_one_length(
        self, cuts: Sequence[tuple[str, int]], parts: Iterable[tuple[Want, Length, int]]
    ) -> FromRow:
        """Return what cuts that give forms and parts of wants take off one length.

        Cuts are (form, cuts); parts (want, inches, how many) of what else is cut off it.
        """
        strips: Counter[Length] = Counter()
        bags: Counter[Length] = Counter()
        for want, size, count in parts:
            (strips if want.is_strip else bags)[size] += count
        pays = {cut.form for cut in self.form_cuts if cut.is_strip}
        inches = sum((size * count for size, count in (strips + bags).items()), Fraction(0))
        inches += sum((self.along(form) * count for form, count in cuts), Fraction(0))
        paying = strips.total() + sum(count for form, count in cuts if form in pays)
        return FromRow(
            inches + self.loss.on(paying),
            tuple(cuts),
            tuple(sorted((+strips).items())),
            tuple(sorted((+bags).items())),
        )

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
