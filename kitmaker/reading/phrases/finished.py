"""A line that states finished sizes: ``48 half-square triangles, 3 in finished``.

Such a line names a figure, how many and how large it shows in the quilt; what is cut for it
follows from quilt arithmetic. Nothing else may stand in the line: a line that also speaks of
strips, of prints or of sewing is left to be asked about. "Unfinished" is the size of a unit
before it is sewn in, two seams more than the finished one; of a square it is the cut size.

    48 half-square triangles, 3 in finished
    ^  ^                      ^    ^
    |  figure                 size what the size is
    count: triangles of this fabric, one in each sewn unit
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitmaker.arithmetic.cut_sizes import finished_from_cut
from kitmaker.arithmetic.figures import CutRules, Figure, FigureSizeError
from kitmaker.lengths import Length, say_size
from kitmaker.pattern import PieceKind, Shape
from kitmaker.reading.phrases.model import Cut, FabricFacts
from kitmaker.reading.phrases.plain import NUMBER, UNIT, UnsureError, to_length
from kitmaker.reading.shaped_cuts import Advice, Counted, cut_from_finished, open_way
from kitmaker.reading.shapes import ShapeWords, ShapeWordsError, parse_shape

_FINISH = re.compile(
    r"(?:\b(?:that|which|to|will|size|with|a)\s+)*\b(?P<un>un)?finish(?:ed|es|ing)?\b"
    r"(?:\s+(?:sizes?|at|to|as|measur(?:e|es|ing)|dimensions?)\b)*\s*(?:of\b|:|=)?",
    re.IGNORECASE,
)
_MEASURE = rf"{NUMBER}\s*(?:{UNIT})?"
_TIMES = r"\s*(?:×|x|by)\s*"
_LINE = re.compile(
    r"(?:please\s+)?(?:you(?:'ll|\s+will)?\s+need|need|cut|sub-?cut)?\s*:?\s*"
    r"(?:(?P<head>[^\d:]+?)\s*(?::|--|-)\s*)?"
    rf"(?P<count>\d+)(?![\d/.]|\s*(?:\"|-?(?:in|inch|inches|cm|mm)\b)|\s+\d+\s*/)"
    r"\s*(?P<sign>[x×]|--|-)?\s*(?P<before>[^\d]*?)[\s,:;@-]*"
    rf"(?P<a>{NUMBER})\s*(?P<au>{UNIT})?(?:{_TIMES}(?P<b>{NUMBER})\s*(?P<bu>{UNIT})?)?"
    r"(?P<after>[^\d]*)",
    re.IGNORECASE,
)
_COUNT_BEHIND = re.compile(r"^(.*?)\s*(?::|--|-|,)\s*(?:cut\s+)?(\d+)$", re.IGNORECASE)
_IN_LETTERS = (
    (r"\b8(?=\s+at\s+(?:a|1)\s+time\b)", "eight"),
    (r"\b4(?=\s+at\s+(?:a|1)\s+time\b)", "four"),
    (r"\b2(?=\s+at\s+(?:a|1)\s+time\b)", "two"),
    (r"\b1(?=\s+at\s+(?:a|1)\s+time\b)", "one"),
    (r"(?<=\bat )1(?= time\b)", "a"),
    (r"\b60\s*(?:°|-?\s*degrees?\b)", "sixtydegree"),
    (r"\b8(?=[\s-]*point)", "eight"),
    (r"\b45\s*(?:°|-?\s*degrees?\b)", "fortyfivedegree"),
)
_ADJECTIVE = re.compile(
    r"^(?:(?:light|medium|dark|white|black|gr[ae]y|cream|red|pink|orange|yellow|green|blue|navy"
    r"|purple|brown|solid|print(?:ed)?|background)\s+)+(?=[a-z])"
)
_IN_FIGURES = {"sixtydegree": "60 degree", "fortyfivedegree": "45 degree"}
_SPEAKS_OF_MORE = re.compile(
    r"\b(?:mak(?:e|es|ing)|sew|yields?|gives?|trim|blocks?|quilts?|from|each|every|per|pairs?|sets?"
    r"|strips?|borders?|sashing|binding|wof|lof|or|diagonal(?:ly)?|remaining|then|about)\b",
    re.IGNORECASE,
)
_PARTS = re.compile(
    r"\s*;\s*|\s*(?:,|\+|\band\b)\s+(?=\(\d+\)\s+\d)"
    r"|\s*(?:,|\+|\band\b)\s+"
    r"(?=\(?\d+\)?\s+(?!(?:x|by|in|inch|inches|cm|mm|at|(?:un)?finish\w*)\b)[a-z])",
    re.IGNORECASE,
)
_WHOLE_UNITS = frozenset(
    {
        *(Figure.HALF_SQUARE, Figure.HALF_SQUARE_EIGHT, Figure.GOOSE, Figure.GOOSE_SINGLE),
        *(Figure.GOOSE_FOUR, Figure.SKY, Figure.SKY_SINGLE, Figure.SKY_FOUR, Figure.CENTER),
        *(Figure.CENTER_FLIPPED, Figure.IN_CORNER, Figure.IN_CORNER_FLIPPED),
        *(Figure.SQUARE, Figure.RECTANGLE),
    }
)
"""Figures whose measures are those of the sewn unit, so that it may be stated unfinished."""

_BESIDE_BLOCKS = frozenset(
    {
        *(Figure.SETTING, Figure.CORNER, Figure.STAR_DIAMOND, Figure.STAR_CORNER),
        Figure.STAR_SIDE,
    }
)
"""Figures whose measure is that of the block they stand in or beside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedLine:
    """What is cut for a line of finished sizes.

    Attributes:
        cuts: One for each figure that it names.
        warnings: What a person should look at, with what to type instead.
    """

    cuts: tuple[Cut, ...]
    warnings: tuple[Advice, ...] = ()


