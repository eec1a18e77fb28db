"""Fixtures that many tests share; the hand-made plan comes from plan_builder.py."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

import headless
import plan_builder
import pytest

from kitmaker.paper.render import render_pages
from kitmaker.plans import KitPlan


def pytest_configure(config: pytest.Config) -> None:
    """Keep compiled modules in pytest's cache where Python is told to keep none.

    Else every command that a test starts compiles all of kitmaker, and every worker all tests.
    """
    if sys.dont_write_bytecode and sys.pycache_prefix is None:
        sys.pycache_prefix = str(config.rootpath / ".pytest_cache" / "compiled")
        sys.dont_write_bytecode = False
        os.environ["PYTHONPYCACHEPREFIX"] = sys.pycache_prefix
        del os.environ["PYTHONDONTWRITEBYTECODE"]


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Chromium, started once; without it a test is skipped, and fails in CI."""
    with headless.browsing() as launched:
        yield launched


@pytest.fixture(scope="session")
def tab(browser: Any) -> Any:
    """A tab for whatever is printed or looked at as it is; nothing about it may be changed."""
    return browser.new_page()


@pytest.fixture(scope="session")
def phone(browser: Any) -> Any:
    """A tab as wide as a phone's screen, likewise."""
    return browser.new_page(viewport={"width": 390, "height": 844})


@pytest.fixture(scope="session")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    """axe-core's text; without it a test is skipped, and fails in CI."""
    text: str = headless.find_axe(tmp_path_factory.mktemp("axe"))
    return text


@pytest.fixture(scope="session")
def class_plan() -> KitPlan:
    """Twelve kits in two colorways."""
    return plan_builder.class_plan()


@pytest.fixture(scope="session")
def small_plan(class_plan: KitPlan) -> KitPlan:
    """Of the same, a fabric that is cut and one that is not, and one label of a piece."""
    of_each = {fabric.bag: fabric for fabric in class_plan.fabrics}
    one_label = replace(class_plan.piece_labels, only=1)
    return replace(class_plan, fabrics=tuple(of_each.values()), piece_labels=one_label)


@pytest.fixture(scope="session")
def class_pages(class_plan: KitPlan) -> Mapping[str, str]:
    """All its pages, by file name."""
    return MappingProxyType(dict(render_pages(class_plan).files))
