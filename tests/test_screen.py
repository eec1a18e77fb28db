"""What stands on the screen while a command works."""

from __future__ import annotations

import sys
import time

import pytest

from kitmaker import screen
from kitmaker.screen import Progress


def told(capsys: pytest.CaptureFixture[str], words: str) -> str:
    """Wait, ten seconds at most, until the words are on the screen; return what stands there."""
    said = ""
    for _ in range(1000):
        said += capsys.readouterr().err
        if words in said:
            break
        time.sleep(0.01)
    return said


def test_on_a_terminal_a_fabric_that_takes_long_is_told_to_be_worked_on(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    monkeypatch.setattr(screen, "EVERY", 0.01)
    progress = Progress()
    try:
        progress("working out Heather")
        assert "\rworking out Heather (still working, 1 s)" in told(capsys, "still working")
    finally:
        progress.done()
    assert capsys.readouterr().err.endswith("\r")
    time.sleep(0.1)
    assert not capsys.readouterr().err


def test_elsewhere_nothing_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(screen, "EVERY", 0.01)
    progress = Progress()
    progress("working out Heather")
    time.sleep(0.1)
    progress.done()
    assert not capsys.readouterr().err
