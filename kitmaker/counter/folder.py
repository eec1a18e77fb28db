"""What lies in the one folder that the counter serves, and the way to each file in it.

Files are told apart by the names of their sheets alone, which takes about a millisecond each;
what they say is read when they are opened. Names that begin with a dot and the marks of open
workbooks are passed over, and a link that leads out of the folder is outside.
"""

from __future__ import annotations

import html
import json
import os
import re
import threading
import zipfile
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from kitmaker.counter.refusals import MissingError, OutsideError
from kitmaker.errors import UnreadableError
from kitmaker.paper.folder import PLAN
from kitmaker.paper.stamp import files_of
from kitmaker.reading.documents.lines import PAGE_ENDINGS
from kitmaker.reading.workbook import BOOK_ENDINGS
from kitmaker.reading.zipped import LARGEST_FILE, MEBIBYTE
from kitmaker.shopbooks.classbook import CLASS_SHEETS
from kitmaker.shopbooks.ledger import fold_sheet
from kitmaker.shopbooks.shopbook import SHOP_SHEETS

_MARK = re.compile(r"\..*|~\$.*", re.DOTALL)
_XLSX_SHEET = re.compile(rb"<(?:\w+:)?sheet\s[^<>]*?\bname=\"([^\"]*)\"")
_ODS_SHEET = re.compile(rb"<table:table\s[^<>]*?table:name=\"([^\"]*)\"")


class Kind(StrEnum):
    """What a file or a folder in it is, by the name that its list has in a listing."""

    PATTERN = "patterns"
    PAGE = "pages"
    CLASS = "classes"
    SHOP = "shops"
    LIST = "lists"
    PLAN = "plans"


@dataclass(frozen=True, slots=True)
class Listing:
    """What lies in the folder, each by its name and sorted."""

    patterns: tuple[str, ...]  # workbooks and .csv files that may be patterns, drafts among them
    pages: tuple[str, ...]  # pages of text that a draft can be made from
    classes: tuple[str, ...]  # class workbooks
    shops: tuple[str, ...]  # shop workbooks
    lists: tuple[str, ...]  # lists of measured cloth and of cloth at hand
    plans: tuple[str, ...]  # folders that hold a plan


