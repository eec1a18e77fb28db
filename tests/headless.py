"""Headless Chromium as the page tests and the gallery use it."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pypdf
import pytest

FLAGS = (
    "--headless",
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


def find_chromium() -> str | None:
    """Return where Chromium is; None where there is none."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


def lacking(what: str) -> None:
    """Skip for want of something; in CI, where it was to be installed, fail."""
    if os.environ.get("CI") == "true":
        pytest.fail(what)
    pytest.skip(what)


def run(chromium: str, folder: Path, *arguments: str) -> str:
    """Run Chromium with a profile of its own in ``folder``; return what it says."""
    done = subprocess.run(
        [chromium, *FLAGS, f"--user-data-dir={folder / 'profile'}", *arguments],
        capture_output=True,
        timeout=120,
        check=True,
    )
    return done.stdout.decode()


def print_page(chromium: str, folder: Path, text: str) -> Path:
    """Print a page; return the PDF."""
    page, pdf = folder / "page.html", folder / "page.pdf"
    page.write_text(text, encoding="utf-8")
    run(chromium, folder, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", page.as_uri())
    return pdf


def print_pdf(chromium: str, folder: Path, text: str) -> pypdf.PdfReader:
    """Print a page and open the PDF."""
    return pypdf.PdfReader(print_page(chromium, folder, text))
