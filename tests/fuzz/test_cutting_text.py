"""Cutting text that is read, harmed by a word or worded otherwise: never wrong in silence.

A word of quantity that is put anywhere into a sentence must change what is read, or be asked
about; a paraphrase (another verb, another lead, another spelling of numbers) must read the
same or be asked about; and no text makes the reader fail.
"""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Callable
from fractions import Fraction
from functools import cache

import pytest
from cases.written import written_phrases
from fuzz.effort import IS_DEEP

from kitmaker.errors import Level
from kitmaker.reading.phrases import FabricFacts, read_lines
from kitmaker.reading.words.lexicon import ONES

QUANTITY = (
    *("half", "extra", "some of the", "another", "double", "about", "two", "every other"),
    *("at least", "pairs of", "dozen", "up to", "the remaining", "additional", "half of the"),
    *("twice", "more", "each", "except", "not", "most of the", "several", "triple"),
)
MOST_SWALLOWED = 0.025
PHRASES = [(facts, words) for facts, words, _ in written_phrases()]
SHARE = len(PHRASES) if IS_DEEP else 300

Reading = tuple[tuple[object, ...], ...] | None


def read(words: str, facts: dict[str, int]) -> Reading:
    """Return what is cut, or None where it is asked about or warned of."""
    return _read(words, FabricFacts(**facts))  # type: ignore[arg-type]


@cache
def _read(words: str, facts: FabricFacts) -> Reading:
    found = read_lines(words.split(" // "), facts)
    if any(one.level is Level.ERROR for one in found.findings):
        return None
    cuts = ((one.quantity, one.width, one.length or 0, one.shape) for one in found.cuts)
    return tuple(sorted(cuts))


def drawn(seed: int) -> list[tuple[dict[str, int], str]]:
    phrases = list(PHRASES)
    random.Random(seed).shuffle(phrases)  # noqa: S311 - which phrases, the same each time
    return phrases[:SHARE]


def test_a_word_of_quantity_put_anywhere_is_hardly_ever_swallowed() -> None:
    chance = random.Random(5)  # noqa: S311 - the same words each time
    verdicts: Counter[str] = Counter()
    swallowed: list[str] = []
    for facts, words in drawn(5):
        before = read(words, facts)
        parts = words.split(" ")
        if not before or len(parts) < 2:
            continue
        place = chance.randrange(1, len(parts))
        harmed = " ".join([*parts[:place], chance.choice(QUANTITY), *parts[place:]])
        after = read(harmed, facts)
        verdict = "asked" if after is None else "changed" if after != before else "swallowed"
        verdicts[verdict] += 1
        if verdict == "swallowed":
            swallowed.append(harmed)
    assert verdicts["swallowed"] <= MOST_SWALLOWED * verdicts.total(), swallowed


@pytest.mark.parametrize(
    ("said", "otherwise"),
    [
        ("Cut", "Please cut"),
        ("Cut", "Slice"),
        (" cut ", " slice "),
        ("Cut", "Now cut"),
        ("squares", "sq."),
        ("rectangles", "rects"),
        ("WOF", "width of fabric"),
        ("WOF", "W.O.F."),
        (" x ", " × "),
        ('"', " inches"),
        ('"', "″"),
        ("½", " 1/2"),
        ("½", "-1/2"),
        ("Sub-cut", "Crosscut"),
        ("sub-cut", "cross cut"),
        ("subcut", "sub-cut"),
        ("From", "Out of"),
        ("strips", "strips,"),
        ('"', "-inch"),
        ('"', "''"),
        ("½", ".5"),
        (" x WOF", "xWOF"),
        ("WOF", "selvage to selvage"),
        (". ", "; "),
    ],
)
def test_a_paraphrase_reads_the_same_or_is_asked_about(said: str, otherwise: str) -> None:
    differing: list[str] = []
    held = 0
    for facts, words in drawn(7):
        if said not in words or not (before := read(words, facts)):
            continue
        after = read(words.replace(said, otherwise), facts)
        held += after == before
        if after is not None and after != before:
            differing.append(words.replace(said, otherwise))
    assert differing == []
    assert held


_NUMBERS = list(ONES)
_EIGHTHS = {"": 0, "⅛": 1, "¼": 2, "⅜": 3, "½": 4, "⅝": 5, "¾": 6, "⅞": 7}
_COUNTED = r"(?<=[Cc]ut )(\d+)(?= (?:squares|rectangles|strips))"


def in_centimeters_too(found: re.Match[str]) -> str:
    inches = int(found[1] or 0) + Fraction(_EIGHTHS[found[2]], 8)
    return f"{found[0]} ({float(inches * 254 / 100):.1f} cm)" if inches else found[0]


@pytest.mark.parametrize(
    ("said", "otherwise"),
    [
        (r'(?<![\w./-])(\d*) ?([½¼¾⅛⅜⅝⅞]?)"(?!\s*[-(])', in_centimeters_too),
        (_COUNTED, r"(\1)"),
        (_COUNTED, lambda found: _NUMBERS[int(found[1])] if int(found[1]) <= 12 else found[1]),
        (r"^Cut ", "First, cut "),
        (r"^Cut ", "Start by cutting "),
        (r"^Cut ", "You will need to cut "),
        (r"^Cut ", "For the blocks, cut "),
        (r"^Cut ", "From this fabric, cut "),
        (r"^Cut (\d+) ", r"Cut \1 - "),
        (r"^(?!.* // )", "• "),
        (r'(?<=") x (?=\d)', " by "),
        (r"(squares|rectangles|strips) (?=\d)", r"\1 measuring "),
        (r"(squares|rectangles|strips) (?=\d)", r"\1 @ "),
        (r"^Cut (\d+) (squares|rectangles) ([^,.;:/]+?)([,.;]|$)", r"Cut \1 \3 \2\4"),
        (r"^Cut (\d+) (squares|rectangles) ([^,.;:/]+?)$", r"\2, \3: cut \1"),
    ],
)
def test_words_in_another_order_and_sizes_in_two_units_read_the_same_or_are_asked_about(
    said: str, otherwise: str | Callable[[re.Match[str]], str]
) -> None:
    differing: list[str] = []
    held = 0
    for facts, words in drawn(3):
        worded = re.sub(said, otherwise, words)
        if worded != words and (before := read(words, facts)):
            after = read(worded, facts)
            held += after == before
            differing += [worded] if after not in (None, before) else []
    assert differing == []
    assert held


def test_no_text_makes_the_reader_fail() -> None:
    chance = random.Random(11)  # noqa: S311 - the same texts each time
    words = [word for _, text in PHRASES for word in text.split(" ")]
    for _ in range(SHARE):
        text = " ".join(chance.choices(words, k=chance.randrange(1, 25)))
        found = read_lines([text], FabricFacts(prints=4, cloths=4))
        assert found.is_told(0)