def read_finished(signs: str, facts: FabricFacts) -> FinishedLine | None:
    """Read a sentence that states finished sizes and nothing else.

    Args:
        signs: The sentence in plain signs.
        facts: The seam, the unit and the fabric.

    Returns:
        What is cut; None where the sentence is no such line.

    Raises:
        UnsureError: It is one, and its figure or its measures are not sure.
    """
    if not _FINISH.search(signs):
        return None
    parts = [part for part in _PARTS.split(signs.strip(" .,;:")) if part]
    parsed = [_parse(part) for part in parts]
    lines = [one for one in parsed if one is not None]
    if len(lines) != len(parsed):
        return None
    cuts: list[Cut] = []
    warnings: list[Advice] = []
    for line in lines:
        cuts.append(_cut(line, facts))
        warnings.extend(_open_counts(line))
    return FinishedLine(cuts=tuple(cuts), warnings=tuple(warnings))


def is_like(cut: Cut, other: Cut) -> bool:
    """Whether another cut may be the very squares that a line of finished sizes speaks of."""
    same = (cut.width, cut.length) == (other.width, other.length)
    return same and other.shape in (cut.shape, Shape.SQUARE)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Parsed:
    match: re.Match[str]
    shape: ShapeWords
    purpose: str
    is_of_block: bool
    is_unfinished: bool


def _parse(part: str) -> _Parsed | None:
    """Return the count, the figure and the size of one part; None where it holds more."""
    finish = list(_FINISH.finditer(part))
    if len(finish) != 1:
        return None
    text = f"{part[: finish[0].start()]} {part[finish[0].end() :]}"
    text = re.sub(r"^\s*\((\d+)\)", r"\1 ", text)
    text = re.sub(r"^(.*?)\s*\((\d+)\)\s*$", r"\2 \1", text)
    for pattern, letters in _IN_LETTERS:
        text = re.sub(pattern, letters, text, flags=re.IGNORECASE)
    text = " ".join(re.sub(r"[()]", " ", text).split())
    match = _LINE.fullmatch(text) or _LINE.fullmatch(_COUNT_BEHIND.sub(r"\2 \1", text))
    if match is None or not _is_surely_the_size(match, part, finish[0]):
        return None
    words = " ".join((match["head"] or "", match["before"], match["after"]))
    words, _, purpose = words.partition(" for ")
    of_another = " for " in f"{match['head'] or ''} {match['before']} "
    if _SPEAKS_OF_MORE.search(words) or re.search(r"[^\w\s,.:;'°-]", words):
        return None
    words = " ".join(re.sub(r"[,.:;]", " ", words).split())
    for letters, figures in _IN_FIGURES.items():
        words = words.replace(letters, figures)
    shape = _figure(words, has_two=match["b"] is not None)
    if shape is None:
        return None
    if of_another and shape.figure not in _BESIDE_BLOCKS:
        raise UnsureError(
            "the finished size is that of something else", "Type the size of what is cut."
        )
    return _Parsed(
        match=match,
        shape=shape,
        purpose="" if of_another else " ".join(purpose.split()),
        is_of_block=of_another,
        is_unfinished=finish[0]["un"] is not None,
    )


