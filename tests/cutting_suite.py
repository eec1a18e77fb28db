"""Cutting problems of the project's own: what a quilt shop meets, and puzzles without waste.

Nothing here comes from a pattern that is sold; sizes are what patterns use (finished sizes
plus seams, so eighths), counts run from one to some hundreds. Everything is made from
fixed numbers and seeded draws, so it is the same on every machine.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.cutting.problem import Demand

F = Fraction
CENTIMETER = Fraction(50, 127)

FORMS: dict[str, tuple[Fraction, Fraction]] = {
    "fat quarter": (F(20), F(16)),
    "fat eighth": (F(20), F(8)),
    "2½ strip": (F(40), F(5, 2)),
    "1½ strip": (F(40), F(3, 2)),
    "5 square": (F(5), F(5)),
    "6 square": (F(6), F(6)),
    "10 square": (F(10), F(10)),
    "metric fat quarter": (50 * CENTIMETER, 45 * CENTIMETER),
}


@dataclass(frozen=True)
class FormCase:
    """A number of pieces from one kind of form.

    Attributes:
        no_waste: Forms the pieces were made from by cutting them up; 0 for a kit.
    """

    name: str
    across: Fraction
    along: Fraction
    demands: tuple[Demand, ...]
    no_waste: int = 0


@dataclass(frozen=True)
class LengthCase:
    """A number of pieces from a length off the bolt."""

    name: str
    width: Fraction
    demands: tuple[Demand, ...]


def _demands(*pieces: str) -> tuple[Demand, ...]:
    """Read ``"5 x 2 1/2 *16 one-way"``: across, along, how many."""
    found = []
    for number, text in enumerate(pieces):
        size, _, rest = text.partition("*")
        across, _, along = size.partition("x")
        count, _, way = rest.partition(" ")
        found.append(
            Demand(f"{number}", _inches(across), _inches(along), int(count), way != "one-way")
        )
    return tuple(found)


def _inches(text: str) -> Fraction:
    return sum((F(part) for part in text.split()), F(0))


_KITS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("fat quarter", ("2 1/2 x 2 1/2 *96",)),
    ("fat quarter", ("5 x 5 *20", "2 1/2 x 4 1/2 *24")),
    ("fat quarter", ("4 1/2 x 4 1/2 *12", "2 1/2 x 4 1/2 *24", "2 1/2 x 2 1/2 *48")),
    ("fat quarter", ("3 7/8 x 3 7/8 *36", "3 1/2 x 3 1/2 *36", "2 x 3 1/2 *40")),
    ("fat quarter", ("6 1/2 x 6 1/2 *8", "3 1/2 x 6 1/2 *16", "3 1/2 x 3 1/2 *20")),
    ("fat quarter", ("2 7/8 x 2 7/8 *120", "5 1/4 x 5 1/4 *12")),
    ("fat quarter", ("9 x 9 *3", "4 1/2 x 4 1/2 *10")),
    ("fat quarter", ("12 1/2 x 2 1/2 *20", "8 1/2 x 2 1/2 *20", "2 1/2 x 2 1/2 *40")),
    ("fat quarter", ("1 1/2 x 1 1/2 *600",)),
    ("fat quarter", ("7 1/4 x 7 1/4 *6", "3 7/8 x 3 7/8 *24", "1 7/8 x 9 *8 one-way")),
    ("fat quarter", ("3 x 11 *9 one-way", "4 x 4 *18", "2 x 6 1/2 *20")),
    ("fat quarter", ("10 x 8 *4", "5 x 4 *8", "2 1/2 x 8 *12", "2 1/2 x 4 *16")),
    ("fat quarter", ("4 3/4 x 4 3/4 *1", "9 1/2 x 3 1/8 *4")),
    ("fat quarter", ("15 x 4 1/2 *6", "4 1/2 x 10 1/2 *6", "4 1/2 x 4 1/2 *12")),
    (
        "fat quarter",
        (
            "2 x 2 *48",
            "2 x 3 1/2 *48",
            "2 x 5 *48",
            "2 x 6 1/2 *24",
            "3 1/2 x 3 1/2 *24",
            "5 x 5 *12",
            "1 1/4 x 8 *16",
            "6 1/2 x 6 1/2 *6",
            "7 1/4 x 7 1/4 *3",
            "2 3/8 x 2 3/8 *40",
            "1 1/2 x 9 1/2 *12",
            "4 1/4 x 4 1/4 *9",
        ),
    ),
    ("fat eighth", ("2 1/2 x 2 1/2 *48",)),
    ("fat eighth", ("4 1/2 x 4 1/2 *9", "2 1/2 x 4 1/2 *18")),
    ("fat eighth", ("5 x 5 *6", "3 x 5 *12", "3 x 3 *12")),
    ("fat eighth", ("3 7/8 x 3 7/8 *20", "2 x 3 1/2 *20")),
    ("fat eighth", ("1 1/2 x 18 *8", "6 1/2 x 6 1/2 *4")),
    ("2½ strip", ("2 1/2 x 2 1/2 *200",)),
    ("2½ strip", ("2 1/2 x 6 1/2 *30", "2 1/2 x 4 1/2 *30", "2 1/2 x 2 1/2 *60")),
    ("2½ strip", ("2 1/2 x 8 1/2 *17", "2 1/2 x 12 1/2 *9", "1 1/4 x 9 *11")),
    ("2½ strip", ("11 x 2 *5", "14 x 2 1/2 *4", "9 x 2 1/4 *3", "17 x 1 1/4 *4")),
    ("2½ strip", ("2 1/2 x 9 1/2 *12", "2 1/2 x 7 1/4 *12", "2 1/8 x 5 3/4 *12")),
    ("1½ strip", ("1 1/2 x 9 1/2 *24", "1 1/2 x 6 1/2 *24", "1 1/2 x 3 1/2 *48")),
    ("1½ strip", ("1 1/2 x 1 1/2 *300", "1 1/2 x 5 *20")),
    ("5 square", ("2 1/2 x 2 1/2 *84", "5 x 2 1/2 *15")),
    ("5 square", ("1 1/2 x 3 1/2 *60", "1 1/2 x 1 1/2 *60")),
    ("5 square", ("1 x 5 *17", "2 x 3 *22", "1 x 2 *15")),
    ("6 square", ("3 x 3 *31", "2 x 4 *29", "1 1/2 x 6 *13")),
    ("6 square", ("2 3/8 x 2 3/8 *60", "1 1/4 x 3 *40")),
    ("10 square", ("5 x 5 *24", "2 1/2 x 5 *24", "2 1/2 x 2 1/2 *48")),
    ("10 square", ("4 1/2 x 4 1/2 *18", "3 x 3 *25", "1 x 9 1/2 *10")),
    ("10 square", ("3 1/2 x 6 1/2 *20", "3 1/2 x 3 1/2 *20")),
)

_METRIC: tuple[tuple[tuple[int, int, int], ...], ...] = (
    ((65, 65, 120),),
    ((115, 115, 24), (65, 115, 36), (65, 65, 40)),
    ((90, 90, 30), (50, 170, 24)),
    ((210, 130, 9), (130, 130, 14), (80, 210, 10), (45, 80, 30)),
)

_LENGTHS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("40", ("2 1/2 x 2 1/2 *160", "4 1/2 x 4 1/2 *10")),
    ("41 1/2", ("2 x 8 *480", "2 x 9 1/2 *480", "3 7/8 x 3 7/8 *240")),
    ("40", ("6 1/2 x 72 *4 one-way", "2 1/2 x 2 1/2 *120", "4 1/2 x 4 1/2 *30")),
    ("42", ("5 x 5 *64", "2 1/2 x 5 *96", "2 1/2 x 2 1/2 *96")),
    ("40", ("12 1/2 x 12 1/2 *9", "3 1/2 x 12 1/2 *24", "3 1/2 x 3 1/2 *16")),
    ("40", ("40 x 2 1/4 *7 one-way", "8 1/2 x 8 1/2 *14", "2 1/2 x 8 1/2 *20")),
    ("43", ("3 7/8 x 3 7/8 *48", "7 1/4 x 7 1/4 *20", "3 1/2 x 3 1/2 *64")),
    ("42", ("18 1/4 x 18 1/4 *3", "9 3/8 x 9 3/8 *2", "12 1/2 x 12 1/2 *4")),
    ("40", ("3 1/2 x 60 1/2 *2 one-way", "3 1/2 x 54 1/2 *2 one-way", "6 1/2 x 6 1/2 *20")),
    ("40", ("10 1/2 x 14 1/2 *12 one-way", "2 1/2 x 10 1/2 *30", "1 1/2 x 6 *24")),
    ("42", ("2 x 2 *400", "3 1/2 x 3 1/2 *100", "2 x 5 *80", "6 1/2 x 6 1/2 *25")),
    ("40", ("4 7/8 x 4 7/8 *26", "2 7/8 x 2 7/8 *52", "5 1/4 x 5 1/4 *13")),
    ("43", ("9 x 9 *7", "5 5/8 x 5 5/8 *11", "3 3/8 x 8 *13", "1 3/4 x 15 *9")),
    ("42", ("24 1/2 x 24 1/2 *1", "6 1/2 x 24 1/2 *4", "6 1/2 x 6 1/2 *4")),
)


def form_cases() -> tuple[FormCase, ...]:
    """Return all problems of forms: kits first, then draws, then puzzles without waste."""
    cases = [
        FormCase(f"kit {number}: {form}", *FORMS[form], _demands(*pieces))
        for number, (form, pieces) in enumerate(_KITS, start=1)
    ]
    cases += [
        FormCase(
            f"metric kit {number}",
            *FORMS["metric fat quarter"],
            tuple(
                Demand(f"{at}", w * CENTIMETER / 10, h * CENTIMETER / 10, count)
                for at, (w, h, count) in enumerate(pieces)
            ),
        )
        for number, pieces in enumerate(_METRIC, start=1)
    ]
    cases += [_drawn(seed) for seed in range(1, 31)]
    cases += [_puzzle(seed, sheets) for seed, sheets in enumerate((1, 1, 1, 1, 2, 2, 3, 4))]
    return tuple(cases)


def length_cases() -> tuple[LengthCase, ...]:
    """Return all problems of lengths off the bolt."""
    return tuple(
        LengthCase(f"length {number}", _inches(width), _demands(*pieces))
        for number, (width, pieces) in enumerate(_LENGTHS, start=1)
    )


def border_cases() -> tuple[LengthCase, ...]:
    """Return drawn problems of lengths with borders and other long pieces among many sizes."""
    return tuple(_with_long_pieces(seed) for seed in range(1, 13))


def _with_long_pieces(seed: int) -> LengthCase:
    """Draw a fabric: squares, rectangles, and a few pieces longer than the cloth is wide."""
    draw = random.Random(500 + seed)  # noqa: S311
    demands: list[Demand] = []
    for number in range(draw.choice((3, 4, 5, 6, 8, 10))):
        shape = draw.random()
        if shape < 0.45:
            across = along = F(draw.randint(12, 60), 8)
        elif shape < 0.8:
            across, along = F(draw.randint(12, 40), 8), F(draw.randint(20, 110), 8)
        else:
            across, along = F(draw.randint(12, 52), 8), F(draw.randint(160, 500), 8)
        count = draw.choice((4, 6, 8, 12, 20, 24, 40, 48, 80))
        if along > 20:
            count = draw.choice((1, 2, 2, 4))
        elif across * along > 60:
            count = draw.choice((1, 2, 4, 8, 12))
        demands.append(Demand(f"{number}", across, along, count, draw.random() < 0.85))
    return LengthCase(f"borders {seed}", F(draw.choice((40, 40, 41, 42))), tuple(demands))


def _drawn(seed: int) -> FormCase:
    """Draw a kit: sizes in eighths, a few of them one-way."""
    draw = random.Random(seed)  # noqa: S311
    form = draw.choice(sorted(FORMS))
    across, along = FORMS[form]
    demands: list[Demand] = []
    for number in range(draw.randint(1, 8)):
        wide = F(draw.randint(8, 80), 8)
        long = wide if draw.random() < 0.4 else F(draw.randint(8, 80), 8)
        count = draw.choice((1, 2, 4, 6, 9, 12, 20, 36))
        one = Demand(f"{number}", wide, long, count, draw.random() < 0.85)
        if one.fits(across, along):
            demands.append(one)
    if not demands:
        demands.append(Demand("only", along / 2, along / 2, 7))
    return FormCase(f"drawn {seed}: {form}", across, along, tuple(demands))


def _puzzle(seed: int, sheets: int) -> FormCase:
    """Cut forms up at random, edge to edge, and ask for the pieces back."""
    draw = random.Random(1000 + seed)  # noqa: S311
    across, along = FORMS["fat quarter"]
    sizes: Counter[tuple[Fraction, Fraction]] = Counter()

    def cut(wide: Fraction, long: Fraction, depth: int) -> None:
        if depth == 0 or max(wide, long) < 4:
            sizes[min(wide, long), max(wide, long)] += 1
            return
        if wide >= long:
            at = F(draw.randint(2, int(wide * 2) - 2), 2)
            cut(at, long, depth - 1)
            cut(wide - at, long, depth - 1)
        else:
            at = F(draw.randint(2, int(long * 2) - 2), 2)
            cut(wide, at, depth - 1)
            cut(wide, long - at, depth - 1)

    for _ in range(sheets):
        cut(across, along, 3)
    demands = tuple(
        Demand(f"{number}", wide, long, count)
        for number, ((wide, long), count) in enumerate(sorted(sizes.items()))
    )
    return FormCase(f"puzzle {seed}: {sheets}", across, along, demands, no_waste=sheets)
