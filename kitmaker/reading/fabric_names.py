"""One fabric under several names: what the materials call it, and what the cuts call it.

"solid white (blocks, border)" among the materials is "solid white" above its cuts: what
stands in brackets is no part of a name. A shorter name that is a part of one other fabric's
only ("white" of "white dots") is taken for that one, and a person is told.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from kitmaker.shop import fold_role

_BRACKET = re.compile(r"\s*\([^()]*\)\s*$")
_LITTLE = frozenset({"the", "from", "of", "a", "fabric", "fabrics"})


@dataclass(frozen=True, slots=True)
class OtherName:
    """A fabric's own name for another name of it.

    Attributes:
        role: Its name where it first stands.
        is_sure: Whether no one needs to be told.
    """

    role: str
    is_sure: bool


def find_other_name(
    role: str, known: Sequence[str], named_elsewhere: Collection[str]
) -> OtherName | None:
    """Return the known fabric that another name means; None when it is a fabric of its own.

    Args:
        role: The name as it stands there.
        known: The fabrics so far, as first typed.
        named_elsewhere: The folded names in every table; a fabric that goes by its full
            name there as well is not meant by a shorter one.
    """
    folded = fold_role(role)
    if any(fold_role(one) == folded for one in known):
        return None
    plain = fold_role(without_bracket(role))
    same = [one for one in known if fold_role(without_bracket(one)) == plain]
    if same:
        return OtherName(same[0], is_sure=True) if len(same) == 1 else None
    words = _words(role)
    alike = [one for one in known if words and words == _words(one)]
    if len(alike) == 1:
        return OtherName(alike[0], is_sure=False)
    near = [one for one in known if words and words < _words(one)]
    others = [one for one in named_elsewhere if one != folded]
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
