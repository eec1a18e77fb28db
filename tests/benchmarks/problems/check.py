"""Check solutions of the problems beside this file; it needs nothing but Python.

python check.py SOLUTIONS.json [PROBLEMS.json]

Prints a line for each problem and ends with 1 where a solution is refused.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent


def check(problem: dict[str, Any], sheets: list[dict[str, Any]]) -> tuple[int, list[str]]:
    """Return what a solution takes (forms, or units along), and everything that is wrong."""
    wrong: list[str] = []
    pieces = {piece["key"]: piece for piece in problem["pieces"]}
    made: Counter[str] = Counter()
    taken = 0
    for number, sheet in enumerate(sheets, start=1):
        copies = sheet["copies"]
        along = problem["along"] if problem["along"] is not None else sheet["along"]
        taken += copies * (1 if problem["along"] is not None else along)
        placed = []
        for piece in sheet["pieces"]:
            key, x, y = piece["key"], piece["x"], piece["y"]
            if key not in pieces:
                wrong.append(f"sheet {number}: there is no piece {key}")
                continue
            asked = pieces[key]
            w, h = asked["across"], asked["along"]
            if piece["turned"]:
                w, h = h, w
                if not asked["may_turn"]:
                    wrong.append(f"sheet {number}: piece {key} may not be turned")
            if x < 0 or y < 0 or x + w > problem["across"] or y + h > along:
                wrong.append(f"sheet {number}: piece {key} at {x}, {y} lies outside")
            placed.append((x, y, x + w, y + h))
            made[key] += copies
        if not comes_apart(placed):
            wrong.append(f"sheet {number}: it does not come apart by cuts from edge to edge")
    wrong += [
        f"piece {key}: {made[key]} of {piece['count']}"
        for key, piece in pieces.items()
        if made[key] < piece["count"]
    ]
    return taken, wrong


def comes_apart(placed: list[tuple[int, int, int, int]]) -> bool:
    """Whether edge-to-edge cuts, one after another, set every rectangle free.

    A cut that meets no rectangle never stands in the way of another, so the first one found
    will do. Rectangles that overlap never come apart.
    """
    stack = [placed]
    while stack:
        group = stack.pop()
        if len(group) < 2:
            continue
        for low, high in ((0, 2), (1, 3)):
            ordered = sorted(group, key=lambda one, low=low: one[low])  # type: ignore[misc]
            end = ordered[0][high]
            for at in range(1, len(ordered)):
                if ordered[at][low] >= end:
                    stack += [ordered[:at], ordered[at:]]
                    break
                end = max(end, ordered[at][high])
            else:
                continue
            break
        else:
            return False
    return True


def main(words: list[str]) -> int:
    """Check every solution of a file."""
    solutions = json.loads(Path(words[0]).read_text(encoding="utf-8"))
    path = Path(words[1]) if len(words) > 1 else HERE / "problems.json"
    problems = {one["name"]: one for one in json.loads(path.read_text(encoding="utf-8"))}
    refused = 0
    for name, sheets in solutions.items():
        problem = problems[name]
        taken, wrong = check(problem, sheets)
        best, bound = problem["best_known"], problem["proven_bound"]
        if not wrong and taken < bound:
            wrong = [f"{taken} is less than the proven bound: one of the two is mistaken"]
        said = "better than any known" if taken < best else f"best known {best}, bound {bound}"
        print(f"{name}: {'; '.join(wrong) or f'{taken} ({said})'}")
        refused += bool(wrong)
    return 1 if refused else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
