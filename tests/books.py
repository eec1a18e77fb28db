"""Shop's and class's workbooks for tests: sheets of rows in, what was read of them out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Protocol

import openpyxl

from kitmaker.errors import Problem
from kitmaker.files import read_shop
from kitmaker.shop import ShopReading

Sheets = Mapping[str, Sequence[Sequence[Any]]]

STOCK = (
    "SKU",
    "Print",
    "Form",
    "Usable width",
    "Length at hand",
    "Count at hand",
    "Held",
    "Dye lot",
    "Cost",
    "Price",
    "Shrinkage",
)
FORMS = (
    "Form",
    "Nominal width",
    "Nominal length",
    "Usable width",
    "Usable length",
    "Cost",
    "Price",
    "Bundle count",
)
BOLT = ("B1", "Fog", None, 40, "3 7/8 yd", None, 1, "007", 5.9, 11.8, None)
REMNANT = ("Remnant", 42, 20, 40, 19, 2.4, 5.5, None)


class Reading(Protocol):
    """Anything that was read, with what could not be."""

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What could not be read for sure."""


def write(path: Path, sheets: Sheets) -> Path:
    """Write a workbook of sheets of rows."""
    workbook = openpyxl.Workbook()
    workbook.remove(workbook.worksheets[0])
    for name, rows in sheets.items():
        sheet = workbook.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    workbook.save(path)
    return path


def read_as_shop(tmp_path: Path, sheets: Sheets) -> ShopReading:
    """Return what is read of a shop's workbook with such sheets."""
    return read_shop(write(tmp_path / "shop.xlsx", sheets))


def the_problem(reading: Reading) -> Problem:
    """Return the one problem there is."""
    assert len(reading.problems) == 1, [str(problem) for problem in reading.problems]
    return reading.problems[0]


def address(problem: Problem) -> str:
    """Return where a problem stands, as ``Stock!A2``."""
    assert problem.location is not None
    return problem.location.address
