"""Letters by their places as rows: words, columns, and fractions in any setting.

Small figures that are raised, lowered or set above each other are a fraction on its line.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import median

from kitmaker.reading.documents.lines import PageRow, Segment, plain_letters

_SPLIT_AT, _SPACE_AT = 1.2, 0.18
"""A gap of so many heights of a letter parts columns, or words. Our own bounds, no source."""
_PLACE_AT = 0.5
_SMALL = 0.95
_ONE_LINE = 0.42
"""Letters so many heights apart stand on one line. Our own bound, no source."""
_BAND, _FAR = 6.0, 60.0
"""Points: letters are looked for in bands so high, and no farther behind each other."""
_FRACTION_SLASH = "\u2044"
_FRACTION_BARS = "/\u2044\u2215"
_STACKED = 0.85


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter: where it begins and ends, the line it stands on, its height."""

    text: str
    left: float
    right: float
    base: float
    height: float
    is_bold: bool


@dataclass(frozen=True, slots=True)
class Rule:
    """A line that is drawn from top to bottom, as between two columns of a table."""

    place: float
    bottom: float
    top: float

    def is_between(self, letter: Letter, other: Letter) -> bool:
        """Whether it stands between two letters."""
        is_beside = self.bottom <= other.base + other.height / 4 <= self.top
        return is_beside and letter.right <= self.place + 1 and self.place - 1 <= other.left


def rows_of_letters(letters: Sequence[Letter], rules: Sequence[Rule]) -> list[PageRow]:
    """Gather letters of one height into rows, from the top; raised ones go with their row."""
    lines: list[list[Letter]] = []
    bases: list[tuple[float, float]] = []
    for run in sorted(_runs(_level_fractions(letters)), key=lambda one: -_tallest(one).base):
        tallest = _tallest(run)
        if bases and bases[-1][0] - tallest.base <= _ONE_LINE * max(bases[-1][1], tallest.height):
            lines[-1].extend(run)
        else:
            lines.append(run)
            bases.append((tallest.base, tallest.height))
    parted = [_parts(sorted(line, key=lambda one: one.left), rules, ()) for line in lines]
    begun = Counter(round(part[0].left) for parts in parted for part in parts[1:])
    often = [place for place, count in begun.items() if count > 1]
    return [
        PageRow(
            tuple(
                _segment(one)
                for part in parts
                for one in (_parts(part, (), often) if often else (part,))
            ),
            -median(one.base for part in parts for one in part),
        )
        for parts in parted
    ]


def _level_fractions(letters: Iterable[Letter]) -> Iterator[Letter]:
    """Yield letters, figures that are set above each other as a fraction on its line."""
    shown = [letter for letter in letters if letter.text.strip()]
    usual = median(one.height for one in shown) if shown else 0.0
    small = [one for one in shown if one.text.isdigit() and one.height < _STACKED * usual]
    bars = [one for one in shown if one.text in _FRACTION_BARS]
    runs = [run for run in _runs(small) if len(run) < 3]
    runs = [run for run in runs if not any(_is_beside(run, bar) for bar in bars)]
    taken: set[int] = set()
    for above in runs:
        for below in runs:
            if _is_stacked(above[0], below[0]) and not taken & {id(above), id(below)}:
                taken |= {id(above), id(below)}
                yield from _side_by_side(above, below)
    fractions = {id(letter) for run in runs if id(run) in taken for letter in run}
    yield from (letter for letter in shown if id(letter) not in fractions)


def _is_beside(figures: Sequence[Letter], bar: Letter) -> bool:
    gap = max(bar.left - figures[-1].right, figures[0].left - bar.right)
    return gap < 0.3 * bar.height and abs(bar.base - figures[0].base) < 0.6 * bar.height


def _is_stacked(above: Letter, below: Letter) -> bool:
    """Whether one figure stands right over another one of its height."""
    rise, height = above.base - below.base, above.height
    is_over = above.left < below.right and below.left < above.right
    return is_over and 0.6 * height < rise < 1.6 * height


