"""How a plan's figures are said on paper: money, sizes, counts, and how sure they are.

Everything here goes from values to words. Needs are rounded up and usable measures down,
so that nobody cuts too small or plans on cloth that is not there.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import ceil, floor

from kitmaker.cutting_jobs import Eased, NeededPiece, Yield
from kitmaker.forms import Form
from kitmaker.lengths import (
    CENTIMETER,
    Length,
    Unit,
    say_bolt_left,
    say_decimal,
    say_number,
    say_off_the_bolt,
    say_size,
    say_usable,
)
from kitmaker.pattern import Direction, Piece, PieceKind, Shape
from kitmaker.plans import FabricPlan
from kitmaker.shop import Bag, Shop

UNKNOWN = "not known"

_ISO_DATE = re.compile(r"\b(\d{4})-(\d\d)-(\d\d)(?: 00:00:00)?\b", re.ASCII)
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

_DROPPED_CATEGORIES = frozenset({"Cc", "Cf", "Cs", "Cn"})
_KEPT_CONTROLS = frozenset("\n\t\u200c\u200d")


def printable(text: str) -> str:
    """Return a text without characters that no paper shows.

    Control characters, lone surrogates and marks that turn the reading direction come
    from damaged or hostile workbooks; they would break a page or make it lie.
    """
    return "".join(
        char
        for char in text
        if char in _KEPT_CONTROLS or unicodedata.category(char) not in _DROPPED_CATEGORIES
    )


def say_money(amount: Decimal | None, currency: str) -> str:
    """Say an amount with the shop's sign before it: ``$12.50``; unknown is said so."""
    if amount is None:
        return UNKNOWN
    cents = amount.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
    gap = " " if currency and currency[-1].isalpha() else ""
    sign = "−" if cents < 0 else ""
    return f"{sign}{currency}{gap}{abs(cents):,}"


def say_date(text: str) -> str:
    """Say each date such as ``2027-03-13`` as ``March 13, 2027``; other words stay as typed."""
    return _ISO_DATE.sub(_say_day, text)


def _say_day(found: re.Match[str]) -> str:
    year, month, day = map(int, found.groups())
    if not (1 <= month <= 12 and 1 <= day <= 31):
        return found[0]
    return f"{_MONTHS[month - 1]} {day}, {year}"


def say_minutes(minutes: Fraction) -> str:
    """Say an estimate of time, rounded up: ``about 25 min``, ``about 1 h 20 min``."""
    return f"about {say_time(minutes)}"


def say_time(minutes: Fraction) -> str:
    """Say a time, rounded up to minutes: ``25 min``, ``1 h 20 min``."""
    whole = ceil(minutes)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{whole} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def say_left_over(share: Fraction) -> str:
    """Say what share of the cloth becomes no piece: ``8 % left over``, ``nothing left over``."""
    return f"{say_share(share)} left over" if share else "nothing left over"


def say_share(share: Fraction) -> str:
    """Say a share of the whole: ``8 %``, ``under 1 %``."""
    return f"{round(100 * share)} %" if not share or round(100 * share) else "under 1 %"


def count_of(count: int, one: str, several: str = "") -> str:
    """Say a number of things: ``1 kit``, ``12 kits``."""
    return f"{count} {one if count == 1 else several or one + 's'}"


def say_times(count: int) -> str:
    """Say how often: ``once``, ``7 times``."""
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def say_kits(kits: int, spare: int) -> str:
    """Say how many kits: ``12 kits and 1 spare``."""
    return f"{count_of(kits, 'kit')} and {spare} spare" if spare else count_of(kits, "kit")


def joined(gap: str, *parts: str | None) -> str:
    """Join those of some parts that say something, a gap between them."""
    return gap.join(part for part in parts if part)


def join_words(words: Iterable[str]) -> str:
    """Join words as a sentence does: ``a, b and c``."""
    words = list(words)
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def say_stock(sku: str, print_name: str) -> str:
    """Say what a fabric is in the stock, its number and its print; "" where neither is known."""
    return joined(" ", sku, print_name)


def say_cut(across: Length, along: Length, unit: Unit) -> str:
    """Say the cut size of a piece, across × along: ``2½ × 4½ in``."""
    return f"{say_size(across, unit)} × {say_size(along, unit)} {unit.value}"


def say_usable_area(across: Length, along: Length | None, unit: Unit) -> str:
    """Say the usable size that is planned for: ``20 × 16 in``, off the bolt ``40 in wide``."""
    if along is None:
        return f"{say_usable(across, unit)} {unit.value} wide"
    return f"{say_usable(across, unit)} × {say_usable(along, unit)} {unit.value}"


def say_usable_of(form: Form, unit: Unit) -> str:
    """Say the usable size of a form; of a mix that of each: ``fat quarter 20 × 16 in; ...``."""
    if form.by_length:
        return f"{say_usable(form.usable_across, unit)} {unit.value} usable width"
    return f"{_say_usable_each(form, unit)} usable"


