"""Published figures are checked against the product's own cutting core, through one desk."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def desk() -> ModuleType:
    """Return the plain module ``cutting_desk`` beside this file.

    The tests are no package, so that it cannot simply be imported.
    """
    path = Path(__file__).with_name("cutting_desk.py")
    spec = importlib.util.spec_from_file_location("kitmaker_tests_cutting_desk", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
