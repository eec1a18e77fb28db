"""What is to be planned: options, class workbook and pattern brought to one set of choices.

An option wins over the class workbook, the class workbook over the pattern, the pattern
over the defaults. Where two of them state the number of kits and disagree, nothing is
planned: each is named.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from kitmaker.errors import Location, Problems, UsageError
from kitmaker.forms import Catalogue, Form, UnknownFormError
from kitmaker.kits.contradictions import check_colorways, check_roles
from kitmaker.kits.joins import Joins, joins_for
from kitmaker.pattern import Fabric, Pattern, Use
from kitmaker.plans import Choice, KitPrice, LabelChoice, LeftOut
from kitmaker.shop import Bag, ClassSheet, Colorway, FabricChoice, InKit, Shop, fold_role

T = TypeVar("T")

CHEAPEST = "cheapest"
"""What stands for a form where the shop's costs are to choose it."""
MOST_KITS = 100_000
"""More kits than this is a slip of the finger."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """What the command line (or a caller) asked for; None or empty where it did not.

    Attributes:
        kits: How many kits.
        most_kits: Whether as many kits are asked for as the stock gives; then ``kits`` is None.
        spare_kits: Kits on top.
        forms: (role or None for all, form name or ``cheapest``).
        bags: (role or None for all, bag).
        label_sheets: ("bag", "piece" or None for both, sheet name).
        label_starts: ("bag", "piece" or None for both, label number from 1).
        shortest: Whether no cloth is spent on easier cutting.
        prefer: Forms in order of preference, by name; what none of them holds is yardage.
        joins: (role or None for all) whose pieces may be sewn of shorter parts.
        most_seams: Seams in one rectangle at most.
        asked_by: Who asked, where it was not a command with options: "the caller"; "".
    """

    kits: int | None = None
    most_kits: bool = False
    spare_kits: int | None = None
    forms: tuple[tuple[str | None, str], ...] = ()
    bags: tuple[tuple[str | None, Bag], ...] = ()
    label_sheets: tuple[tuple[str | None, str], ...] = ()
    label_starts: tuple[tuple[str | None, int], ...] = ()
    shortest: bool = False
    prefer: tuple[str, ...] = ()
    joins: tuple[str | None, ...] = ()
    most_seams: int = 1
    asked_by: str = field(default="", repr=False)

    def source(self, option: str) -> str:
        """Say where a choice comes from: the option, or the caller."""
        return self.asked_by or option


@dataclass(frozen=True, slots=True)
class FabricInKit:
    """A fabric that is in the kit.

    Attributes:
        fabric: The fabric.
        form: In which it is taken.
        bag: How it is bagged.
        joins: What of it may be joined.
        cheapest: Whether the cheapest form is asked for; ``form`` only stands for it then.
        preferred: The forms of which the first that holds its pieces is taken, else yardage;
            ``form`` only stands for it then.
    """

    fabric: Fabric
    form: Form
    bag: Bag
    joins: Joins = field(default_factory=Joins)
    cheapest: bool = False
    preferred: tuple[Form, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Resolved:
    """Everything that was chosen.

    Attributes:
        kits: Without the spare ones.
        spare_kits: On top.
        colorways: With their kits, spare ones included in the first; one named "" when
            there are none.
        fabrics: In the kit.
        left_out: Not in the kit.
        choices: In words, with where each came from.
        bag_labels, piece_labels: Label sheets and where they start.
        most: Where as many kits are planned as the shelf gives: how many those are, spare
            ones included, and what runs out; else None.
        class_prices: What kits sell for, where the class goes on after a first plan.
    """

    kits: int
    spare_kits: int
    colorways: tuple[Colorway, ...]
    fabrics: tuple[FabricInKit, ...]
    left_out: tuple[LeftOut, ...]
    choices: tuple[Choice, ...]
    bag_labels: LabelChoice
    piece_labels: LabelChoice
    most: tuple[int, str] | None = None
    class_prices: tuple[KitPrice, ...] = ()


def resolve(pattern: Pattern, shop: Shop, class_sheet: ClassSheet, options: Options) -> Resolved:
    """Bring options, class workbook and pattern together.

    Raises:
        UsageError: They contradict each other or name what does not exist; every
            contradiction is in it.
    """
    problems = Problems()
    choices: list[Choice] = []
    kits = _kits(class_sheet, options, choices, problems)
    spare = _spare_kits(class_sheet, options, choices)
    if pattern.size:
        choices.append(Choice(label="Size", value=pattern.size, source="the pattern's sizes"))
    asked = [(options.source("--form"), role) for role, _ in options.forms]
    asked += [(options.source("--bag"), role) for role, _ in options.bags]
    asked += [(options.source("--join"), role) for role in options.joins]
    problems += check_roles(pattern, class_sheet, asked)
    preferred = _preferred(shop.catalogue, options, problems)
    fabrics: list[FabricInKit] = []
    left_out: list[LeftOut] = []
    for fabric in pattern.fabrics:
        row = _class_row(class_sheet, fabric.role)
        out = _left_out(fabric, row)
        if out is not None:
            left_out.append(out)
            continue
        form, form_source = _form(fabric, row, shop.catalogue, options, problems)
        bag, bag_source = _bag(fabric, row, options)
        if form is None:
            continue
        joins = joins_of(fabric, pattern, options)
        cheapest = bool(fabric.pieces) and _asks_for_cheapest(options, fabric.role)
        in_order = preferred if fabric.pieces and _prefers(options, fabric.role) else ()
        fabrics.append(FabricInKit(fabric, form, bag, joins, cheapest, in_order))
        value = f"{form.name}, {bag.value}"
        sources = dict.fromkeys((form_source, bag_source))
        choices.append(Choice(label=fabric.role, value=value, source=", ".join(sources)))
    if options.joins:
        roles = "all fabrics" if None in options.joins else "; ".join(filter(None, options.joins))
        source = options.source("--join")
        choices.append(Choice(label="Sewn of shorter parts", value=roles, source=source))
    bag_labels = _labels("bag", shop, options, choices)
    piece_labels = _labels("piece", shop, options, choices)
    colorways = _colorways(class_sheet, kits, spare)
    if class_sheet.colorways:
        problems += check_colorways(colorways, [one.fabric for one in fabrics], shop)
    if options.most_kits and shop.stock is None:
        problems.refuse(
            "--kits max counts from the stock, and there is no Stock sheet",
            None,
            "Give the shop's workbook with a Stock sheet (--shop), or a number of kits.",
        )
    if not fabrics and not problems:
        problems.refuse(
            "none of the pattern's fabrics is in the kit",
            None,
            "Set 'In kit' to yes for at least one fabric of the class.",
        )
    if problems:
        raise UsageError(problems)
    return Resolved(
        kits=kits,
        spare_kits=spare,
        colorways=colorways,
        fabrics=tuple(fabrics),
        left_out=tuple(left_out),
        choices=tuple(choices),
        bag_labels=bag_labels,
        piece_labels=piece_labels,
    )


def joins_of(fabric: Fabric, pattern: Pattern, options: Options) -> Joins:
    """Return what of a fabric may be sewn of shorter parts."""
    key = fold_role(fabric.role)
    is_asked = any(role is None or fold_role(role) == key for role in options.joins)
    return joins_for(fabric, pattern, is_asked=is_asked, most_seams=options.most_seams)


def _kits(
    class_sheet: ClassSheet, options: Options, choices: list[Choice], problems: Problems
) -> int:
    stated: list[tuple[int, str]] = []
    if options.kits is not None:
        stated.append((options.kits, options.source("--kits")))
    if class_sheet.kits is not None:
        place = class_sheet.kits_where or "the Class sheet"
        stated.append((class_sheet.kits, f"'Kits' ({place})"))
    shared = [colorway.kits for colorway in class_sheet.colorways]
    known = [kits for kits in shared if kits is not None]
    if shared and len(known) == len(shared):
        ways = " + ".join(f"{colorway.kits} {colorway.name}" for colorway in class_sheet.colorways)
        stated.append((sum(known), f"the sum of the colorways ({ways})"))
    if len({kits for kits, _ in stated}) > 1:
        text = "; ".join(f"{source} says {kits}" for kits, source in stated)
        problems.refuse(f"the numbers of kits do not agree: {text}", None, "Make them agree.")
    if not stated and options.most_kits:
        return max(1, len(class_sheet.colorways))
    if not stated:
        choices.append(Choice(label="Kits", value="1", source="default"))
        return 1
    # What a workbook says as well is the workbook's.
    kits, source = stated[1] if options.kits is not None and len(stated) > 1 else stated[0]
    if not 1 <= kits <= MOST_KITS:
        problems.refuse(f"{kits} kits cannot be planned", None, f"Ask for 1 to {MOST_KITS} kits.")
        return 1
    if not options.most_kits:
        choices.append(Choice(label="Kits", value=str(kits), source=source))
    return kits


def _spare_kits(class_sheet: ClassSheet, options: Options, choices: list[Choice]) -> int:
    spare, source = options.spare_kits, options.source("--spare-kits")
    if class_sheet.spare_kits is not None and spare in (None, class_sheet.spare_kits):
        spare, source = class_sheet.spare_kits, "the Class sheet"
    elif spare is None:
        spare, source = 0, "default"
    choices.append(Choice(label="Spare kits", value=str(spare), source=source))
    return spare


def _class_row(class_sheet: ClassSheet, role: str) -> FabricChoice | None:
    key = fold_role(role)
    return next((row for row in class_sheet.fabrics if fold_role(row.role) == key), None)


def _left_out(fabric: Fabric, row: FabricChoice | None) -> LeftOut | None:
    asked = row.in_kit if row is not None else None
    if fabric.use is Use.BATTING:
        return LeftOut(role=fabric.role, in_kit=InKit.NO, reason="batting is never in a kit")
    if asked in (InKit.NO, InKit.SOLD_APART):
        how = "sold separately" if asked is InKit.SOLD_APART else "left out"
        reason = f"{how}, as the class workbook says"
        return LeftOut(role=fabric.role, in_kit=asked, reason=reason)
    if fabric.use is Use.BACKING and asked is None:
        reason = "backing goes in only when the class workbook says so"
        return LeftOut(role=fabric.role, in_kit=InKit.NO, reason=reason)
    return None


def _for_role(pairs: Sequence[tuple[str | None, T]], role: str) -> T | None:
    key = fold_role(role)
    own = [value for named, value in pairs if named is not None and fold_role(named) == key]
    common = [value for named, value in pairs if named is None]
    return own[-1] if own else common[-1] if common else None


def _form(
    fabric: Fabric,
    row: FabricChoice | None,
    catalogue: Catalogue,
    options: Options,
    problems: Problems,
) -> tuple[Form | None, str]:
    where: Location | None = fabric.where
    stated, source = fabric.form, "the pattern"
    if row is not None and row.form:
        stated, source, where = row.form, "the class workbook", row.where
    asked = _for_role(options.forms, fabric.role)
    if _asks_for_cheapest(options, fabric.role):
        source = options.source("--form cheapest")
        if not fabric.pieces:
            source += ": no pieces are given, so its own amount goes in the bag"
        return _default_form(fabric, catalogue), source
    if fabric.pieces and _prefers(options, fabric.role):
        return _default_form(fabric, catalogue), options.source("--prefer")
    if asked is None and not stated:
        return _default_form(fabric, catalogue), "default"
    if asked is None or (stated and _same_form(asked, stated, catalogue)):
        asked = stated or ""
    else:
        source, where = options.source("--form"), None
    try:
        form = catalogue.find_mix(asked)
    except UnknownFormError as unknown:
        message = f"for {fabric.role}: {unknown}"
        problems.refuse(message, where, unknown.suggestion)
        return None, source
    if not fabric.pieces and not form.by_length and not _states(fabric, form):
        problems.refuse(
            f"{fabric.role} has an amount but no pieces, so the stated length goes in the bag; "
            f"a {form.name} cannot be counted for it",
            where,
            "Give its pieces, or leave its form at yardage.",
        )
        return None, source
    return form, source


def _preferred(catalogue: Catalogue, options: Options, problems: Problems) -> tuple[Form, ...]:
    """Return the forms in order of preference."""
    if options.prefer and any(role is None for role, _ in options.forms):
        message = "--form without a fabric and --prefer both choose for all fabrics"
        problems.refuse(message, None, "Use one of them; --form FABRIC=FORM goes with both.")
    found: list[Form] = []
    for name in options.prefer:
        try:
            found.append(catalogue.find_mix(name))
        except UnknownFormError as unknown:
            problems.refuse(f"--prefer: {unknown}", None, unknown.suggestion)
    return tuple(found)


def _prefers(options: Options, role: str) -> bool:
    return bool(options.prefer) and _for_role(options.forms, role) is None


def _asks_for_cheapest(options: Options, role: str) -> bool:
    return fold_role(_for_role(options.forms, role) or "") == CHEAPEST


def _same_form(one: str, other: str, catalogue: Catalogue) -> bool:
    try:
        return catalogue.find_mix(one).form_id == catalogue.find_mix(other).form_id
    except UnknownFormError:
        return False


def _default_form(fabric: Fabric, catalogue: Catalogue) -> Form:
    if fabric.requirement is not None and fabric.requirement.length is None:
        try:
            return catalogue.find(fabric.requirement.unit)
        except UnknownFormError:
            return catalogue.yardage
    return catalogue.yardage


def _states(fabric: Fabric, form: Form) -> bool:
    """Whether the pattern states its amount in this very form."""
    return fabric.requirement is not None and fabric.requirement.unit == form.form_id


def _bag(fabric: Fabric, row: FabricChoice | None, options: Options) -> tuple[Bag, str]:
    asked, source = _for_role(options.bags, fabric.role), options.source("--bag")
    if row is not None and row.bag is not None and asked in (None, row.bag):
        asked, source = row.bag, "the class workbook"
    if asked is Bag.PIECES and not fabric.pieces:
        return Bag.UNCUT, "no pieces are given to cut"
    return (Bag.UNCUT, "default") if asked is None else (asked, source)


def _labels(which: str, shop: Shop, options: Options, choices: list[Choice]) -> LabelChoice:
    sheet, source = _last(options.label_sheets, which), options.source("--label-sheet")
    own = shop.bag_label_sheet if which == "bag" else shop.piece_label_sheet
    own = own or shop.label_sheet
    if own is not None and sheet in (None, own):
        sheet, source = own, "the Shop sheet"
    if sheet is None:
        sheet, source = ("letter-10" if which == "bag" else "letter-30"), "default"
    start = _last(options.label_starts, which) or 1
    value = sheet if start == 1 else f"{sheet}, from label {start}"
    choices.append(Choice(label=f"{which.capitalize()} labels", value=value, source=source))
    return LabelChoice(sheet_id=sheet, start=start)


def _last(pairs: Sequence[tuple[str | None, T]], which: str) -> T | None:
    own = [value for kind, value in pairs if kind == which]
    common = [value for kind, value in pairs if kind is None]
    return own[-1] if own else common[-1] if common else None


def _colorways(class_sheet: ClassSheet, kits: int, spare: int) -> tuple[Colorway, ...]:
    stated = class_sheet.colorways
    if not stated:
        return (Colorway(name="", kits=kits + spare, skus={}),)
    known = sum(colorway.kits or 0 for colorway in stated)
    open_ones = [at for at, colorway in enumerate(stated) if colorway.kits is None]
    shared: list[int] = [colorway.kits or 0 for colorway in stated]
    left = kits - known
    for number, at in enumerate(open_ones):
        share = left // (len(open_ones) - number) if left > 0 else 0
        shared[at] = share
        left -= share
    shared[0] += spare
    return tuple(replace(one, kits=count) for one, count in zip(stated, shared, strict=True))
