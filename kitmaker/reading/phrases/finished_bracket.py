"""A bracket that tells the finished size beside a cut one: ``3½" squares (3" finished)``.

It asks for no cut of its own; it is held against the cut size, and where the two do not
belong together neither is taken.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitmaker.arithmetic.figures import CutRules, Figure, FigureSizeError, cut_figure
from kitmaker.lengths import Length
from kitmaker.pattern import Shape
from kitmaker.reading.phrases.model import Cut, FabricFacts
from kitmaker.reading.phrases.plain import NUMBER, UNIT, to_length

_TIMES = r"\s*(?:×|x|by)\s*"
_BRACKET = re.compile(
    rf"\((?:will\s+|to\s+)?(?P<f>finish(?:ed|es|ing)?(?:\s+(?:size|at|to))?\s*:?\s*)?"
    rf"(?P<a>{NUMBER})\s*(?P<au>{UNIT})?(?:{_TIMES}(?P<b>{NUMBER})\s*(?P<bu>{UNIT})?)?"
    r"(?(f)|\s*finish(?:ed|es|ing)?(?:\s+size)?)\s*\)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedBracket:
    """A bracket that tells the finished size beside a cut one: ``3½" squares (3" finished)``.

    Attributes:
        words: The bracket as it stands.
        width: The finished width, inches.
        length: The finished length, inches; None where one measure says all.
    """

    words: str
    width: Length
    length: Length | None

    def agrees(self, cut: Cut, rules: CutRules) -> bool:
        """Whether a cut, however it is made, finishes at this size."""
        for figure in _FIGURES_OF.get(cut.shape, ()):
            try:
                expected = cut_figure(figure, self.width, self.length, rules)
            except FigureSizeError:
                continue
            sides = {expected.width, expected.length or expected.width}
            if sides == {cut.width, cut.length or cut.width}:
                return True
        return False


_FIGURES_OF = {
    Shape.SQUARE: (Figure.SQUARE, Figure.HALF_SQUARE),
    Shape.RECTANGLE: (Figure.RECTANGLE, Figure.GOOSE_SINGLE),
    Shape.CUT_ONCE: (Figure.HALF_SQUARE,),
    Shape.CUT_TWICE: (Figure.QUARTER_SQUARE,),
}
"""What squares and rectangles that are cut may finish as."""


def take_bracket(signs: str, facts: FabricFacts) -> tuple[str, FinishedBracket | None]:
    """Return a sentence without its one bracket that tells a finished size, and the bracket.

    A line of finished sizes alone keeps it, as there it is the only size.
    """
    found = list(_BRACKET.finditer(signs))
    if len(found) != 1 or not re.search(
        r"\d", re.sub(r"^\s*\(?\d+\)?", "", _without(signs, found[0]))
    ):
        return signs, None
    match = found[0]
    length = None
    if match["b"] is not None:
        length = to_length(match["b"], match["bu"] or match["au"], facts.unit)
    return _without(signs, match), FinishedBracket(
        words=match.group(0),
        width=to_length(match["a"], match["au"] or match["bu"], facts.unit),
        length=length,
    )


def _without(signs: str, match: re.Match[str]) -> str:
    return f"{signs[: match.start()].rstrip()} {signs[match.end() :].lstrip()}".strip()