def say_at_least(found: Yield, form: Form, unit: Unit) -> str:
    """Say what cloth bagged uncut must measure, across × along; of a mix each form.

    ``20 × 16 in``; off the bolt ``41 × 22½ in``.
    """
    if form.by_length:
        return say_usable_area(form.usable_across, found.buy_length, unit)
    return _say_usable_each(form, unit)


def _say_usable_each(form: Form, unit: Unit) -> str:
    if not form.mix:
        return say_usable_area(form.usable_across, form.usable_along, unit)
    return "; ".join(
        f"{part.name} {say_usable_area(part.usable_across, part.usable_along, unit)}"
        for part in form.mix
    )


def say_piece_size(needed: NeededPiece, unit: Unit) -> str:
    """Say what is set on the ruler for a piece, a whole strip and a joined length alike."""
    piece = needed.piece
    if piece.kind is PieceKind.STRIP:
        return f"{say_size(piece.width, unit)} {unit.value} × width of fabric"
    if piece.kind is PieceKind.JOINED and piece.length is not None:
        wide, total = say_size(piece.width, unit), say_size(piece.length, unit)
        return f"{wide} {unit.value} wide strips, joined to {total} {unit.value}"
    return say_cut(needed.across, needed.along, unit)


_LATER: Mapping[Shape, str] = {
    Shape.CUT_ONCE: "cut once on the diagonal",
    Shape.CUT_TWICE: "cut twice on the diagonal",
    Shape.FOR_EIGHT: "for eight half-square triangles at a time",
    Shape.FOR_FOUR_GEESE: "for four flying geese at a time",
    Shape.FLIPPED_CORNER: "flip over a corner",
    Shape.HALF_LEFT: "cut once on the diagonal into left half-rectangle triangles",
    Shape.HALF_RIGHT: "cut once on the diagonal into right half-rectangle triangles",
    Shape.TRIANGLES_60: "cut into 60° triangles",
    Shape.DIAMONDS_45: "cut into 45° diamonds",
    Shape.DIAMONDS_60: "cut into 60° diamonds",
    Shape.HEXAGONS: "cut into hexagons",
}


def say_later(shape: Shape) -> str:
    """Say what becomes of a piece after it is cut: ``cut once on the diagonal``; ""."""
    return _LATER.get(shape, "")


def say_each_print(piece: Piece, count: int) -> str:
    """Say how many of some pieces come from each print: ``8 of each of 12 prints``; ""."""
    return say_of_each(count, piece.from_each or 1)


def say_of_each(count: int, prints: int) -> str:
    """Say how many of each print some pieces or forms are; "" for one print."""
    if prints < 2 or count % prints:
        return ""
    return f"{count // prints} of each of {prints} prints"


def say_sewn(piece: Piece, count: int, unit: Unit) -> str:
    """Say what is sewn of so many parts of a piece; "" where it is cut in one.

    ``sew 2 of 2½ × 19½ end to end, 38 times: 38 of 2½ × 38½ in``.
    """
    sewn = piece.sewn
    if sewn is None:
        return ""
    lies_across = piece.length is not None and piece.width == sewn.part_length
    wide = piece.length if lies_across and piece.length is not None else piece.width
    times = count // sewn.parts
    part = f"{say_size(wide, unit)} × {say_size(sewn.part_length, unit)}"
    how = f"sew {sewn.parts} of {part} end to end{' at 45°' if sewn.at_45 else ''}"
    how += f", {times} times" if times > 1 else ""
    if piece.is_one_way:
        how += ", matching the print"
    gives = sewn.parts * sewn.part_length - sewn.seams * sewn.loss
    whole = f"{say_size(sewn.needed, unit)} {unit.value}"
    if sewn.is_run:
        each = "one length" if times == 1 else "each"
        return f"{how}: {each} at least {whole} long"
    text = f"{how}: {times} of {say_size(wide, unit)} × {whole}"
    return text if gives == sewn.needed else f"{text}, trimmed"


def say_cross_cut(piece: Piece, unit: Unit) -> str:
    """Say what is cut across the set that strips are sewn into; "" where that is not known."""
    if piece.cross_cut is None:
        return ""
    return f"for a strip set, cross-cut at {say_size(piece.cross_cut, unit)} {unit.value}"


def say_piece_notes(piece: Piece) -> str:
    """Say what a cutter must know of a piece besides its size; "" when nothing."""
    parts: list[str] = []
    later = say_later(piece.shape)
    if later and later not in piece.notes:
        parts.append(later if later.startswith("for ") else f"for later: {later}")
    if piece.is_one_way:
        parts.append("one-way print: do not turn")
    if piece.direction is Direction.LENGTHWISE:
        parts.append("long side along the selvage")
    if piece.notes:
        parts.append(piece.notes)
    return "; ".join(parts)


