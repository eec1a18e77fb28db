"""Patterns as they are worded in print: read right, or asked about, and never wrong in silence."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from cases.written import (
    AMOUNTS,
    FEWER,
    LAYOUTS,
    Reading,
    WrittenFabric,
    first_readings,
    is_one_of,
    seen,
    write_written,
    written_amounts,
    written_patterns,
    written_phrases,
)

from kitmaker.errors import Level, Location
from kitmaker.pattern import PatternReading
from kitmaker.reading.amounts import AmountError, read_amount
from kitmaker.reading.grid import row_and_column
from kitmaker.reading.phrases import FabricFacts, read_lines
from kitmaker.reading.requirements import read_pattern

PATTERNS = written_patterns()
PHRASES = written_phrases()


def judge(found: bool, readings: list[tuple[Reading | None, ...]], *, is_flagged: bool) -> str:
    may_ask = any(None in one for one in readings)
    if (found and not is_flagged) or (may_ask and is_flagged):
        return "right"
    return "flagged" if is_flagged else "wrong"


def test_phrases_are_read_right_and_none_is_wrong_in_silence() -> None:
    verdicts: dict[str, str] = {}
    for facts, words, readings in PHRASES:
        read = read_lines(words.split(" // "), FabricFacts(**facts))  # type: ignore[arg-type]
        is_flagged = any(finding.level is Level.ERROR for finding in read.findings)
        is_found = is_one_of([seen(cut) for cut in read.cuts], [readings])
        verdicts[words] = judge(is_found, [readings], is_flagged=is_flagged)
    assert [words for words, verdict in verdicts.items() if verdict == "wrong"] == []
    assert Counter(verdicts.values())["right"] >= 0.95 * len(PHRASES)


@pytest.mark.parametrize(("text", "readings"), written_amounts())
def test_amounts_are_read_as_a_careful_person_reads_them(
    text: str, readings: tuple[str, ...]
) -> None:
    try:
        amount = read_amount(text).amount
    except AmountError:
        assert "ASK" in readings
    else:
        assert f"{amount.quantity} {amount.unit}" in readings


def _row(location: Location) -> int:
    row, _ = row_and_column(location)
    return -row if location.sheet == AMOUNTS else row


def judge_fabric(
    reading: PatternReading, fabric: WrittenFabric, rows: set[int], layout: str
) -> str:
    """Judge one fabric; an error in its rows, or an amount left unread, is a question about it."""
    read = next((one for one in reading.pattern.fabrics if one.role == fabric.role), None)
    is_flagged = any(
        (problem.is_error or "the cuts are read" in problem.message)
        and problem.location is not None
        and _row(problem.location) in rows
        for problem in reading.problems
    )
    readings = [one for _, one in fabric.lines]
    if layout in ("tidy", "names once"):
        readings = first_readings(fabric)
    if layout == "yardage only":
        readings = []
    amount = read.requirement if read is not None else None
    said = "" if amount is None else f"{amount.quantity} {amount.unit}"
    pieces = [seen(piece) for piece in read.pieces] if read is not None else []
    is_right = said in fabric.amounts and is_one_of(pieces, readings)
    if "ASK" in fabric.amounts and is_flagged:
        return "right"
    return judge(is_right, readings, is_flagged=is_flagged)


@pytest.mark.parametrize("layout", [*LAYOUTS, *FEWER])
def test_patterns_are_read_right_in_each_layout_and_none_is_wrong_in_silence(
    layout: str, tmp_path: Path
) -> None:
    verdicts: dict[tuple[str, str], str] = {}
    path = tmp_path / f"pattern.{'csv' if layout == 'csv' else 'xlsx'}"
    for name, fabrics in list(PATTERNS.items())[-8 if layout in FEWER else 0 :]:
        rows = write_written(fabrics, layout, path)
        reading = read_pattern(path)
        for fabric in fabrics:
            verdict = judge_fabric(reading, fabric, rows[fabric.role], layout)
            verdicts[name, fabric.role] = verdict
    assert [key for key, verdict in verdicts.items() if verdict == "wrong"] == []
    assert Counter(verdicts.values())["right"] >= 0.94 * len(verdicts)
