"""Headless Chromium as the page tests and the gallery use it: one, with a tab for all pages."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pypdf
import pytest

FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


AXE = "axe-core@4"
AXE_TAGS = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice")
"""The rules that axe-core is asked for: WCAG 2.0 and 2.1, levels A and AA, and its own advice."""


def find_axe(folder: Path) -> str:
    """Return axe-core's text: of the file that AXE_CORE names, else fetched with npm."""
    named = os.environ.get("AXE_CORE")
    if named:
        return Path(named).read_text(encoding="utf-8")
    npm = shutil.which("npm")
    if npm is None:
        lacking("there is no npm to fetch axe-core with, and AXE_CORE names no axe.min.js")
    done = subprocess.run(
        [npm or "npm", "install", "--silent", "--no-audit", "--no-fund", "--prefix", folder, AXE],
        capture_output=True,
        timeout=180,
        check=False,
    )
    script = folder / "node_modules" / "axe-core" / "axe.min.js"
    if done.returncode or not script.is_file():
        lacking("npm could not fetch axe-core")
    return script.read_text(encoding="utf-8")


@contextmanager
def browsing() -> Iterator[Any]:
    """Start the system's Chromium; without it a test is skipped, and fails in CI."""
    from playwright.sync_api import sync_playwright

    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        lacking("there is no Chromium")
    with sync_playwright() as play:
        launched = play.chromium.launch(executable_path=found, args=list(FLAGS))
        yield launched
        launched.close()


def lacking(what: str) -> None:
    """Skip for want of something; in CI, where it was to be installed, fail."""
    if os.environ.get("CI") == "true":
        pytest.fail(what)
    pytest.skip(what)


def show(tab: Any, folder: Path, text: str) -> None:
    """Open a page, as a file in ``folder``."""
    page = folder / "page.html"
    page.write_text(text, encoding="utf-8")
    tab.goto(page.as_uri())


def print_page(tab: Any, folder: Path, text: str) -> Path:
    """Print a page with the margins of a browser's own print, where it asks for none."""
    show(tab, folder, text)
    pdf, margin = folder / "page.pdf", dict.fromkeys(("top", "right", "bottom", "left"), "1cm")
    tab.pdf(path=pdf, prefer_css_page_size=True, print_background=True, margin=margin)
    return pdf


def print_pdf(tab: Any, folder: Path, text: str) -> pypdf.PdfReader:
    """Print a page and open the PDF."""
    return pypdf.PdfReader(print_page(tab, folder, text))


def across(tab: Any) -> int:
    """Return how wide the page that a tab shows is, in pixels: more than the tab if it scrolls."""
    wide: int = tab.evaluate("document.documentElement.scrollWidth")
    return wide


def ask_axe(tab: Any, axe: str) -> Any:
    """Return what axe-core finds in the page that a tab shows."""
    tab.evaluate(axe)  # by the browser's own hand, which no page's policy binds
    asked = {"runOnly": AXE_TAGS, "resultTypes": ["violations"]}
    return tab.evaluate("asked => axe.run(document, asked)", asked)