def say_proof(found: Yield, form: Form, unit: Unit) -> str:
    """Say in plain words whether less would do."""
    if found.estimated:
        return "the pattern's own amount"
    if form.by_length:
        if found.proven:
            return "the shortest that can be bought"
        if found.length_lower_bound is not None:
            least = say_bolt_left(found.length_lower_bound, unit)
            return f"may not be the shortest; at least {least} is needed"
        return "may not be the shortest"
    if form.mix:
        if not found.proven:
            return "a cheaper mix might do"
        return "no mix takes less cloth" if found.cost is None else "no mix is cheaper"
    return "fewest possible" if found.proven else f"fewer than {found.lower_bound} is impossible"


def say_one_fewer(found: Yield, form: Form, unit: Unit) -> str:
    """Say at which measured size one form fewer would do; "" when that is not known."""
    if found.one_fewer_at is None or form.by_length or found.count <= found.prints:
        return ""
    return (
        f"{found.count - found.prints} would do if all measure {say_cut(*found.one_fewer_at, unit)}"
    )


def say_sureness(found: Yield, form: Form, unit: Unit) -> str:
    """Say whether less would do, and at which measured size one form fewer would."""
    fewer = say_one_fewer(found, form, unit)
    return joined("; ", say_proof(found, form, unit), fewer)


def say_table_pull(fabrics: Sequence[FabricPlan]) -> str:
    """Say what to pull for fabrics that lie on one table, and how many of each print."""
    first = fabrics[0]
    total, form = first.total, first.form
    if first.bag is Bag.PIECES or len(fabrics) == 1:
        job = first.job
        each = "" if job is None or form.by_length else say_of_each(total.count, job.prints)
        return f"{total.buy}: {each}" if each else total.buy
    if not form.by_length and not form.mix:
        return form.count_phrase(sum(fabric.total.count for fabric in fabrics))
    return " and ".join(fabric.total.buy for fabric in fabrics)


def say_eased(eased: Eased, unit: Unit, shop: Shop) -> str:
    """Say what was spent on easier cutting: ``¼ yd more, $3.00, saves about 61 min``."""
    cloth, labor = (
        f"{say_money(rate, shop.currency)} {'a' if name == 'cloth' else 'an'} {per}"
        f"{', assumed' if name in eased.defaults else ''}"
        for name, rate, per in (
            ("cloth", eased.cloth_cost, "yard" if shop.unit is Unit.INCH else "meter"),
            ("labor", eased.labor_per_hour, "hour"),
        )
    )
    bolts = Fraction(eased.more / shop.unit.bolt_length)
    cost = eased.cloth_cost * bolts.numerator / bolts.denominator
    paid = say_money(cost, shop.currency)
    return (
        f"{say_off_the_bolt(eased.more, unit)} more than the shortest, {paid}, saves "
        f"{say_minutes(eased.minutes_less)} (fabric at {cloth}; work at {labor})"
    )


def say_metric(length: Length) -> str:
    """Say an inch measure in centimeters without overstating it: ``45 cm``, ``1.25 m``.

    Two digits below a meter and three above, as 16 CFR 500.19 shows them; rounded down,
    so that a label never promises more than is in the bag.
    """
    centimeters = length / CENTIMETER
    if centimeters < 10:
        return f"{say_decimal(Fraction(floor(centimeters * 10), 10), 1)} cm"
    if centimeters < 100:
        return f"{floor(centimeters)} cm"
    return f"{say_decimal(Fraction(floor(centimeters), 100), 2)} m"


def say_net(found: Yield, form: Form, unit: Unit) -> str:
    """Say an amount of a form or of a mix, with its measures in both systems."""
    return " + ".join(
        say_net_form(part, count, found.buy_length, unit) for part, count in found.forms_of(form)
    )


def say_total(fabric: FabricPlan) -> str:
    """Say what all kits take of a fabric; where it is cut with others, that it is their sum."""
    others = [
        joined(" ", role if role != fabric.role else "", colorway and f"colorway {colorway}")
        for role, colorway in fabric.cut_with
        if (role, colorway) != (fabric.role, fabric.colorway)
    ]
    if fabric.bag is Bag.UNCUT or not any(others):
        return fabric.total.buy
    return f"{fabric.total.buy}, {join_words(others)} included"


def say_net_form(form: Form, count: int, length: Length | None, unit: Unit) -> str:
    """Say what of one fabric is in a bag, in inch-pound and metric measures, the unit's first.

    ``length`` is the continuous length in inches, for fabric sold by length.
    """
    across, along = form.stated_size
    if length is not None and form.by_length:
        inch = f"{say_off_the_bolt(length, Unit.INCH)} × {say_number(form.usable_across)} in"
        metric = f"{say_metric(length)} × {say_metric(form.usable_across)}"
        first, second = (inch, metric) if unit is Unit.INCH else (metric, inch)
        return f"{first} ({second})"
    if along is None:
        return form.count_phrase(count)
    inch = f"{say_usable(across, Unit.INCH)} × {say_usable(along, Unit.INCH)} in"
    metric = f"{say_metric(across)} × {say_metric(along)}"
    first, second = (inch, metric) if unit is Unit.INCH else (metric, inch)
    return f"{form.count_phrase(count, sized=False)}, {first} ({second})"
