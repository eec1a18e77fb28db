"""Two names that are one: by a slip of the keyboard, or as a fabric's longer and shorter name.

``Mos`` is ``Moss`` mistyped. Names that differ in a number or a single letter are two things
("Print 1", "Print 2"; "Fabric A", "Fabric B"), and so are words that only look alike ("pink",
"ink"). "solid white (blocks, border)" among the materials is "solid white" above its cuts: what
stands in brackets is no part of a name. A shorter name that is a part of one other fabric's only
("white" of "white dots") is taken for that one, and a person is told.

The names of sizes are held against each other too: "Quantity trow" beside "Requirement throw" is
a size of its own for whoever reads word by word, and then no piece is left in throw.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from kitmaker.errors import Problem, error, warning
from kitmaker.reading.cells import read_text
from kitmaker.reading.layout import KNOWN_SIZES, SIZED
from kitmaker.reading.tables import Column, Table, fold_heading
from kitmaker.shop import fold_role

_LOOK_ALIKE = frozenset(
    map(
        frozenset,
        (("ink", "pink"), ("fog", "frog"), ("dust", "rust"), ("mint", "tint"), ("tan", "tin")),
    )
)
_ENDINGS = ("er", "est", "ish")
_NEAR = 0.8
"""From this share of common letters on, words of six letters and more are one. Our own bound."""


def is_slip(name: str, other: str) -> bool:
    """Return whether one of two different names is most likely the other, mistyped."""
    words, others = (re.findall(r"[a-z0-9]+", text.casefold()) for text in (name, other))
    if words == others or len(words) != len(others):
        return False
    unlike = [pair for pair in zip(words, others, strict=True) if pair[0] != pair[1]]
    return len(unlike) == 1 and _are_one_word(*unlike[0])


def find_slip(name: str, known: Iterable[str]) -> str | None:
    """Return the known name that another name most likely means; None for none."""
    return next((other for other in sorted(known) if is_slip(name, other)), None)


def _are_one_word(name: str, other: str) -> bool:
    shorter, longer = sorted((name, other), key=len)
    if len(shorter) < 2 or any(char.isdigit() for char in name + other):
        return False
    if frozenset((name, other)) in _LOOK_ALIKE or longer in (shorter + end for end in _ENDINGS):
        return False
    ratio = difflib.SequenceMatcher(None, name, other).ratio()
    return _is_one_letter_off(name, other) or (len(longer) > 5 and ratio >= _NEAR)


def _is_one_letter_off(name: str, other: str) -> bool:
    while name and other and name[0] == other[0]:
        name, other = name[1:], other[1:]
    while name and other and name[-1] == other[-1]:
        name, other = name[:-1], other[:-1]
    return max(len(name), len(other)) <= 1 or (len(name) == 2 and name == other[::-1])


_BRACKET = re.compile(r"\s*\([^()]*\)\s*$")
_LITTLE = frozenset({"the", "from", "of", "a", "fabric", "fabrics"})


@dataclass(frozen=True, slots=True)
class OtherName:
    """A fabric's own name for another name of it."""

    role: str  # its name where it first stands
    is_sure: bool  # whether no one needs to be told


def find_other_name(
    role: str, known: Sequence[str], named_elsewhere: Collection[str]
) -> OtherName | None:
    """Return the known fabric that another name means; None when it is a fabric of its own.

    A fabric that goes by its full name elsewhere as well is not meant by a shorter one.
    """
    folded = fold_role(role)
    if any(fold_role(other) == folded for other in known):
        return None
    plain = fold_role(without_bracket(role))
    same = [other for other in known if fold_role(without_bracket(other)) == plain]
    if same:
        return OtherName(same[0], is_sure=True) if len(same) == 1 else None
    words = _words(role)
    alike = [other for other in known if words and words == _words(other)]
    if len(alike) == 1:
        return OtherName(alike[0], is_sure=False)
    near = [other for other in known if words and words < _words(other)]
    others = [name for name in named_elsewhere if name != folded]
    if len(near) != 1 or others.count(fold_role(near[0])) > 1:
        return None
    return OtherName(near[0], is_sure=False)


def without_bracket(role: str) -> str:
    """Return a name without the bracket behind it that says what it is for."""
    short = _BRACKET.sub("", role)
    return short or role


def _words(role: str) -> frozenset[str]:
    words = re.findall(r"[a-z0-9]+", without_bracket(role).casefold())
    return frozenset(word.removesuffix("s") for word in words if word not in _LITTLE)


def names_in_fact(text: str) -> tuple[str, ...]:
    """Return the sizes of ``crib 40 x 40, throw 57 x 70``; nothing where only one stands."""
    parts = [re.match(r"[^\d(]*", part) for part in re.split(r"[,;/]|\b(?:and|or)\b", text)]
    names = [fold_heading(part[0]) for part in parts if part is not None]
    return tuple(name for name in names if name) if len(names) > 1 else ()


def check_size_names(
    tables: Sequence[Table], listed: Sequence[str], size: str | None
) -> Iterator[Problem]:
    """Yield an error for a size's name that is a slip, or that a table does not have.

    ``listed`` are the folded sizes that the pattern says it has.
    """
    groups = [
        (found, key, found.sized[key]) for found in tables for key in SIZED if key in found.sized
    ]
    known = [set(listed) - {""}] + [
        {fold_heading(column.extra) for column in group} for _, _, group in groups
    ]
    asked: set[str] = set()
    for found, key, group in groups:
        slips = list(_slips(group, known, asked))
        yield from slips
        if (bare := found.columns.get(key)) is not None:
            yield error(
                f"'{read_text(bare.heading)}' is said of no size, but beside it stand "
                f"{' and '.join(read_text(column.heading) for column in group)}",
                bare.heading.location,
                "Type the size behind it, or head it Notes.",
            )
        if len(groups) == 1 == len(group) and not _is_known(group[0], listed):
            yield warning(
                f"'{group[0].extra}' behind {key} is taken for the name of a size",
                group[0].heading.location,
                f"Head it {key} alone if it is none.",
            )
        if slips or size is None or key in found.columns or has_size(group, size):
            continue
        has = " and ".join(column.extra for column in group)
        yield error(
            f"no column headed {key} is for {size}; this table has {has}",
            group[0].heading.location,
            f"Head one '{key} {size}'.",
        )


def _is_known(column: Column, listed: Sequence[str]) -> bool:
    name = fold_heading(column.extra).removesuffix(" size")
    return name in KNOWN_SIZES or name in listed


def has_size(columns: Sequence[Column], size: str | None) -> bool:
    """Return whether one of the columns of sizes is the chosen size's."""
    return size is not None and fold_heading(size) in {
        fold_heading(column.extra) for column in columns
    }


def _slips(
    group: Sequence[Column], known: Sequence[set[str]], asked: set[str]
) -> Iterator[Problem]:
    """Yield an error for each name that another list has in a like spelling, and not as well."""
    own = {fold_heading(column.extra) for column in group}
    for column in group:
        name = fold_heading(column.extra)
        meant = {
            other
            for names in known
            for other in names - own - asked
            if name not in names and is_slip(name, other)
        }
        if meant and (name not in KNOWN_SIZES or meant <= KNOWN_SIZES):
            asked.add(name)
            other = min(meant)
            yield error(
                f"'{column.extra}' is a size here, and '{other}' is one elsewhere",
                column.heading.location,
                f"Did you mean '{other}'?",
            )
