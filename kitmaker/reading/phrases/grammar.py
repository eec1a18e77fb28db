"""The phrases of a sentence: what may begin at each place, every way it may be meant.

A phrase is small: a size, an item, a source, a cut on the diagonal, a figure that is stated.
Which of them follow each other, and what they then mean, is found on the cutting table
(:mod:`kitmaker.reading.phrases.acts`). A word that belongs to no phrase is asked about.

What a phrase looks like is a shape, a pattern of kinds of words (:mod:`.tokens`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kitmaker.lengths import Length
from kitmaker.reading.phrases import parts
from kitmaker.reading.phrases.checks import CheckReader
from kitmaker.reading.phrases.items import ALTERS, NAMING, PURPOSE, ItemReader
from kitmaker.reading.phrases.parts import STRIPS, Phrase, Source
from kitmaker.reading.phrases.running import running_lengths
from kitmaker.reading.phrases.sources import SourceReader
from kitmaker.reading.phrases.whole import whole_sentence
from kitmaker.reading.words.lexicon import word_set
from kitmaker.reading.words.tokens import Kind, Words

Found = Iterator[tuple[int, Phrase]]
_IN_BRACKETS = (
    *(parts.Diagonal, parts.Check, Source, parts.Keep, parts.Needs, parts.Making, parts.Way),
)
FIXED: tuple[tuple[str, Phrase], ...] = (
    ("CUT", parts.Verb()),
    ("CHOOSE", parts.Verb("choose")),
    ("NEEDED|YOU", parts.Verb("need")),
    ("HAVE", parts.Make()),
    ("TOTAL OF?", parts.Totals(is_verb=True)),
    ("TOTAL", parts.Totals(is_verb=False)),
    ("(?:(?:ALL CUT?|CUT)(?:FROM|ON|ALONG)?)?LOF(?!TIMES)", parts.Way(along=True)),
    ("(?:(?:ALL CUT?|CUT)(?:FROM|ON|ALONG)?)?WOF(?!TIMES)", parts.Way(along=False)),
    ("SUB(?:INTO|TO|HAVE|EVERY)?|INTO|ARROW|EQUALS|CUT INTO", parts.SubCut(STRIPS)),
    ("THESE INTO", parts.SubCut(Source(kind="these"))),
    (
        "[WHOLE NOTCUT](?=[END CLOSING COMMA SEMICOLON FOR YET])|THESE[ARE WILL]OPEN(?=END)",
        parts.Note(),
    ),
    ("(?:PER|FOR EACH)(?!NUM)[OPEN UNITNAME]*GROUP[OPEN GROUP UNITNAME]*", parts.PerBlock()),
)
"""Phrases that always say the same: their shape, and what they say."""
_ANY_FIXED = "|".join(text for text, _ in FIXED)

_SIZE = "(?!COUNT)NUM UNIT?(?:TIMES NUM UNIT?)?(?=SQUARE)"
_DIAGONAL = (
    "(?:[CUT SUB]|EACH CUT)?(?P<who>(?:[EACH THESE DET ALL OF SQUARE NEEDED LABEL LARGE LARGER"
    f" SMALL SMALLER]|COUNT|{_SIZE})*(?:(?<=[OF COUNT SQUARE])WHICH?(?:ARE CUT?)?)?)[ONCE TWICE]"
)
_KEEP = (
    f"SETASIDE(?:(?!AND[CUT SUB NUM OPENING])[{NAMING} OF THESE REST FOR AT AND WHOLE NOTCUT WIDE"
    " TO NUM UNIT TIMES EXTRA OTHER ANOTHER SETS]|OPENING COUNT CLOSING"
    "|OPENING[^COUNT CUT SUB EACH CLOSING]*CLOSING)*"
)
_FREE = (
    f"(?!SO YOU CUT)(?:(?:FOR|(?<=.)AS(?=DET))(?:{PURPOSE})"
    f"|HAVE[{NAMING} AND OF]+(?=[END SEMICOLON COMMA CLOSING])"
    "|FREE|BY(?=[CUT SEW])|TO(?=[OPEN DRAW SEW TRIM])"
    "|(?!SQUARE)[NOUN SHAPE](?=[COLON DASH COMMA])|OF(?=FREE))"
)
_FREE_WORDS = f"(?![SEW TRIM DRAW]){_FREE}(?:{_FREE}|AND(?=[OPEN GROUP]))*"


class Grammar:
    """The phrases of one sentence, found once for each place."""

    def __init__(self, words: Words, unit: Length) -> None:
        """Take the sentence, and the inches that a bare number is in."""
        self.words = words
        self.items = ItemReader(words, unit)
        self.sources = SourceReader(self.items)
        self.checks = CheckReader(self.items)
        self._found: dict[int, tuple[tuple[int, Phrase], ...]] = {}

    def phrases(self, place: int) -> tuple[tuple[int, Phrase], ...]:
        """Return what may begin at a place, each with the place behind it."""
        if place not in self._found:
            self._found[place] = tuple(
                pair for rule in _BY_KIND[self.words.kind(place)] for pair in rule(self, place)
            )
        return self._found[place]

    def _fixed(self, place: int) -> Found:
        for text, phrase in FIXED if self.words.fits(_ANY_FIXED, place) else ():
            if found := self.words.fits(text, place):
                yield found.end(), phrase

    # ---- strips cut on, squares cut up -----------------------------------------------------------

    def _needs(self, place: int) -> Found:
        """Read ``needs 3 strips``, ``so I cut 3 strips``: what the items before take."""
        words = self.words
        if words.kind(place) is Kind.AT:
            told = words.fits("SO YOU CUT", place) and words.has("NUM", 0, place)
            for end, item in self.items.items(place + 3) if told else ():
                yield end, parts.Needs(item, is_verb=False)
        elif words.word(place) != "needed":
            for end, item in self.items.items(place + 1):
                yield end, parts.Needs(item, is_verb=words.kind(place) is Kind.NEEDS)

    def _use(self, place: int) -> Found:
        """Read ``use 4 of these strips for the border`` and ``use 6 strips to sub-cut``."""
        words = self.words
        kept = words.fits(f"USE COUNTED[OF THESE DET STRIP]*FOR(?:{PURPOSE})", place)
        counted = words.counted(place + 1)
        if kept and counted:
            yield kept.end(), parts.Keep(counted[0])
        for end, source in self.sources.named(place + 1) if words.fits("USE|TAKE", place) else ():
            to_cut = words.fits("TO[SUB CUT][INTO TO]?", end)
            if to_cut and source.kind in ("strip", "these"):
                yield to_cut.end(), parts.SubCut(source)

    def _sub_cut(self, place: int) -> Found:
        """Read ``sub-cut 3 of these strips into``."""
        for end, source in self.sources.named(place + 1):
            behind = self.words.behind("INTO|TO", end)
            into = behind > end
            if source.kind in ("strip", "these") or (source.kind == "rest" and into):
                yield behind, parts.SubCut(source)
            elif source.kind == "cloth" and source.count and not source.has_words and into:
                yield behind, parts.SubCut(source._replace(kind="strip"))

    def _cut_into(self, place: int) -> Found:
        """Read ``cut each strip into``, ``cut the 10" squares into``."""
        for end, source in self.sources.named(place + 1):
            if self.words.fits("INTO|IN COUNT", end):
                is_strip = source.kind in ("strip", "these", "rest", "piece")
                yield end + 1, parts.SubCut(source) if is_strip else parts.CutUp(source)

    def _halves(self, place: int) -> Found:
        """Read ``cut each in half so you have 80`` and ``sub-cut in half to make``."""
        words = self.words
        named = self.sources.named(place + 1)
        for end, source in named if words.kind(place) is Kind.CUT else ():
            made = words.fits("(?P<q>QUARTERS)?HALF?(?:[AT TO YOU OPEN AND]*[HAVE INTO FOR])", end)
            if made and words.fits("[HALF QUARTERS]", end) and source.kind not in ("strip", "rest"):
                each = source._replace(kind="cloth", is_each=True)
                yield made.end(), parts.CutUp(each, parts=4 if made["q"] else 2)
        for end, source in (*named, (place + 1, STRIPS)):
            halved = words.fits("HALF[HAVE INTO FOR]", end)
            if halved and source.kind in ("strip", "these", "cloth"):
                yield halved.end(), parts.SubCut(source._replace(kind="strip", is_all=False))

    # ---- diagonals -------------------------------------------------------------------------------

    def _diagonal(self, place: int) -> Found:
        words = self.words
        found = words.fits(_DIAGONAL, place)
        if found is None or (words.kind(place) is Kind.SUB and "cross" in words.word(place)):
            return
        start, end = found.span("who")
        count, who, size = None, "", None
        for at in range(start, end):
            if words.is_count(at):
                count = words.count(at)
            elif words.kind(at) is Kind.NUM and who != "=":
                who, size = "=", self.items.sizes(at)[0].measures[0]
            elif words.kind(at) is Kind.LABEL:
                who = "#" + words.word(at).split()[-1]
            elif who != "=":
                who = next((name for text, name in _WHO if words.fits(text, at)), who)
        last = found.end() - 1
        yield (
            found.end(),
            parts.Diagonal(
                times=1 if words.kind(last) is Kind.ONCE else 2,
                count=count,
                who=who,
                size=size,
                says_times=bool({"once", "twice", "both"} & set(words.word(last).split())),
                binds_last=self._binds_last(place),
            ),
        )

    def _binds_last(self, place: int) -> bool:
        """Whether a diagonal cut can only belong to the item before it."""
        words, start = self.words, place - 1
        if not words.fits("[COMMA AND SEMICOLON]", start):
            return True
        while start >= 0 and not words.fits("[CUT SUB ONCE TWICE]", start):
            start -= 1
        return words.times("(?<!TIMES)NUM UNIT", max(start, 0), place) < 2

    # ---- brackets --------------------------------------------------------------------------------

    def _bracket(self, place: int) -> Found:
        words = self.words
        for end, phrase in self.phrases(place + 1):
            if isinstance(phrase, _IN_BRACKETS) and words.fits("CLOSING", end):
                yield end + 1, phrase
            elif isinstance(phrase, (parts.Check, parts.Diagonal)):
                for last, second in self.phrases(words.behind("[COMMA SEMICOLON]", end)):
                    is_second = isinstance(second, (parts.Check, parts.Diagonal))
                    if is_second and words.fits("CLOSING", last):
                        yield last + 1, parts.Both(phrase, second)
        behind = self.items.remark(place)
        if behind is not None:
            said = " ".join(words.words(place + 1, behind - 1))
            yield behind, parts.Note(is_final=self.items.is_final(place, behind), words=said)

    # ---- what is kept, sewn, multiplied ----------------------------------------------------------

    def _keep(self, place: int) -> Found:
        words = self.words
        if rest := words.fits(f"REST.ARE FOR(?:{PURPOSE})", place):
            yield rest.end(), parts.Keep(None, is_rest=True)
        if found := words.fits(_KEEP, place):
            end = found.end()
            counts = [
                words.count(at) for at in range(place, end) if words.fits("COUNT(?!TIMES)", at)
            ]
            if len(counts) < 2 and not words.has("COUNT(?!TIMES).*REST", place, end):
                apart = "together" not in words.words(place, end)
                count = counts[0] if counts and apart else None
                sizes = [size for at in range(place, end) for size in self.items.sizes(at)]
                size = sizes[0].measures if sizes else ()
                yield end, parts.Keep(count, words.has("REST", place, end), size)

    def _sew(self, place: int) -> Found:
        words, kind = self.words, self.words.kind(place)
        pieced = words.word(place) == "piece" and (
            words.fits("PIECE(?:STRIP|DET|THESE)|(?<=COMMA)PIECE COUNT", place) is not None
            or words.word(place + 1).split(" ")[0] in ("end", "as", "and", "together", "to")
        )
        if kind is Kind.PIECE and not pieced:
            return
        if kind is Kind.SEW and any(running_lengths(self.items, place + 1)):
            yield place + 1, parts.Note()
        end = words.behind("[^CUT SUB SEMICOLON END]+", place)
        if words.word(end) == "cut apart" and not words.has("UNIT", end):
            end = words.size
        said = set(words.words(place, end))
        joins = pieced or bool(said & _JOINS)
        has_numbers, before_cut = words.has("NUM", place, end), end < words.size
        rest = words.has("REST", place, end)
        trims_to = kind is Kind.TRIM and has_numbers
        yield (
            end,
            parts.Sew(
                joins=joins,
                has_numbers=has_numbers,
                speaks_of_rest=words.has(ALTERS, place, end) or (rest and (before_cut or trims_to)),
                trims=not joins and words.has("TRIM", place, end),
                counts=words.has("COUNT", place, end),
                says_each=words.has("EACH", place, end),
                is_before_cut=before_cut,
            ),
        )

    def _making(self, place: int) -> Found:
        """Read ``make 12 blocks``, ``(make 6)``, ``makes 7 strip sets``."""
        words = self.words
        if any(running_lengths(self.items, place + 1)):
            return
        if place and not words.fits("JOINT|OPENING|LABEL", place - 1):
            yield place + 1, parts.Make()
            return
        count, at = words.counted(place + 1) or (None, place + 1)
        end = words.behind("[^CUT SUB SEMICOLON COLON CLOSING END]+", at)
        if words.has(ALTERS, at, end):
            return
        is_unit = words.has("UNITNAME|SHAPE|UNIT", at, end)
        is_whole = place == 0 and end == words.size
        is_sewn = words.has("UNITNAME|SHAPE|GROUP", at, end)
        is_cut = not is_sewn and words.has("[SQUARE RECT]", at, end) and words.has("NUM", at, end)
        yield end, parts.Making(count=count, is_unit=is_unit, is_cut=is_cut, is_whole=is_whole)

    def _blocks(self, place: int) -> Found:
        """Read ``for each of 9 blocks``."""
        words = self.words
        text = "(?:FOR|IN)?EACH[OF DET THESE]*(?P<n>COUNT)(?P<of>[OPEN GROUP LABEL UNITNAME]+)"
        if found := words.fits(text, place):
            start, end = found.span("of")
            several = any(word.endswith("s") for word in words.words(start, end))
            if several or words.has("GROUP", start, end):
                yield end, parts.Blocks(words.count(found.start("n")))

    def _each_count(self, place: int) -> Found:
        """Read ``12 matching sets of``, ``4 each of``."""
        words = self.words
        if not words.is_count(place):
            return
        count = words.count(place)
        if sets := words.fits("COUNT OPEN*SETS OF(?P<of>COLON)?", place):
            yield sets.end() - bool(sets["of"]), parts.Blocks(count, is_sets=not sets["of"])
        if each := words.fits("COUNT(?:OF EACH(?=[OF COLON COMMA])|EACH)OF?", place):
            yield each.end(), parts.EachCount(count)

    def _chosen(self, place: int) -> Found:
        chooses = self.words.kind(place) is Kind.CHOOSE
        for end, source in self.sources.named(place + 1):
            cloth = source.kind == "cloth" and source.has_words and chooses
            if source.count and not source.is_each and (cloth or source.kind in _READY):
                yield end, parts.Chosen(source=source, is_cut=not chooses)

    def _panel(self, place: int) -> Found:
        found = self.words.fits("[TRIM CUT FUSSY][DET CUT OPEN]*PANELWORD OPEN?[TO INTO]", place)
        for size in self.items.sizes(found.end()) if found else ():
            if len(size.measures) == 2:
                item = parts.Item(count=1, size=size.measures, noun="rectangle")
                yield size.end, parts.Panel(item)

    def _source(self, place: int) -> Found:
        yield from self.sources.sources(place)

    def _sentence(self, place: int) -> Found:
        if place == 0:
            if self.words.fits("SHAPE|BORDER|OPEN", 0):
                yield from running_lengths(self.items, 0)
            yield from whole_sentence(self.items)

    def _free(self, place: int) -> Found:
        if found := self.words.fits(_FREE_WORDS, place):
            yield found.end(), parts.Note()


