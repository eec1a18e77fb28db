"""From what was read and what was asked for to a finished plan: the whole way, without files."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Hashable, Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TypeAlias

from kitmaker import __version__
from kitmaker.errors import CannotBeMetError, KitmakerError, Level, Problem, error
from kitmaker.kits.cheapest import take_cheapest
from kitmaker.kits.choices import Options, Resolved, resolve
from kitmaker.kits.finished import cloth_of_finished, leave_out_done
from kitmaker.kits.kit import plan_kits, prices_of, pull_of, solve_ahead
from kitmaker.kits.measured import lay_out_measured, say_changes
from kitmaker.kits.most import plan_most
from kitmaker.kits.preferred import take_preferred
from kitmaker.kits.solved import known
from kitmaker.kits.stock import warn_of_mixed_lots
from kitmaker.paper.labels import check_start_label, find_label_sheet
from kitmaker.paper.sheets.saying import join_words
from kitmaker.pattern import PatternReading
from kitmaker.plans import Choice, KitPlan, LabelChoice, PullLine
from kitmaker.shop import (
    AnyReading,
    ClassReading,
    ClassSheet,
    Ease,
    MeasuredReading,
    Shop,
    ShopReading,
    figures_of,
    stop_on_errors,
)

Progress: TypeAlias = Callable[[str], None]


def make_plan(
    pattern: PatternReading,
    shop: ShopReading | None,
    class_sheet: ClassReading | None,
    measured: MeasuredReading | None,
    options: Options,
    *,
    leave_out_unread: bool = False,
    progress: Progress = lambda _: None,
) -> KitPlan:
    """Plan a class's kits, as :func:`kitmaker.api.plan` says; None stands for what there is not."""
    stop_on_errors(shop, class_sheet, measured)
    unread = _unread(pattern)
    if unread and not leave_out_unread:
        raise CannotBeMetError([*pattern.problems, _unread_hint(len(unread))])
    figures = figures_of(shop)
    sheet = ClassSheet() if class_sheet is None else class_sheet.class_sheet
    chosen = resolve(pattern.pattern, figures, sheet, options)
    if any(fabric.cheapest for fabric in chosen.fabrics):
        chosen = take_cheapest(pattern.pattern, figures, chosen, progress)
    chosen = take_preferred(pattern.pattern, figures, chosen)
    if options.shortest:
        figures = replace(figures, ease=Ease(share=Fraction(0)))
        ease = Choice(
            label="Ease", value="the shortest lengths", source=options.source("--shortest")
        )
        chosen = replace(chosen, choices=(*chosen.choices, ease))
    changes: tuple[Problem, ...] = ()
    if measured is not None and measured.pieces:
        source = options.source("--measured")
        prices = prices_of(pattern.pattern, figures, sheet, chosen, progress)
        chosen, figures, changes = _from_measured(pattern, figures, measured, chosen, source)
        chosen = replace(chosen, class_prices=prices)
    if options.most_kits:
        chosen = plan_most(pattern.pattern, figures, chosen, progress)
    _check_labels(figures, chosen.bag_labels, chosen.piece_labels)
    readings = [
        reading for reading in (pattern, shop, class_sheet, measured) if reading is not None
    ]
    found = [problem for reading in readings for problem in reading.problems]
    made = plan_kits(
        pattern.pattern,
        figures,
        sheet,
        chosen,
        number=number_of(readings, (options, leave_out_unread, pattern.pattern.size)),
        not_complete=tuple(str(problem) for problem in unread),
        problems=(*_as_left_out(found), *changes),
        progress=progress,
    )
    problems = (*made.problems, *warn_of_mixed_lots(made.pull))
    colorways = sum(1 for colorway in made.colorways if colorway.kits)
    if len(made.fabrics) < len(chosen.fabrics) * colorways:
        raise CannotBeMetError(problems)
    return replace(made, problems=problems, reading=pattern)


