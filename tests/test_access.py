"""Every page can be used by people who cannot see it: axe-core finds nothing against it.

The rules asked are WCAG 2.0 and 2.1, levels A and AA, and axe-core's best practice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from headless import ask_axe, show
from plan_builder import page_of

from kitmaker.plans import KitPlan

pytestmark = pytest.mark.browser


def ask(tab: Any, folder: Path, text: str, axe: str) -> Any:
    """Return what axe-core has against a page."""
    show(tab, folder, text)
    found = ask_axe(tab, axe)
    assert len(found["passes"]) + len(found["violations"]) > 15
    return [(one["id"], one["impact"], one["nodes"][0]["html"]) for one in found["violations"]]


def kinds_of_page(files: Mapping[str, str]) -> list[str]:
    """Return one file of each kind, and every cutting sheet that is not like the one before."""
    sheets = [name for name in files if name.startswith("cutting-sheet")]
    posters = [name for name in files if name.startswith("poster")]
    alike = {*sheets[3:], *posters[1:], "everything.html"}
    return [name for name in files if name not in alike]


def test_no_page_has_a_fault_that_axe_finds(
    tab: Any, tmp_path: Path, class_pages: Mapping[str, str], axe: str
) -> None:
    faults = {
        name: ask(tab, tmp_path, class_pages[name], axe) for name in kinds_of_page(class_pages)
    }
    assert {name: found for name, found in faults.items() if found} == {}


HARMS: dict[str, tuple[Callable[[str], str], str]] = {
    "gray on white": (
        lambda text: text.replace("--soft: #5b5349", "--soft: #bbb"),
        "color-contrast",
    ),
    "no language": (lambda text: text.replace(' lang="en"', ""), "html-has-lang"),
    "a nameless picture": (
        lambda text: text.replace("<main>", '<main><div role="img" style="width:9px"></div>'),
        "role-img-alt",
    ),
    "an empty heading": (lambda text: text.replace("<main>", "<main><h2></h2>"), "empty-heading"),
}


@pytest.mark.parametrize("harm", HARMS)
def test_axe_finds_what_it_is_asked_for(
    tab: Any, tmp_path: Path, class_plan: KitPlan, axe: str, harm: str
) -> None:
    change, rule = HARMS[harm]
    text = page_of(class_plan, "pull-list.html")
    harmed = change(text)
    assert harmed != text
    assert rule in [fault[0] for fault in ask(tab, tmp_path, harmed, axe)]