_READY = ("square", "strip")
_WHO = (("LARGE|LARGER", "large"), ("SMALL|SMALLER", "small"), ("ALL", "all"))
_JOINS = word_set("sew sewn sewed join joined stitch stitched attach") | {
    *("strip set", "strip sets", "piece together", "piece end to end", "pieced end to end"),
}
_Rule = Callable[[Grammar, int], Found]
_NAMES = "OPEN DET GROUP LABEL ORD CODE CLOTH UNITNAME AT YOU SQUARE RECT STRIP PIECE BORDER SHAPE"
_FIGURES = "HAVE TOTAL NEEDED NEEDS EQUALS ARROW YOU TO MAKE OPEN AT FOR ALL NUM OPENING"
_SQUARES = "ONCE TWICE CUT SUB EACH THESE DET ALL OF SQUARE NEEDED LABEL OPEN DOUBT NUM"
_RULES: tuple[tuple[str, _Rule], ...] = (
    ("", lambda grammar, place: iter(grammar.items.items(place))),
    ("", Grammar._fixed),
    ("NEEDS NEEDED AT", Grammar._needs),
    ("OPEN", Grammar._use),
    ("CUT FROM OF AT OPEN PER EACH REST", Grammar._source),
    ("SUB", Grammar._sub_cut),
    ("CUT", Grammar._cut_into),
    ("MAKE", Grammar._making),
    ("CUT SUB", Grammar._halves),
    (_SQUARES, Grammar._diagonal),
    ("OPENING", Grammar._bracket),
    (_FIGURES, lambda grammar, place: grammar.checks.checks(place)),
    ("SETASIDE REST", Grammar._keep),
    ("SEW TRIM DRAW PIECE", Grammar._sew),
    ("FOR AT EACH", Grammar._blocks),
    ("NUM", Grammar._each_count),
    ("CHOOSE NEEDED YOU", Grammar._chosen),
    ("TRIM CUT FUSSY", Grammar._panel),
    ("NUM CUT UNSURE", lambda grammar, place: running_lengths(grammar.items, place)),
    ("", Grammar._sentence),
    (f"{_NAMES} FOR HAVE BY TO OF AS", Grammar._free),
)
"""The kinds a rule may begin with, and the rule."""
_BY_KIND = {
    kind: tuple(rule for kinds, rule in _RULES if kind.name in (kinds or kind.name).split())
    for kind in Kind
}
