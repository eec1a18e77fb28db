"""What only a whole sentence can say: a direction for all, a definition, a remark on measures."""

from __future__ import annotations

from collections.abc import Iterator

from kitmaker.reading.phrases import parts
from kitmaker.reading.phrases.items import ItemReader
from kitmaker.reading.phrases.parts import Phrase
from kitmaker.reading.words.lexicon import NOTE_WORDS
from kitmaker.reading.words.tokens import Kind, Words

Found = Iterator[tuple[int, Phrase]]
_WIDTH = "[EACH ALL STRIP AT CUT WOF AND OPEN DET WIDE]*"
_COMMON = frozenset(("following", "long", "outer", "inner"))
_NO_DIRECTION = "[INTO SUB ONCE TWICE HALF FINISHED COUNT]"
_AMOUNT = "NUM UNIT[OF OPEN CLOTH DASH COMMA]*[CUT INTO]*(?=COLON|END)"
_LATER = "(?!.*[COUNT SUB EACH HALF DOUBT])OPENING.*TRIM"


def whole_sentence(items: ItemReader) -> Found:
    """Yield what a sentence says from its beginning on, with the place behind it."""
    words, size = items.words, items.words.size
    yield from _width_said(items)
    heading = _heading(words)
    if heading is not None:
        yield size, heading
    if cloths := words.fits("COUNT[CLOTH OPEN]*CLOTH OPEN*(?=COLON)", 0):
        yield cloths.end(), parts.Check(kind="cloths", count=words.count(0))
    # The amount that a list is cut from: 2¼ yards - cut into:
    amount = words.fits(_AMOUNT, 0)
    if amount and (words.at(1).value or 0) >= 36 and not words.at(0).lost_gap:
        yield amount.end(), parts.Note()
    if _only_tells(items):
        yield size, parts.Note()


def _width_said(items: ItemReader) -> Found:
    """Read ``Each strip is cut 3½" wide``."""
    words = items.words
    at = words.behind(_WIDTH, 0)
    for size in items.sizes(at)[:1]:
        is_all = words.is_all(_WIDTH, size.end, words.size) and len(size.measures) == 1
        if (
            is_all
            and (words.fits("EACH", 0) or words.has("ARE|IS"))
            and words.fits("(?!CUT)..*CUT", 0)
        ):
            yield words.size, parts.StripWidth(size.measures[0])


def _heading(words: Words) -> Phrase | None:
    """Read ``Cut the borders lengthwise before …`` and ``The strips are cut crosswise``."""
    way = words.fits(
        "CUT(?P<who>(?:(?!NUM|FROM|EACH|INTO|OF(?!DET)|WOF|LOF|ALTERS|REST).)*)(?P<way>[WOF LOF])",
        0,
    )
    if way and not words.has("NUM"):
        return _way(words, *way.span("who"), along=words.kind(way.start("way")) is Kind.LOF)
    told = words.fits("(?P<who>[^NUM EACH THESE REST END]+?)ARE CUT(?!.*CUT)", 0)
    if told is None or words.has(_NO_DIRECTION):
        return None
    if words.has("LOF"):
        return _way(words, *told.span("who"), along=True)
    return parts.Note() if words.has("WOF") or not words.has("NUM") else None


def _way(words: Words, start: int, end: int, *, along: bool) -> parts.Heading:
    if words.fits("COLON", words.size - 1):  # of all that is listed below
        return parts.Heading(along=along)
    names = {
        words.word(at).rstrip("s")
        for at in range(start, end)
        if words.kind(at) in (Kind.BORDER, Kind.OPEN, Kind.GROUP)
    }
    return parts.Heading(along=along, names=frozenset(names - _COMMON))


def _only_tells(items: ItemReader) -> bool:
    words, size = items.words, items.words.size
    equals = words.fits("[CLOTH OPEN DET WOF]+EQUALS", 0)
    if equals and any(one.end == size for one in items.sizes(equals.end())):
        return True  # Fat quarter = 18" × 20"
    said = set(words.words(0, size))
    about = set(words.words(0, 3)) & NOTE_WORDS and not words.has("SQUARE")
    seams = said & {"seam", "seams", "seam allowance", "seam allowances"}
    tells = about or (seams and not words.is_count(0))
    if tells and not words.has("CUT[NUM OPENING]|[MULTIPLY LESSEN OMIT]"):
        return True
    return words.fits(_LATER, 0) is not None
