"""``reprint``: a plan's pages again, from ``plan.json`` alone; nothing is solved."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from kitmaker.commands.outputs import write_out
from kitmaker.errors import OutputError, UnreadableError, UsageError
from kitmaker.kits.choices import MOST_KITS, Options
from kitmaker.paper.folder import PLAN, files_in, safe_folder_name
from kitmaker.paper.labels import check_start_label, find_label_sheet
from kitmaker.paper.printed import Printed, print_plan
from kitmaker.paper.record import RecordError, read_reading, read_record
from kitmaker.paper.render import count_labels, find_label_problems
from kitmaker.paper.sheets.kit_numbers import number_kits, say_numbers
from kitmaker.paper.sheets.page import BAGGING, GUIDE, POSTER, SHEET
from kitmaker.paper.sheets.saying import count_of, join_words
from kitmaker.paper.stamp import files_of
from kitmaker.pattern import PatternReading
from kitmaker.plans import Choice, KitPlan, LabelChoice

PARTS: Mapping[str, tuple[str, ...]] = {
    "labels": ("Bag labels", "Piece labels"),
    "sheets": (SHEET, BAGGING),
    "posters": (POSTER,),
    "guide": (GUIDE,),
    "cards": ("Kit cards",),
    "lists": ("Pull list", "Packing list"),
    "class": ("Class sheet",),
}
"""What ``--only`` takes, and which kinds of page that is."""

_MOST_BYTES = 100_000_000


def read_plan(path: Path) -> tuple[KitPlan, PatternReading | None]:
    """Read a ``plan.json``: the plan, and what was read from its pattern.

    A file that does not match the digest it was written with is refused, so that a number
    changed by hand, or by a damaged disk, does not reach a cutting table.

    Raises:
        UnreadableError: It is missing, is not a plan, or was changed.
    """
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise _unreadable(path, "is too large to be a plan")
        data = json.loads(path.read_bytes())
    except OSError as fault:
        raise _unreadable(path, f"cannot be read: {fault.strerror or fault}") from None
    except (ValueError, RecursionError):
        raise _unreadable(path, "is not JSON, or is damaged") from None
    if not isinstance(data, dict) or data.get("schema") != 1 or "fabrics" not in data:
        raise _unreadable(path, "is not a kitmaker plan")
    if "record" not in data:
        raise _unreadable(path, "does not hold all that printing needs (no plan was made)")
    try:
        is_as_written = files_of(data) is not None
    except RecursionError:
        is_as_written = False
    if not is_as_written:
        raise _unreadable(path, "was changed after kitmaker wrote it")
    try:
        plan, reading = read_record(data["record"]), read_reading(data["record"])
        kits = (
            plan.all_kits,
            *((colorway.kits or 0) + colorway.done for colorway in plan.colorways),
        )
        if not all(0 <= count <= MOST_KITS for count in kits):
            raise RecordError("too many kits")
    except (RecordError, RecursionError, ArithmeticError, LookupError, ValueError) as fault:
        raise _unreadable(path, f"is damaged ({str(fault)[:80]})") from None
    return plan, reading


def _unreadable(path: Path, what: str) -> UnreadableError:
    return UnreadableError(
        f"'{path.name}' {what}.",
        "Give the plan.json of a folder that 'kitmaker plan' wrote, as it was written.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is to be printed again."""

    only: str | None = None  # one of :data:`PARTS`; None for all pages
    # numbers of the kits whose labels, packing list and guide are wanted; empty for all
    kits: tuple[int, ...] = ()
    # ("bag", "piece" or None for both, number of the one label wanted); None for all
    label: tuple[str | None, int] | None = None

    @property
    def part(self) -> str:
        """What a folder of it is called after."""
        by_kit = "label" if self.label is not None else "kits" if self.kits else "reprint"
        return self.only or by_kit


def make_reprint(
    path: Path,
    options: Options,
    wanted: Wanted,
    *,
    templates: Path | None = None,
) -> Printed:
    """Make a plan's pages again; nothing is written yet.

    Raises:
        UnreadableError: The file is no plan, or a template cannot be used.
        UsageError: A label sheet is not known, a first label is not on it, there is no such
            kit or label, or the pages asked for are not of single kits.
    """
    plan, reading = read_plan(path)
    try:
        return _make(replace(plan, reading=reading), options, wanted, templates)
    except (ArithmeticError, LookupError, ValueError, MemoryError) as fault:
        # a record of the right kinds whose values make no plan; of ours none is like that
        raise _unreadable(path, f"is damaged ({type(fault).__name__})") from None


def _make(plan: KitPlan, options: Options, wanted: Wanted, templates: Path | None) -> Printed:
    stale = set(find_label_problems(plan))
    kept = tuple(problem for problem in plan.problems if problem not in stale)
    plan = replace(
        plan,
        problems=kept,
        bag_labels=_labels("bag", plan.bag_labels, options, plan),
        piece_labels=_labels("piece", plan.piece_labels, options, plan),
    )
    plan = replace(plan, choices=_choices(plan, options))
    kinds = _kinds(wanted)
    printed = _of_one_label(_of_kits(plan, wanted.kits), wanted.label)
    if wanted.label is not None:
        choices = {"Bag labels": printed.bag_labels, "Piece labels": printed.piece_labels}
        kinds = tuple(kind for kind, choice in choices.items() if choice.only)
    return print_plan(plan, templates, kinds, printed)