def pull_for_class(
    pattern: PatternReading, shop: Shop, class_sheet: ClassSheet, progress: Progress
) -> tuple[Resolved, tuple[PullLine, ...], tuple[Problem, ...]]:
    """Return a class's choices, what its plan takes from the shelf, and what there is to say.

    Nothing is cut and nothing priced: it is the pull list of :func:`make_plan`, sooner.

    Raises:
        CannotBeMetError: Lines are unread, or a fabric's pieces do not fit its form.
        UsageError: Choices contradict each other.
    """
    if unread := _unread(pattern):
        raise CannotBeMetError([*pattern.problems, _unread_hint(len(unread))])
    chosen = resolve(pattern.pattern, shop, class_sheet, Options())
    pull, said = pull_of(pattern.pattern, shop, chosen, progress)
    return chosen, pull, (*pattern.problems, *said)


@dataclass(frozen=True, slots=True)
class SolveAhead:
    """Solves a class's cutting problems; it can be sent to another process."""

    shop: Shop  # its figures, and the shelf

    def __call__(self, one: tuple[PatternReading, ClassSheet]) -> dict[Hashable, object]:
        """Return the problems that were not solved before, with their answers."""
        (pattern, sheet), before = one, known()
        with suppress(KitmakerError):  # said where the class is planned
            if not _unread(pattern):
                chosen = resolve(pattern.pattern, self.shop, sheet, Options())
                solve_ahead(pattern.pattern, self.shop, chosen)
        return {problem: answer for problem, answer in known().items() if problem not in before}


def _unread(pattern: PatternReading) -> list[Problem]:
    return [problem for problem in pattern.problems if problem.is_error]


def _from_measured(
    pattern: PatternReading,
    shop: Shop,
    measured: MeasuredReading,
    chosen: Resolved,
    source: str,
) -> tuple[Resolved, Shop, tuple[Problem, ...]]:
    """Return choices and stock after the measuring, and what it changes."""
    of, pieces = pattern.pattern, measured.pieces
    left = leave_out_done(pieces, chosen)
    used = cloth_of_finished(of, shop, chosen, left)
    laid_out = lay_out_measured(pieces, of, shop, left, used)
    changes = say_changes(pieces, of, shop, laid_out, left)
    skus = join_words(list(dict.fromkeys(piece.sku for piece in pieces)))
    choice = Choice(label="Measured cloth", value=skus, source=source)
    return replace(left, choices=(*left.choices, choice)), laid_out, tuple(changes)


def _unread_hint(count: int) -> Problem:
    lines = "1 line is" if count == 1 else f"{count} lines are"
    return error(
        f"{lines} not read, so there is no plan",
        None,
        "Correct the cells named above; or add --leave-out-unread to plan without them (every "
        "sheet will say so).",
    )


def _as_left_out(problems: Iterable[Problem]) -> list[Problem]:
    """Lines left out on request are told as warnings."""
    return [
        replace(problem, level=Level.WARNING, message=f"left out: {problem.message}")
        if problem.is_error
        else problem
        for problem in problems
    ]


def _check_labels(shop: Shop, *choices: LabelChoice) -> None:
    for choice in choices:
        check_start_label(choice.start, find_label_sheet(choice.sheet_id, shop))


def number_of(
    readings: Iterable[PatternReading | AnyReading],
    choices: object,
) -> str:
    """Return the plan number: six characters that stand for these inputs and choices.

    The same files and the same choices give the same number on every machine; neither the
    time nor the folders go into it. What was read from no file counts by its value, and the
    pictures of fabrics, which lie in files beside the shop's workbook, count by theirs.
    """
    readings = tuple(readings)
    digest = hashlib.sha256(__version__.encode())
    digests = (
        reading.digest or hashlib.sha256(repr(reading).encode()).hexdigest() for reading in readings
    )
    for known_digest in dict.fromkeys(digests):
        digest.update(bytes.fromhex(known_digest))
    for reading in readings:
        if isinstance(reading, ShopReading):
            for swatch in reading.shop.swatches:
                digest.update(hashlib.sha256(swatch.picture).digest() if swatch.picture else b"")
    digest.update(repr(choices).encode())
    return digest.hexdigest()[:6].upper()
