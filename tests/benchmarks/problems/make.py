"""Write problems.json from tests/cutting_suite.py, with what kitmaker finds and proves.

python tests/benchmarks/problems/make.py [SOLUTIONS.json]
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parents[1]))

from cutting_suite import FormCase, LengthCase, border_cases, form_cases, length_cases  # noqa: E402

from kitmaker.cutting.desk import plan_forms, plan_length  # noqa: E402
from kitmaker.cutting.layout import Layout  # noqa: E402
from kitmaker.cutting.problem import common_unit  # noqa: E402

Case = FormCase | LengthCase


def all_cases() -> list[Case]:
    """Return every problem: kits, draws and puzzles of forms, then lengths."""
    return [*form_cases(), *length_cases(), *border_cases()]


def unit_of(case: Case) -> Fraction:
    """Return the inches of one unit: the greatest length that divides all measures."""
    sheet = (case.across, case.along) if isinstance(case, FormCase) else (case.width,)
    sides = [side for one in case.demands for side in (one.across, one.along)]
    return common_unit((*sheet, *sides))


def problem_of(case: Case) -> dict[str, Any]:
    """Return a problem as data, without what is known of its answer."""
    unit = unit_of(case)
    is_form = isinstance(case, FormCase)
    return {
        "name": case.name,
        "inches_per_unit": str(unit),
        "across": int((case.across if is_form else case.width) / unit),
        "along": int(case.along / unit) if is_form else None,
        "pieces": [
            {
                "key": one.key,
                "across": int(one.across / unit),
                "along": int(one.along / unit),
                "count": one.count,
                "may_turn": one.may_turn,
            }
            for one in case.demands
        ],
    }


def solve(case: Case) -> tuple[int, int, list[dict[str, Any]]]:
    """Return the best that kitmaker finds, its bound, and the sheets."""
    unit = unit_of(case)
    if isinstance(case, FormCase):
        forms = plan_forms(case.demands, case.across, case.along)
        return forms.count, forms.lower_bound, sheets_of(case, forms.layouts)
    length = plan_length(case.demands, case.width)
    bound = -(-length.lower_bound // unit)
    return int(length.length / unit), int(bound), sheets_of(case, length.layouts)


def sheets_of(case: Case, layouts: Sequence[Layout]) -> list[dict[str, Any]]:
    """Return layouts as the checker wants them; turned is said of the piece as it is asked for."""
    unit, asked = unit_of(case), {one.key: (one.across, one.along) for one in case.demands}
    return [
        {
            "copies": layout.copies,
            "along": int(layout.sheet.along / unit),
            "pieces": [
                {
                    "key": one.key,
                    "x": int(one.x / unit),
                    "y": int(one.y / unit),
                    "turned": (one.w, one.h) != asked[one.key],
                }
                for one in layout.sheet.placed()
            ],
        }
        for layout in layouts
    ]


def main(words: list[str]) -> None:
    """Solve every problem, and write what is known of it."""
    problems, solutions = [], {}
    for case in all_cases():
        best, bound, solutions[case.name] = solve(case)
        problems.append({**problem_of(case), "best_known": best, "proven_bound": bound})
    lines = ",\n".join(json.dumps(one, ensure_ascii=False) for one in problems)
    (HERE / "problems.json").write_text(f"[\n{lines}\n]\n", encoding="utf-8")
    if words:
        Path(words[0]).write_text(json.dumps(solutions, ensure_ascii=False), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
