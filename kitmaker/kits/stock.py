"""The pull list: what to take from the shelf for one SKU, what is short, which dye lots mix."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from kitmaker.errors import Problem, warning
from kitmaker.forms import Form
from kitmaker.kits.drawing import Needed, Taken, draw
from kitmaker.kits.shelf import is_limited, piles_of, rows_of
from kitmaker.lengths import Unit, round_need_up, say_off_the_bolt
from kitmaker.plan import PullLine
from kitmaker.shop import Shop


def pull_line(needed: Needed, shop: Shop, unit: Unit) -> PullLine:
    """Return what to take from the shelf for one SKU, and what is short.

    Args:
        needed: What all kits take of it.
        shop: With its stock.
        unit: The pattern's; lengths are said in the shop's own, where it has a workbook.
    """
    unit = shop.unit_beside(unit)
    rows = rows_of(shop, needed.sku)
    taken = draw(needed, shop)
    forms = tuple(needed.forms.values())
    cut = {form.form_id for form, _ in taken.cut_forms}  # those do not come in bundles
    said = [
        form.count_phrase(count)
        if form.form_id in cut
        else _in_bundles(form, count, form.bundle_phrase(count))
        for form, count in forms
    ]
    if taken.cut_for_forms:
        from_bolt = sum(count for _, count in taken.cut_forms)
        said[-1] += f" ({from_bolt} cut from {say_off_the_bolt(taken.cut_for_forms, unit)}"
        over = [f"{form.count_phrase(count)} extra for the shelf" for form, count in taken.surplus]
        said[-1] += "".join(f", {words}" for words in over) + ")"
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
        pieces=taken.pieces,
        short=_say_short_of(taken, unit, is_listed=bool(rows)),
        cut_forms=taken.cut_forms,
        surplus=taken.surplus,
        mixed_lots=taken.mixed_lots,
    )


def _in_bundles(form: Form, count: int, bundles: str) -> str:
    said = form.count_phrase(count)
    return f"{said} ({bundles})" if bundles else said


def _say_short_of(taken: Taken, unit: Unit, *, is_listed: bool) -> str:
    short = say_short(taken, unit)
    return short if is_listed or not short else f"{short}: the Stock sheet has no such SKU"


def say_short(taken: Taken, unit: Unit) -> str:
    """Say what is missing: ``short by 1⅜ yd and 4 fat quarters``; "" when nothing is.

    Where it is not sure that less will not do, it says ``short by at most``.
    """
    missing = [
        _in_bundles(form, count, form.bundle_phrase(count, whole_only=True))
        for form, count in taken.missing_forms
    ]
    if taken.missing_length:
        missing.insert(0, say_off_the_bolt(taken.missing_length, unit))
    if taken.unmatched:
        return f"short of cloth of one dye lot for {_kits(taken.unmatched)}"
    most = "" if taken.exact else "at most "
    return f"short by {most}{' and '.join(missing)}" if missing else ""


def _kits(count: int) -> str:
    return f"{count} kit{'s' if count > 1 else ''}"


def warn_of_mixed_lots(pull: Sequence[PullLine]) -> list[Problem]:
    """Warn where pieces that the shop cuts for all kits come from several dye lots."""
    said: list[Problem] = []
    for line in pull:
        if line.mixed_lots:
            lots = " and ".join(
                f"lot {lot}" if lot else "cloth without a lot" for lot in line.mixed_lots
            )
            message = (
                f"SKU {line.sku} ({line.roles}) is cut from {lots}: no single dye lot is enough"
            )
            advice = "Keep the cut pieces of each lot apart, and fill each bag from one of them."
            said.append(warning(message, None, advice))
    return said
