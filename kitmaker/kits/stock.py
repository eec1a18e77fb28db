"""The pull list: what to take from the shelf for one SKU, what is short, which dye lots mix."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from kitmaker.errors import Problem, Problems
from kitmaker.forms import Form
from kitmaker.kits.drawing import Needed, Taken, draw
from kitmaker.kits.pieces_named import name_rows, say_flaws
from kitmaker.kits.shelf import is_limited, piles_of, rows_of
from kitmaker.lengths import Unit, round_need_up, say_off_the_bolt
from kitmaker.plans import PullLine, StockPiece
from kitmaker.shop import Shop, StockRow


def pull_line(needed: Needed, shop: Shop, unit: Unit) -> PullLine:
    """Return what to take from the shelf for one SKU, and what is short.

    Lengths are said in the shop's own unit, where it has a workbook, else in the pattern's.
    """
    unit = shop.unit_beside(unit)
    rows = rows_of(shop, needed.sku)
    taken = draw(needed, shop)
    forms = tuple(needed.forms.values())
    said = [_say_forms(form, count, taken, unit) for form, count in forms]
    if taken.length > taken.cut_for_forms:
        off_the_bolt = round_need_up(taken.length - taken.cut_for_forms, shop.bolt_step(unit))
        said.insert(0, say_off_the_bolt(off_the_bolt, unit))
    at_hand = None
    forms_at_hand = None
    if is_limited(needed.sku, shop):
        at_hand = sum((row.free_length for row in rows if row.form is None), Fraction(0))
        forms_at_hand = tuple(
            sum(row.free_count for row in piles_of(form, needed.sku, shop)) for form, _ in forms
        )
    return PullLine(
        sku=needed.sku,
        print_name=next((row.print_name for row in rows if row.print_name), ""),
        roles=", ".join(dict.fromkeys(needed.roles)),
        forms=forms,
        length=taken.length,
        buy=" + ".join(said) or "0",
        at_hand=at_hand,
        forms_at_hand=forms_at_hand,
        pieces=tuple(_named(taken, rows, unit)),
        short=_say_short_of(taken, unit, is_listed=bool(rows)),
        cut_forms=taken.cut_forms,
        surplus=taken.surplus,
        mixed_lots=taken.mixed_lots,
        missing=taken.missing,
        flaws=tuple(say_flaws([row for row, _ in taken.rows], unit)),
    )


def _named(taken: Taken, rows: Sequence[StockRow], unit: Unit) -> Iterator[StockPiece]:
    """Yield the pieces taken with names that tell them apart."""
    named = list(zip(rows, name_rows(rows, unit), strict=True))
    for (row, _), piece in zip(taken.rows, taken.pieces, strict=True):
        at = next(at for at, (one, _) in enumerate(named) if one == row)
        yield replace(piece, name=named.pop(at)[1])


def _say_forms(form: Form, count: int, taken: Taken, unit: Unit) -> str:
    """Say how many of a form are pulled: in bundles from the pile, or off how much of a bolt."""
    cut = {one.form_id: n for one, n in taken.cut_forms}.get(form.form_id, 0)
    notes = [form.bundle_phrase(count - cut)]
    if cut:
        ways = [into for piece in taken.pieces for into in piece.cut_into if into[0] == form]
        inches = sum((form.nominal_along or Fraction(0)) * cuts for _, cuts, _ in ways)
        whole = taken.cut_for_forms if len(taken.cut_forms) == 1 else Fraction(inches)
        notes.append(f"{cut} cut from {say_off_the_bolt(whole, unit)}")
        over = [n for one, n in taken.surplus if one == form]
        notes += [f"{form.count_phrase(n)} extra for the shelf" for n in over]
    told = ", ".join(note for note in notes if note)
    return form.count_phrase(count) + (f" ({told})" if told else "")


def _say_short_of(taken: Taken, unit: Unit, *, is_listed: bool) -> str:
    short = say_short(taken, unit)
    return short if is_listed or not short else f"{short}: the Stock sheet has no such SKU"


def say_short(taken: Taken, unit: Unit) -> str:
    """Say what is missing: ``short by 1⅜ yd and 4 fat quarters``; "" when nothing is.

    Where it is not sure that less will not do, it says ``short by at most``.
    """
    missing = []
    for form, count in taken.missing_forms:
        bundles = "" if taken.has_lengths else form.bundle_phrase(count, whole_only=True)
        left = dict(taken.no_bag).get(form, 0)
        fills = f"the {left} left fill{'s' if left == 1 else ''} no bag" if left else ""
        notes = "; ".join(note for note in (bundles, fills) if note)
        missing.append(f"{form.count_phrase(count)}{f' ({notes})' if notes else ''}")
    if taken.missing_length:
        missing.insert(0, say_off_the_bolt(taken.missing_length, unit))
    if taken.unmatched:
        kits = f"{taken.unmatched} kit{'s' if taken.unmatched > 1 else ''}"
        return f"short of cloth of one dye lot for {kits}"
    most = "" if taken.exact else "at most "
    return f"short by {most}{' and '.join(missing)}" if missing else ""


def warn_of_mixed_lots(pull: Sequence[PullLine]) -> list[Problem]:
    """Warn where pieces that the shop cuts for all kits come from several dye lots."""
    said = Problems()
    for line in pull:
        if line.mixed_lots:
            lots = " and ".join(
                f"lot {lot}" if lot else "cloth without a lot" for lot in line.mixed_lots
            )
            message = (
                f"SKU {line.sku} ({line.roles}) is cut from {lots}: no single dye lot is enough"
            )
            advice = "Keep the cut pieces of each lot apart, and fill each bag from one of them."
            said.warn(message, None, advice)
    return said