def _is_surely_the_size(match: re.Match[str], part: str, finish: re.Match[str]) -> bool:
    """Whether the number taken for the size is one: by its unit, or beside the word itself."""
    if match["au"] or match["b"]:
        return True
    before = part[: finish.start()].rstrip(" ,(:-")
    after = part[finish.end() :].lstrip(" ,(:-")
    beside = re.search(rf"(?<![\d/.]){re.escape(match['a'])}$", before) is not None
    beside = beside or re.match(rf"{re.escape(match['a'])}(?![\d/.])", after) is not None
    return beside and match["sign"] not in ("x", "×")


def _figure(words: str, *, has_two: bool) -> ShapeWords | None:
    plain = _ADJECTIVE.sub("", words.casefold().strip(" -"))
    plain = re.sub(r"(?<=triangle)(s?) squares?$", r"\1", plain)
    if not plain:
        return None
    if re.fullmatch(r"pieces?|patch(?:es)?", plain):
        plain = "rectangle"
    try:
        shape = parse_shape(plain)
    except ShapeWordsError as fault:
        if re.search(
            r"\b(?:hsts?|qsts?|triangles?|geese|goose|diamonds?|hexagons?|stars?)\b", plain
        ):
            raise UnsureError(str(fault), fault.suggestion) from None
        return None
    if shape.is_cut or shape.is_strip:
        return None
    if shape.figure is Figure.RECTANGLE and not has_two:
        raise UnsureError(
            "a rectangle has two measures, and one is stated", "Type both, such as 2 x 4 finished."
        )
    return shape


def _cut(line: _Parsed, facts: FabricFacts) -> Cut:
    match, figure, rules = line.match, line.shape.figure, facts.cut_rules
    unit_word = match["au"] or match["bu"]
    width = to_length(match["a"], unit_word, facts.unit)
    length = None
    if match["b"] is not None:
        length = to_length(match["b"], match["bu"] or match["au"], facts.unit)
    counted = Counted(int(match["count"]))
    if counted.quantity < 1 or width <= 0 or (length is not None and length <= 0):
        raise UnsureError("a count or a size is 0", "Type how many, and how large.")
    said = ""
    name = [say_size(one, facts.unit) for one in (width, length or width)]
    try:
        if line.is_unfinished:
            width, length, said = _to_finished(figure, width, length, rules)
        cut, quantity = cut_from_finished(line.shape, width, length, rules, counted)
    except FigureSizeError as fault:
        raise UnsureError(str(fault), fault.suggestion) from None
    formula = said + cut.formula
    if figure in (Figure.HALF_SQUARE, Figure.HALF_SQUARE_EIGHT):
        formula += ", one triangle of this fabric in each sewn unit"
    is_one_measure = figure is not Figure.RECTANGLE and (length is None or length == width)
    size = name[0] if is_one_measure else " × ".join(name)
    how = "unfinished" if line.is_unfinished else "finished"
    return Cut(
        line=0,
        name=line.purpose or f"{figure}, {size} {how}",
        kind=PieceKind.STRIP if cut.length is None else PieceKind.PIECE,
        width=cut.width,
        length=cut.length,
        quantity=quantity,
        shape=cut.shape,
        words=cut.remark,
        formula=formula,
    )


def _to_finished(
    figure: Figure, width: Length, length: Length | None, rules: CutRules
) -> tuple[Length, Length | None, str]:
    """Return the finished measures of an unfinished unit, and the words for it."""
    if figure not in _WHOLE_UNITS:
        raise UnsureError(
            f"the unfinished size of a {figure} is not what it is cut from",
            "Type its finished size, or what is cut.",
        )
    try:
        finished = finished_from_cut(width, rules.seam)
        other = None if length is None else finished_from_cut(length, rules.seam)
    except ValueError:
        raise UnsureError("the seams take all of it", "Type the size again.") from None
    said = f"unfinished {say_size(width, rules.unit)} − {say_size(2 * rules.seam, rules.unit)} = "
    return finished, other, said


def _open_counts(line: _Parsed) -> list[Advice]:
    """Say how a line was counted or made where it could be otherwise."""
    found: list[Advice] = []
    if line.shape.figure is Figure.QUARTER_SQUARE:
        found.append(
            Advice(
                f"{line.match['count']} quarter-square triangles are counted as triangles of this "
                "fabric, their long side as the finished size",
                "A sewn unit of two fabrics takes two triangles of each: type that count if units "
                "are meant.",
            )
        )
    if line.shape.figure in _BESIDE_BLOCKS and not line.is_of_block:
        found.append(
            Advice(
                f"the size of the {line.shape.figure}s is taken as that of the block",
                f"Say so: 10 {line.shape.figure}s for 12 in finished blocks.",
            )
        )
    if said := open_way(line.shape):
        found.append(said)
    return found
