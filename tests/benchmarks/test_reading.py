"""How much of what people write is read right, flagged, or read wrong without a word.

Run ``pytest tests/benchmarks/test_reading.py -s`` for the counts. Wrong must be none;
flagged may be few.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from cases.cutting_phrases import ASK, PHRASE_CASES, PhraseCase
from cases.patterns import LAYOUTS, PATTERNS, expected_of, write_pattern

from kitmaker.errors import Level
from kitmaker.pattern import Fabric, PieceKind
from kitmaker.reading.phrases import FabricFacts, read_lines
from kitmaker.reading.requirements import read_pattern

VERDICTS = ("right", "flagged", "wrong")
PHRASES_RIGHT_AT_LEAST = Fraction(95, 100)
FABRICS_RIGHT_AT_LEAST = Fraction(22, 24)
"""Two have two honest readings: "from both, three strips" is three of each, or three in all."""


def say(what: str, counts: Counter[str], more: str = "") -> None:
    said = "".join(f"{counts[verdict]:5} {verdict}" for verdict in VERDICTS)
    sys.stdout.write(f"{what:16}{said}  {more}\n")


def say_cut(quantity: int, width: Fraction, length: Fraction | None, kind: PieceKind) -> str:
    joined = "joined " if kind is PieceKind.JOINED else ""
    return f"{quantity} {width} {joined}{'WOF' if length is None else length}"


def judge_phrase(case: PhraseCase) -> str:
    facts = {
        key: Fraction(value) if key == "fabric_length" else value  # type: ignore[arg-type]
        for key, value in case.facts.items()
    }
    read = read_lines(case.words.split("\n"), FabricFacts(**facts))  # type: ignore[arg-type]
    flagged = any(one.level is Level.ERROR for one in read.findings)
    if case.cuts == (ASK,):
        return "right" if flagged else "wrong"
    if flagged:
        return "flagged"
    found = [say_cut(cut.quantity, cut.width, cut.length, cut.kind) for cut in read.cuts]
    return "right" if sorted(found) == sorted(case.cuts) else "wrong"


def test_phrases_are_read_right_or_flagged_and_never_wrong() -> None:
    counts: Counter[str] = Counter()
    for name, cases in PHRASE_CASES.items():
        of_group = Counter(judge_phrase(case) for case in cases)
        counts += of_group
        say(name, of_group)
    total = counts.total()
    say("all phrases", counts)
    assert counts["wrong"] == 0
    assert counts["right"] >= PHRASES_RIGHT_AT_LEAST * total


def judge_fabric(fabric: Fabric | None, cuts: list[str], amount: str | None, flagged: bool) -> str:
    found = [
        say_cut(piece.quantity, piece.width, piece.length, piece.kind)
        for piece in (fabric.pieces if fabric else ())
    ]
    stated = fabric.requirement if fabric else None
    said = f"{stated.quantity} {stated.unit}" if stated is not None else None
    if amount is None:  # a tidy table knows pieces and strips only
        found, cuts = ([cut.replace("joined ", "") for cut in one] for one in (found, cuts))
    if sorted(found) == sorted(cuts) and (amount is None or said == amount):
        return "right"
    return "flagged" if flagged else "wrong"


@pytest.mark.parametrize("layout", LAYOUTS)
def test_invented_patterns_are_read_right_in_every_layout(layout: str, tmp_path: Path) -> None:
    counts: Counter[str] = Counter()
    began = time.perf_counter()
    for case in PATTERNS:
        reading = read_pattern(write_pattern(case, layout, tmp_path))
        by_role = {fabric.role: fabric for fabric in reading.pattern.fabrics}
        flagged = any(problem.is_error for problem in reading.problems)
        for one in case.fabrics:
            amount = None if layout == "tidy" else one.amount
            verdict = judge_fabric(by_role.get(one.role), expected_of(one), amount, flagged)
            if verdict != "right":
                sys.stdout.write(f"  {verdict}: {case.name}, {one.role}\n")
            counts[verdict] += 1
    seconds = time.perf_counter() - began
    say(layout, counts, f"{len(PATTERNS)} files in {seconds:.2f} s")
    assert counts["wrong"] == 0
    assert counts["right"] >= FABRICS_RIGHT_AT_LEAST * counts.total()