def _side_by_side(above: Sequence[Letter], below: Sequence[Letter]) -> Iterator[Letter]:
    figures = [*(one.text for one in above), _FRACTION_SLASH, *(one.text for one in below)]
    left = min(above[0].left, below[0].left)
    width = (max(above[-1].right, below[-1].right) - left) / len(figures)
    base = below[0].base + 0.3 * (above[0].base - below[0].base)
    for at, text in enumerate(figures):
        start = left + at * width
        text = text if at else f" {text}"
        yield replace(above[0], text=text, left=start, right=start + width, base=base)


def _runs(letters: Iterable[Letter]) -> list[list[Letter]]:
    """Gather letters that stand close behind each other, small ones of a fraction with theirs."""
    runs: list[list[Letter]] = []
    going: dict[int, list[list[Letter]]] = {}
    shown = (letter for letter in letters if letter.text.strip())
    for letter in sorted(shown, key=lambda one: (one.left, one.base)):
        band = round(letter.base / _BAND)
        found = None
        for near in range(band - 2, band + 3):
            open_ = [one for one in going.get(near, ()) if letter.left - one[-1].right <= _FAR]
            found = found or next((one for one in open_ if _is_behind(letter, one[-1])), None)
            going[near] = [one for one in open_ if one is not found]
        if found is None:
            found = []
            runs.append(found)
        if not (found and _is_again(letter, found[-1])):
            found.append(letter)
        going[band].append(found)
    return runs


def _is_again(letter: Letter, last: Letter) -> bool:
    """Whether a letter is printed twice, to look bold."""
    return letter.text == last.text and letter.left - last.left < 0.12 * letter.height


def _is_behind(letter: Letter, last: Letter) -> bool:
    height = max(last.height, letter.height)
    is_level = abs(last.base - letter.base) <= _ONE_LINE * height
    return is_level and -height <= letter.left - last.right <= _SPLIT_AT * height


def _tallest(letters: Sequence[Letter]) -> Letter:
    return max(letters, key=lambda letter: letter.height)


def _parts(
    letters: Sequence[Letter], rules: Sequence[Rule], places: Sequence[float]
) -> list[list[Letter]]:
    """Return the parts of a row's letters that stand in columns of their own.

    A wide gap parts them, a line drawn from top to bottom, and a gap where other rows begin one.
    """
    parts = [[letters[0]]]
    for last, letter in pairwise(letters):
        gap, height = letter.left - last.right, max(letter.height, last.height)
        is_item = len(parts) == 1 and not places and _is_bullet(_text(parts[0]))
        is_place = gap > _PLACE_AT * height and any(abs(letter.left - one) <= 1 for one in places)
        is_wide = gap > _SPLIT_AT * height
        if (
            is_place
            or (is_wide and not is_item)
            or any(rule.is_between(last, letter) for rule in rules)
        ):
            parts.append([])
        parts[-1].append(letter)
    return parts


def _text(letters: Sequence[Letter]) -> str:
    text = letters[0].text
    for last, letter in pairwise(letters):
        is_apart = letter.left - last.right > _SPACE_AT * max(letter.height, last.height)
        text += f" {letter.text}" if is_apart or _is_raised(letter, last) else letter.text
    return plain_letters(" ".join(text.split()))


def _segment(letters: Sequence[Letter]) -> Segment:
    return Segment(
        letters[0].left,
        letters[-1].right,
        _text(letters),
        median(letter.height for letter in letters),
        all(letter.is_bold for letter in letters),
    )


def _is_raised(letter: Letter, last: Letter) -> bool:
    """Whether a small figure behind a large one begins a fraction: the gap is in the height."""
    is_small = letter.height < _SMALL * last.height and letter.base > last.base
    return letter.text.isdigit() and last.text.isdigit() and is_small


def _is_bullet(text: str) -> bool:
    return len(text.strip()) <= 3 and not text.strip().isalpha()