class Folder:
    """The folder; every path into it is made here."""

    def __init__(self, path: Path) -> None:
        """Take the folder.

        Raises:
            UnreadableError: There is no such folder.
        """
        try:
            self.path = path.resolve()
            is_there = self.path.is_dir()
        except (OSError, RuntimeError):
            is_there = False
        if not is_there:
            raise UnreadableError(f"There is no folder '{path}'. Look at its name.")
        self.saving = threading.Lock()
        self._known: dict[str, tuple[tuple[int, int], frozenset[Kind]]] = {}

    @property
    def can_be_written(self) -> bool:
        """Whether files can be saved in it."""
        return os.access(self.path, os.W_OK | os.X_OK)

    def listing(self) -> Listing:
        """Return what lies in it now."""
        found: dict[Kind, list[str]] = {kind: [] for kind in Kind}
        for entry in self._entries():
            if entry.is_dir():
                if (self.path / entry.name / PLAN).is_file():
                    found[Kind.PLAN].append(entry.name)
            elif entry.is_file():
                for kind in self._kinds_of(entry):
                    found[kind].append(entry.name)
        return Listing(
            **{kind.value: tuple(sorted(some, key=str.casefold)) for kind, some in found.items()}
        )

    def _entries(self) -> Iterator[os.DirEntry[str]]:
        with os.scandir(self.path) as entries:
            for entry in entries:
                if _MARK.fullmatch(entry.name) or not entry.name.isprintable():
                    continue
                if not entry.is_symlink() or self._is_inside(self.path / entry.name):
                    yield entry

    def _is_inside(self, path: Path) -> bool:
        try:
            return path.resolve().is_relative_to(self.path)
        except (OSError, RuntimeError):
            return False

    def _kinds_of(self, entry: os.DirEntry[str]) -> frozenset[Kind]:
        try:
            stated = entry.stat()
        except OSError:  # it was there a moment ago: a spreadsheet program saves by way of others
            return frozenset()
        now = (stated.st_mtime_ns, stated.st_size)
        before = self._known.get(entry.name)
        if before is None or before[0] != now:
            self._known[entry.name] = before = (now, kinds_of(Path(entry.path), stated.st_size))
        return before[1]

    def find(self, name: str) -> Path:
        """Return a file of the folder.

        Raises:
            OutsideError: The name leads out of the folder.
            MissingError: There is no such file.
        """
        path = self.path_of(name)
        if not path.is_file():
            raise MissingError(f"There is no file '{name}' in this folder any more.")
        return path

    def path_of(self, name: str) -> Path:
        """Return where a file of that name lies, or would lie.

        Raises:
            OutsideError: The name leads out of the folder, or is none that is shown.
        """
        return self._path_in(self.path, name)

    def _path_in(self, folder: Path, name: str) -> Path:
        parts = name.split("/")  # a class may name a pattern in a folder of this folder
        plain = name.isprintable() and not {"\\", ":"} & set(name) and len(name) <= 200
        if not plain or any(not part or _MARK.fullmatch(part) for part in parts):
            raise OutsideError("Only files that lie in this folder are opened.")
        path = folder / name
        if not self._is_inside(path):
            raise OutsideError(f"'{name}' leads out of this folder, so it is not opened.")
        return path

    def find_plan(self, name: str) -> tuple[Path, frozenset[str]]:
        """Return a plan's folder and the names of the files that were written with it.

        Raises:
            OutsideError: The name leads out of the folder.
            MissingError: There is no plan of that name, or its plan.json was changed.
        """
        path = self.path_of(name)
        try:
            is_own = not (path / PLAN).is_symlink()
            files = files_of(json.loads((path / PLAN).read_bytes())) if is_own else None
        except (OSError, ValueError, RecursionError):
            files = None
        if files is None:
            raise MissingError(f"There is no plan '{name}' here as kitmaker wrote it.")
        return path, files

    def find_page(self, plan: str, name: str) -> Path:
        """Return a file of a plan.

        Raises:
            OutsideError: It was not written with the plan, or leads out of its folder.
            MissingError: It is not there.
        """
        folder, files = self.find_plan(plan)
        path = self._path_in(folder, name)
        if name not in files or path.is_symlink():
            raise OutsideError("Only files that were written with this plan are opened.")
        if not path.is_file():
            raise MissingError(f"The plan '{plan}' has no file '{name}' any more.")
        return path

    def free_name(self, stem: str, ending: str) -> str:
        """Return a name that nothing in the folder has yet."""
        taken = {one.name.casefold() for one in self.path.iterdir()}
        number, name = 1, f"{stem}{ending}"
        while name.casefold() in taken:
            number += 1
            name = f"{stem}-{number}{ending}"
        return name


def kinds_of(path: Path, size: int) -> frozenset[Kind]:
    """Return what a file is, by its ending and the names of its sheets.

    What cannot be looked into may still be a pattern.
    """
    ending = path.suffix.lower()
    if ending in PAGE_ENDINGS:
        return frozenset({Kind.PAGE})
    if ending not in BOOK_ENDINGS:
        return frozenset()
    if ending == ".csv" or size > LARGEST_FILE:
        return frozenset({Kind.PATTERN})
    return _kinds_by_sheets(_sheet_names(path, ending))


def _sheet_names(path: Path, ending: str) -> list[str]:
    member, pattern = ("xl/workbook.xml", _XLSX_SHEET)
    if ending == ".ods":
        member, pattern = ("content.xml", _ODS_SHEET)
    try:
        with zipfile.ZipFile(path) as archive, archive.open(member) as stream:
            content = stream.read(8 * MEBIBYTE)
    except Exception:  # noqa: BLE001  # whatever a damaged zip comes to: it is said when it is opened
        return []
    found = (one.decode("utf-8", "replace") for one in pattern.findall(content))
    return [html.unescape(name) for name in found]


def _kinds_by_sheets(names: Collection[str]) -> frozenset[Kind]:
    there = {fold_sheet(name) for name in names}

    def has(*sheets: str) -> bool:
        return any(fold_sheet(sheet) in there for sheet in sheets)

    kinds = set()
    if has(*SHOP_SHEETS):
        kinds.add(Kind.SHOP)
    if has(*CLASS_SHEETS):
        kinds.add(Kind.CLASS)
    if not kinds and has("Cuts", "Stash") and not has("Pieces", "Pattern", "Fabrics"):
        kinds.add(Kind.LIST)
    if not kinds or has("Pieces", "Pattern"):
        kinds.add(Kind.PATTERN)
    return frozenset(kinds)
