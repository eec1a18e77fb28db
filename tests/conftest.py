"""Fixtures that many tests share; the hand-made plan comes from plan_builder.py."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from types import ModuleType

    from kitmaker.plans import KitPlan


def _load(name: str) -> ModuleType:
    """Load a module that lies beside this file; test modules may then import it by name."""
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
        if spec is None or spec.loader is None:
            raise ImportError(name)
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
    return sys.modules[name]


_headless = _load("headless")


@pytest.fixture(scope="session")
def chromium() -> str:
    """Chromium; without it a test is skipped, and fails in CI."""
    found: str | None = _headless.find_chromium()
    if found is None:
        _headless.lacking("there is no Chromium to print with")
    return found or ""


@pytest.fixture(scope="session")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    """axe-core's text; without it a test is skipped, and fails in CI."""
    text: str = _headless.find_axe(tmp_path_factory.mktemp("axe"))
    return text


@pytest.fixture(scope="session")
def plans() -> Any:
    """The builder of hand-made plans."""
    return _load("plan_builder")


@pytest.fixture(scope="session")
def class_plan(plans: Any) -> KitPlan:
    """Twelve kits in two colorways."""
    plan: KitPlan = plans.class_plan()
    return plan
