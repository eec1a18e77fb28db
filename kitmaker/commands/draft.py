"""``draft``: a pattern as it is written into a tidy workbook that a person ticks."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from kitmaker import api
from kitmaker.commands.check import fabrics_json
from kitmaker.drafts import NO_CUT, Draft
from kitmaker.paper.problem_json import problems_json
from kitmaker.paper.sheets.saying import count_of

STANDARD_INPUT = "-"
_MOST_BYTES = 20_000_001  # one more than what is taken from a file


def read_draft(source: Path, size: str | None, unit: str | None) -> Draft:
    """Return the draft of a file, or of what comes from standard input."""
    if str(source) != STANDARD_INPUT:
        return api.draft(source, size, unit)
    return api.draft(sys.stdin.buffer.read(_MOST_BYTES), size, unit)


def draft_name(source: Path) -> Path:
    """Return the name of a draft for which none is given."""
    is_piped = str(source) == STANDARD_INPUT
    return Path("draft.xlsx" if is_piped else f"{source.stem}-draft.xlsx")


def draft_json(draft: Draft, path: Path) -> dict[str, object]:
    """Return a draft as data; fabrics and pieces as ``check`` gives them, size by size."""
    return {
        "schema": 1,
        "unit": draft.unit.value,
        "file": path.name,
        "sizes": list(draft.sizes),
        "fabrics": [
            {**fabric, **({"size": reading.pattern.size} if draft.sizes else {})}
            for reading in draft.readings
            for fabric in fabrics_json(reading.pattern)
        ],
        "open": [
            {"where": row.where, "as_written": row.as_written, "readings": list(row.readings)}
            for row in draft.open_rows
        ],
        "left_over": [
            {"where": one.source.address, "words": one.words, "why": one.why}
            for one in draft.left_over
        ],
        "problems": problems_json(draft.problems),
    }


def draft_text(draft: Draft, path: Path) -> Iterator[str]:
    """Yield what a draft holds, line by line."""
    opened, left = len(draft.open_rows), len(draft.left_over)
    yield (
        f"{path} is written: {count_of(len(draft.fabrics), 'fabric')}, "
        f"{count_of(len(draft.pieces), 'row')} of pieces, {count_of(left, 'line')} left over."
    )
    if opened:
        yield (
            f"{count_of(opened, 'row')} to settle: pick a reading under Choose, or type the blank "
            f"cells; choose '{NO_CUT}' where nothing is cut. Then run: kitmaker check {path.name}"
        )
    else:
        yield f"Tick it against the pattern, then run: kitmaker plan {path.name}"
