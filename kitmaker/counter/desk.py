"""What the views share: the folder, the guard, the runs, what was read, and how a page is made."""

from __future__ import annotations

import re
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from kitmaker import api, files
from kitmaker.choosing import FabricOptions
from kitmaker.counter.folder import Folder, Listing
from kitmaker.counter.guard import Guard
from kitmaker.counter.refusals import MissingError
from kitmaker.counter.runs import Runs
from kitmaker.errors import KitmakerError, Problem, UnreadableError
from kitmaker.paper.templating import make_environment
from kitmaker.pattern import PatternReading
from kitmaker.reading.workbook import read_workbook
from kitmaker.shop import ClassReading, ShopReading
from kitmaker.shopbooks.shopbook import holds_shop

T = TypeVar("T")
_KEPT = 64
"""How many readings are kept; each is made again when its file changes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """What every page of the counter has."""

    title: str  # of the page
    shop_name: str = ""  # stands on top; "" where the folder has no shop's workbook, or several
    folder: str = ""  # the folder's name
    notice: str = ""  # what was just done; ""
    problems: tuple[Problem, ...] = ()  # what must be looked at, errors first


@dataclass(frozen=True, slots=True)
class ShopChoice:
    """The shop's workbook that a page works with."""

    name: str  # its file; "" where there is none, or where it is to be asked which
    asked_of: tuple[str, ...]  # the workbooks among which the page has to ask
    reading: ShopReading | None  # what was read; None without one


class Desk:
    """One counter."""

    def __init__(self, folder: Folder, guard: Guard) -> None:
        """Open it over a folder."""
        self.folder, self.guard, self.runs = folder, guard, Runs()
        self.debug = False
        self._environment = make_environment()
        self._read: OrderedDict[Hashable, object] = OrderedDict()

    def render(self, template: str, head: Head | None, **shown: object) -> str:
        """Return a page of the counter; its template finds what is shown in ``page``."""
        page = {"head": head, **shown}
        return self._environment.get_template(f"counter/{template}.html.j2").render(page=page)

    def head(
        self,
        title: str,
        *,
        notice: str = "",
        problems: tuple[Problem, ...] = (),
        shop: ShopChoice | None = None,
    ) -> Head:
        """Return what a page begins with."""
        chosen = shop or self.shop_for()
        return Head(
            title=title,
            shop_name=chosen.reading.shop.name if chosen.reading is not None else "",
            folder=self.folder.path.name,
            notice=notice,
            problems=tuple(
                sorted(map(_without_options, problems), key=lambda one: not one.is_error)
            ),
        )

    @property
    def script_digest(self) -> object:
        """By what a plan's page may run the one script that kitmaker writes into it."""
        return self._environment.globals["script_digest"]

    # what was read

    def _kept(self, key: Hashable, read: Callable[[], T], kind: type[T]) -> T:
        """Return what was read before of the same bytes, else read it."""
        found = self._read.get(key)
        if not isinstance(found, kind):
            self._read[key] = found = read()
            while len(self._read) > _KEPT:
                self._read.popitem(last=False)
        return found

    def digest(self, path: Path) -> str:
        """Return the digest of a file of the folder.

        Raises:
            MissingError: It cannot be read.
        """
        try:
            return files.digest_of(path)
        except OSError as fault:
            raise MissingError(f"'{path.name}' could not be read: {fault.strerror}.") from None

    def read_shop(self, name: str) -> ShopReading:
        """Read a shop's workbook of the folder."""
        path = self.folder.find(name)
        key = ("shop", name, self.digest(path))
        return self._kept(key, lambda: api.read_shop(path), ShopReading)

    def read_class(self, name: str, shop: ShopReading | None) -> ClassReading:
        """Read a class's workbook of the folder."""
        path = self.folder.find(name)
        key = ("class", name, self.digest(path), shop and shop.digest)
        return self._kept(key, lambda: api.read_class(path, shop), ClassReading)

    def read_pattern(self, name: str, size: str | None, shop: ShopReading | None) -> PatternReading:
        """Read a pattern of the folder."""
        path = self.folder.find(name)
        key = ("pattern", name, self.digest(path), size, shop and shop.digest)
        return self._kept(key, lambda: api.read_pattern(path, size, shop), PatternReading)

    def forms_key(self, name: str, size: str | None, shop: ShopReading | None) -> Hashable:
        """Return by what the forms of a pattern are remembered: they change with its workbooks."""
        return ("forms", self.digest(self.folder.find(name)), size, shop and shop.digest)

    def forms_of(self, key: Hashable) -> tuple[FabricOptions, ...] | None:
        """Return each fabric in each form; None where it was not worked out yet."""
        found = self._read.get(key)
        return found if isinstance(found, tuple) else None

    def keep_forms(self, key: Hashable, options: tuple[FabricOptions, ...]) -> None:
        """Keep what was worked out."""
        self._read[key] = options

    # which shop

    def shop_to_name(self, shop: ShopChoice) -> str:
        """Return the shop's workbook where an address has to name it: of several; else ""."""
        return shop.name if len(self.folder.listing().shops) > 1 else ""

    def shop_for(
        self, asked: str = "", class_name: str = "", listing: Listing | None = None
    ) -> ShopChoice:
        """Return the shop's workbook that holds: the one asked for, the class's own, the only one.

        A class workbook may hold the shop's sheets as well.
        """
        if asked:
            return ShopChoice(asked, (), self.read_shop(asked))
        shops = (listing or self.folder.listing()).shops
        if class_name in shops and holds_shop(read_workbook(self.folder.find(class_name))):
            return ShopChoice(class_name, (), self.read_shop(class_name))
        if len(shops) != 1:
            return ShopChoice("", shops, None)
        try:
            return ShopChoice(shops[0], (), self.read_shop(shops[0]))
        except UnreadableError:
            return ShopChoice("", shops, None)


_BY_OPTION = re.compile(r"(?:[;,]? or |; otherwise )[^.;]*--[a-z][^.]*(?=\.)")


def _without_options(problem: Problem) -> Problem:
    """Return a problem without the way out that only a command's option is."""
    return replace(problem, suggestion=_BY_OPTION.sub("", problem.suggestion))


def sizes_of(fault: KitmakerError) -> tuple[str, ...]:
    """Return the sizes of a pattern that could not be read without one; empty for other faults."""
    return fault.problems[0].readings