_OF_KITS = ("Bag labels", "Piece labels", "Packing list", "Kit cards", GUIDE)
"""Pages that are of single kits; what is cut and pulled is for all of them."""


def _kinds(wanted: Wanted) -> tuple[str, ...] | None:
    """Return the kinds of page to print; None for all."""
    kinds = None if wanted.only is None else PARTS[wanted.only]
    if wanted.kits or wanted.label is not None:
        kinds = tuple(kind for kind in kinds or _OF_KITS if kind in _OF_KITS)
        if not kinds or (wanted.label is not None and wanted.only not in (None, "labels")):
            flag = "--label" if wanted.label is not None else "--kit"
            message = f"--only {wanted.only} and {flag} do not go together"
            raise UsageError(message, "Leave one of the two out.")
    return kinds


def _of_kits(plan: KitPlan, kits: Sequence[int]) -> KitPlan:
    """Return a plan that prints labels, list and guide of some kits only."""
    if not kits:
        return plan
    numbered = number_kits(plan)
    known = [number for _, numbers in numbered for number in numbers]
    unknown = [str(number) for number in kits if number not in known]
    if unknown:
        message = f"there is no kit {join_words(unknown)}"
        raise UsageError(message, f"The plan's kits are {say_numbers(known)}.")
    ways = {colorway.name for colorway, numbers in numbered if set(numbers) & set(kits)}
    fabrics = tuple(fabric for fabric in plan.fabrics if fabric.colorway in ways)
    return replace(plan, only_kits=tuple(sorted(set(kits))), fabrics=fabrics)


def _of_one_label(plan: KitPlan, label: tuple[str | None, int] | None) -> KitPlan:
    """Return a plan that prints one label only, of the kinds that have so many."""
    if label is None:
        return plan
    kind, number = label
    counts = count_labels(plan)
    asked = [f"{kind.capitalize()} labels"] if kind is not None else list(counts)
    having = [name for name in asked if number <= counts[name]]
    if not having:
        there = join_words([f"{counts[name]} {name.lower()}" for name in asked])
        message = f"--label: there is no label {number}"
        raise UsageError(message, f"There are {there}.")
    bags, pieces = ("Bag labels" in having, "Piece labels" in having)
    return replace(
        plan,
        bag_labels=replace(plan.bag_labels, only=number if bags else 0),
        piece_labels=replace(plan.piece_labels, only=number if pieces else 0),
    )


def _labels(which: str, kept: LabelChoice, options: Options, plan: KitPlan) -> LabelChoice:
    """Return the label sheet to use; on another sheet, printing starts at its first label."""
    sheet_id = _last(options.label_sheets, which)
    start = _last(options.label_starts, which)
    if sheet_id is not None:
        kept = LabelChoice(sheet_id=find_label_sheet(sheet_id, plan.shop).sheet_id, start=1)
    if start is not None:
        kept = replace(kept, start=start)
    check_start_label(kept.start, find_label_sheet(kept.sheet_id, plan.shop))
    return kept


def _last(given: Sequence[tuple[str | None, Any]], which: str) -> Any:
    """Return what was asked for last; what names the kind of label wins over what does not."""
    for kinds in ((which,), (None,)):
        found = [value for kind, value in given if kind in kinds]
        if found:
            return found[-1]
    return None


def _choices(plan: KitPlan, options: Options) -> tuple[Choice, ...]:
    """Return the settings used, with the label sheets asked for now."""
    if not options.label_sheets and not options.label_starts:
        return plan.choices
    now = {
        f"{which.capitalize()} labels": choice.sheet_id
        if choice.start == 1
        else f"{choice.sheet_id}, from label {choice.start}"
        for which, choice in (("bag", plan.bag_labels), ("piece", plan.piece_labels))
    }
    return tuple(
        replace(choice, value=now[choice.label], source="reprint")
        if choice.label in now and choice.value != now[choice.label]
        else choice
        for choice in plan.choices
    )


def write_reprint(
    made: Printed, out: Path | None, wanted: Wanted, *, replace: bool = False
) -> Path:
    """Write the pages into a folder of their own, whole or not at all.

    Without a folder it is one named after the plan and what is printed, here.

    Raises:
        OutputError: It could not be written, or it holds a file that was not made again.
    """
    name = safe_folder_name(made.plan.pattern.name, made.plan.number)
    folder = out or Path(f"{name}-{wanted.part}")
    lost = sorted(set(_names(folder)) - set(made.files))
    if lost and (folder / PLAN).exists():
        raise OutputError(
            f"'{folder.name}' holds {lost[0]}, which would be lost: it is not among what "
            "is printed now.",
            "Nothing was changed. Name another folder with --out.",
        )
    return write_out(folder, made.files, replace=replace)


def reprint_text(made: Printed, folder: Path) -> str:
    """Say what was printed again, and where; ``plan.json`` beside it does not count."""
    return f"{count_of(len(made.files) - 1, 'file')} again, plan {made.plan.number}, in {folder}"


def _names(folder: Path) -> list[str]:
    try:
        return [file.name for file in files_in(folder.resolve())]
    except OSError:
        return []
