"""A class's plan built by hand, so that what is printed can be tested without a planner.

Twelve kits of an invented pattern in two colorways: one print bagged as uncut fat quarters,
a background cut into pieces for both colorways together, a stripe with more than twenty
kinds of pieces, a binding of whole strips that is short in one colorway.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from string import ascii_uppercase

from kitmaker.cutting.layout import Axis, Layout, Part
from kitmaker.cutting_jobs import CutLayout, CuttingJob, NeededPiece, Offcut, Yield
from kitmaker.errors import Location, error, warning
from kitmaker.forms import Catalogue, Form
from kitmaker.lengths import Length, Unit
from kitmaker.paper.render import render_pages
from kitmaker.paper.sheets.page import list_pages
from kitmaker.pattern import Direction, Pattern, Piece, PieceKind, Shape
from kitmaker.plans import (
    Choice,
    CostLine,
    FabricPlan,
    KitPlan,
    LabelChoice,
    LeftOut,
    PullLine,
    StockPiece,
)
from kitmaker.shop import Bag, ClassSheet, Colorway, Extra, InKit, Shop, StockRow
from kitmaker.table.cloths import ClothLength, one_length
from kitmaker.table.steps import StepWriter, is_folded

F = Fraction
CELL = Location("harbor-lanterns.xlsx", "Cutting", "C5")
FAT_QUARTER = Catalogue().find("fat quarter")
YARDAGE = Catalogue().yardage
BLUE, RED = "Blue evening", "Red dawn"
KITS = {BLUE: 7, RED: 5}


def row(across: Length, along: Length, pieces: Sequence[tuple[str, Length, int]]) -> Part:
    """A strip of the cloth sub-cut into pieces (key, width, times); the rest is an offcut."""
    children = [Part(width, along, key=key) for key, width, times in pieces for _ in range(times)]
    left = across - sum((child.across for child in children), F(0))
    if left:
        children.append(Part(left, along))
    if len(children) == 1:
        return children[0]
    return Part(across, along, Axis.ACROSS, tuple(children))


def sheet(across: Length, along: Length, rows: Sequence[Part]) -> Part:
    """A sheet cut into strips from the top; the rest is an offcut."""
    left = along - sum((one.along for one in rows), F(0))
    children = [*rows, *([Part(across, left)] if left else [])]
    return Part(across, along, Axis.ALONG, tuple(children))


def cut_layout(
    name: str,
    part: Part,
    copies: int,
    form: Form,
    letters: Mapping[str, str],
    shop: Shop,
    lengths: Sequence[ClothLength],
) -> CutLayout:
    writer = StepWriter(shop, Unit.INCH, letters, copies)
    full = form.usable_along is not None and all(not rect.is_offcut for rect, _ in part.leaves())
    if form.by_length:
        writer.write_stretch(Layout(part, copies), lengths)
    else:
        writer.write_sheet(Layout(part, copies), form.name, measure_first=full)
    return CutLayout(
        name=name,
        form_id=form.form_id,
        source="the bolt" if form.by_length else "",
        sheet=(part.across, part.along),
        copies=copies,
        folded=form.by_length and is_folded(part.across, shop),
        steps=tuple(writer.steps),
        pieces=part.placed(),
        offcuts=part.offcuts(),
        levels=part.levels,
        uses_full_size=full,
    )


def job_of(
    pieces: Sequence[NeededPiece], sheets: Sequence[tuple[Part, int]], form: Form, shop: Shop
) -> CuttingJob:
    letters = {needed.key: needed.letter for needed in pieces}
    layouts = []
    lengths = [one_length(Layout(part, copies) for part, copies in sheets)]
    for number, (part, copies) in enumerate(sheets, start=1):
        layouts.append(cut_layout(f"Layout {number}", part, copies, form, letters, shop, lengths))
    steps = [step for layout in layouts for step in layout.steps]
    offcuts: dict[tuple[Length, Length], int] = {}
    for layout in layouts:
        for rect in layout.offcuts:
            offcuts[rect.w, rect.h] = offcuts.get((rect.w, rect.h), 0) + layout.copies
    return CuttingJob(
        pieces=tuple(pieces),
        layouts=tuple(layouts),
        offcuts=tuple(
            Offcut(
                across=w,
                along=h,
                count=count,
                grade="keep" if min(w, h) >= F(5, 2) and max(w, h) >= 5 else "scrap",
            )
            for (w, h), count in sorted(offcuts.items(), reverse=True)
        ),
        levels=max(layout.levels for layout in layouts),
        cuts=sum(step.cuts for step in steps),
        settings=sum(step.settings for step in steps),
        stacks=sum(len(step.stacks) for step in steps),
        minutes=F(sum(step.cuts * 8 + step.settings * 15 for step in steps), 60),
        miscuts=1,
    )


def piece(name: str, width: Length, length: Length | None, quantity: int, **more: object) -> Piece:
    return Piece(name=name, width=width, length=length, quantity=quantity, where=CELL, **more)  # type: ignore[arg-type]


def needed_of(
    letter: str, one: Piece, made: int, role: str, colorway: str, kits: int, **more: object
) -> NeededPiece:
    across = one.across if one.across is not None else F(40)
    return NeededPiece(
        letter=letter,
        key=f"{role}/{colorway}/{letter}",
        role=role,
        colorway=colorway,
        piece=one,
        across=across,
        along=one.along,
        per_kit=one.quantity,
        needed=one.quantity * kits,
        made=made,
        **more,  # type: ignore[arg-type]
    )


PRINT_ROLE = "Lantern print"
PRINT_PIECES = (
    piece("Lantern body", F(9, 2), F(9, 2), 20),
    piece("Lantern cap", F(7, 2), F(7, 2), 5, shape=Shape.CUT_ONCE),
    piece("Lantern base", F(5, 2), F(5, 2), 16),
)


def print_job(shop: Shop, colorway: str) -> CuttingJob:
    made = (20, 5, 16)
    needed = [
        needed_of(letter, one, count, PRINT_ROLE, colorway, 1)
        for letter, one, count in zip("ABC", PRINT_PIECES, made, strict=True)
    ]
    a, b, c = (one.key for one in needed)
    row_a = row(F(20), F(9, 2), [(a, F(9, 2), 4)])
    row_c = row(F(20), F(5, 2), [(c, F(5, 2), 8)])
    first = sheet(F(20), F(16), [row_a, row_a, row(F(20), F(7, 2), [(b, F(7, 2), 5)]), row_c])
    second = sheet(F(20), F(16), [row_a, row_a, row_a, row_c])
    return job_of(needed, [(first, 1), (second, 1)], FAT_QUARTER, shop)


BACKGROUND_ROLE = "Background"
BACKGROUND_PIECES = (
    piece("Sky panel", F(17, 2), F(25, 2), 2, direction=Direction.ONE_WAY),
    piece("Sky square", F(5, 2), F(5, 2), 32),
    piece("Sky rectangle", F(9, 4), F(5, 2), 16),
)


def background_job(shop: Shop) -> CuttingJob:
    """Both colorways' background is one bolt: pieces A to C for one, D to F for the other."""
    needed = []
    letters = iter(ascii_uppercase)
    for colorway, kits in KITS.items():
        for one in BACKGROUND_PIECES:
            alike = {"Sky square": "C", "Sky rectangle": "B"}.get(one.name)
            needed.append(
                needed_of(
                    next(letters),
                    one,
                    one.quantity * kits,
                    BACKGROUND_ROLE,
                    colorway,
                    kits,
                    look_alikes=(alike,) if alike else (),
                )
            )
    a, b, c, d, e, f = (one.key for one in needed)
    wide = F(81, 2)
    stretches = [
        (row(wide, F(25, 2), [(a, F(17, 2), 4)]), 3),
        (row(wide, F(25, 2), [(a, F(17, 2), 2), (d, F(17, 2), 2)]), 1),
        (row(wide, F(25, 2), [(d, F(17, 2), 4)]), 2),
        (row(wide, F(5, 2), [(b, F(5, 2), 16)]), 14),
        (row(wide, F(5, 2), [(e, F(5, 2), 16)]), 10),
        (row(wide, F(5, 2), [(c, F(9, 4), 16)]), 7),
        (row(wide, F(5, 2), [(f, F(9, 4), 16)]), 5),
    ]
    return job_of(needed, stretches, YARDAGE.with_usable_across(wide), shop)


STRIPE_ROLE = "Midnight harbor lamplight stripe"


def stripe_pieces() -> tuple[Piece, ...]:
    return tuple(
        piece(f"Sail number {at + 1}", F(3, 2) + F(at, 8), F(2) + F(at, 4), 2) for at in range(22)
    )


def stripe_job(shop: Shop, colorway: str) -> CuttingJob:
    kits = KITS[colorway]
    needed = [
        needed_of(letter, one, 2 * kits, STRIPE_ROLE, colorway, kits)
        for letter, one in zip(ascii_uppercase, stripe_pieces(), strict=False)
    ]
    stretches = [
        (row(F(40), one.along, [(one.key, one.across, int(min(2 * kits, 40 // one.across)))]), 1)
        for one in reversed(needed)
    ]
    return job_of(needed, stretches, YARDAGE, shop)


BINDING_ROLE = "Binding"


def binding_job(shop: Shop, colorway: str) -> CuttingJob:
    kits = KITS[colorway]
    strip = Piece(
        name="Binding strip",
        kind=PieceKind.STRIP,
        width=F(5, 2),
        length=None,
        quantity=6,
        where=CELL,
    )
    needed = [needed_of("A", strip, 6 * kits, BINDING_ROLE, colorway, kits)]
    part = Part(F(40), F(5, 2), key=needed[0].key)
    return job_of(needed, [(part, 6 * kits)], YARDAGE, shop)


def length_yield(kits: int, length: Length, buy: Length, said: str) -> Yield:
    return Yield(
        count=kits,
        lower_bound=kits,
        proven=True,
        length=length,
        length_lower_bound=length,
        length_proven=True,
        length_with_loss=length + F(1, 2),
        buy_length=buy,
        buy=said,
    )


def shop_of() -> Shop:
    return Shop(
        name="Juniper & Thread Quilt Shop",
        address="14 Mill Lane, Harbor Falls",
        phone="555-0142",
        email="hello@juniperandthread.example",
        stock=(
            StockRow(
                sku="JT-101",
                length=F(477),
                where=Location("shop.xlsx", "Stock", "A3"),
            ),
            StockRow(sku="JT-210", form="fat quarter", count=30, where=Location("", "Stock", "A5")),
        ),
        workbook="juniper-and-thread-shop.xlsx",
    )


def fabrics_of(shop: Shop) -> tuple[FabricPlan, ...]:
    skus = {BLUE: ("JT-210", "JT-330", "JT-342"), RED: ("JT-214", "JT-335", "JT-347")}
    prints = {
        BLUE: ("Lantern gold", "Ink solid", "Night ripple"),
        RED: ("Lantern coral", "Charcoal solid", "Sage ripple"),
    }
    background = background_job(shop)
    plans = []
    for colorway, kits in KITS.items():
        print_sku, binding_sku, stripe_sku = skus[colorway]
        print_name, binding_name, stripe_name = prints[colorway]
        other = RED if colorway == BLUE else BLUE
        job = stripe_job(shop, colorway)
        stripe_length = sum((one.sheet[1] * one.copies for one in job.layouts), F(0))
        plans += [
            FabricPlan(
                role=PRINT_ROLE,
                colorway=colorway,
                sku=print_sku,
                group="",
                print_name=print_name,
                form=FAT_QUARTER,
                bag=Bag.UNCUT,
                kits=kits,
                per_kit=Yield(
                    count=2,
                    lower_bound=2,
                    proven=True,
                    buy="2 fat quarters",
                    one_fewer_at=(F(21), F(35, 2)),
                ),
                total=Yield(
                    count=2 * kits,
                    lower_bound=2 * kits,
                    proven=True,
                    buy=f"{2 * kits} fat quarters",
                ),
                job=print_job(shop, colorway),
                cost=Decimal("2.60") * 2 * kits,
            ),
            FabricPlan(
                role=BACKGROUND_ROLE,
                colorway=colorway,
                sku="JT-101",
                group="",
                print_name="Harbor fog",
                form=YARDAGE.with_usable_across(F(81, 2)),
                bag=Bag.PIECES,
                kits=kits,
                per_kit=length_yield(1, F(45, 2), F(27), "¾ yd"),
                total=length_yield(1, F(165), F(351, 2), "4⅞ yd"),
                job=background,
                cut_with=((BACKGROUND_ROLE, other),),
                cost=Decimal("5.90") * kits / 2,
            ),
            FabricPlan(
                role=STRIPE_ROLE,
                colorway=colorway,
                sku=stripe_sku,
                group="",
                print_name=stripe_name,
                form=YARDAGE,
                bag=Bag.PIECES,
                kits=kits,
                per_kit=length_yield(1, F(45), F(54), "1½ yd"),
                total=Yield(
                    count=1,
                    lower_bound=1,
                    proven=False,
                    length=stripe_length,
                    length_lower_bound=stripe_length - 9,
                    length_proven=False,
                    length_with_loss=stripe_length + 2,
                    buy_length=F(144),
                    buy="4 yd",
                ),
                job=job,
                cost=Decimal("25.60"),
            ),
            FabricPlan(
                role=BINDING_ROLE,
                colorway=colorway,
                sku=binding_sku,
                group="",
                print_name=binding_name,
                form=YARDAGE,
                bag=Bag.PIECES,
                kits=kits,
                per_kit=length_yield(1, F(15), F(18), "½ yd"),
                total=length_yield(1, F(15 * kits), F(18 * kits), f"{kits * 3} yd"),
                job=binding_job(shop, colorway),
                cost=Decimal("5.40") * kits,
            ),
        ]
    return tuple(plans)


def cost_line(label: str, total: Decimal) -> CostLine:
    """A line that costs a kit of either colorway the same."""
    each = total / 12
    return CostLine(label=label, total=total, per_kit=each, one_kit=((BLUE, each), (RED, each)))


def pull_of() -> tuple[PullLine, ...]:
    def bolt(where: str, at_hand: int, take: int, lot: str = "") -> StockPiece:
        return StockPiece(
            where=where, dye_lot=lot, at_hand=F(at_hand), take=F(take), left=F(at_hand - take)
        )

    def line(sku: str, name: str, roles: str, buy: str, **more: object) -> PullLine:
        base: dict[str, object] = {
            "forms": (),
            "length": F(0),
            "at_hand": None,
            "forms_at_hand": None,
            "pieces": (),
            "short": "",
            "cost": Decimal("36.40"),
        }
        base |= more
        return PullLine(sku=sku, print_name=name, roles=roles, buy=buy, **base)  # type: ignore[arg-type]

    return (
        line(
            "JT-210",
            "Lantern gold",
            f"{PRINT_ROLE}, {BLUE}",
            "14 fat quarters",
            forms=((FAT_QUARTER, 14),),
            forms_at_hand=(26,),
            pieces=(bolt("Stock!A5", 26, 14),),
        ),
        line(
            "JT-101",
            "Harbor fog",
            f"{BACKGROUND_ROLE}, both colorways",
            "4⅞ yd",
            length=F(351, 2),
            at_hand=F(675),
            pieces=(bolt("Stock!A4", 198, 100, "0611"), bolt("Stock!A3", 477, 76, "0611")),
        ),
        line(
            "JT-335",
            "Charcoal solid",
            f"{BINDING_ROLE}, {RED}",
            "2½ yd",
            length=F(90),
            at_hand=F(60),
            pieces=(bolt("Stock!A9", 60, 60, "2210"),),
            short="short by ⅞ yd",
        ),
        line("JT-330", "Ink solid", f"{BINDING_ROLE}, {BLUE}", "3½ yd", length=F(126)),
    )


def class_sheet_of() -> ClassSheet:
    return ClassSheet(
        title="Harbor Lanterns in an evening",
        date="2027-03-12",
        teacher="Ada Example",
        kits=12,
        extras=(
            Extra(
                item="Printed pattern",
                count_per_kit=F(1),
                cost=Decimal("6.00"),
                price=Decimal("12.00"),
                where=Location("class.xlsx", "Extras", "A2"),
            ),
        ),
        workbook="harbor-lanterns-class.xlsx",
    )


def class_plan() -> KitPlan:
    """The whole plan."""
    shop = shop_of()
    fabrics = fabrics_of(shop)
    cost = sum((fabric.cost for fabric in fabrics if fabric.cost is not None), Decimal(0))
    return KitPlan(
        number="K7F2-90AB",
        pattern=Pattern(
            name="Harbor Lanterns",
            sizes=("crib", "throw"),
            size="throw",
            finished_size="54 × 63 in",
        ),
        shop=shop,
        class_sheet=class_sheet_of(),
        kits=12,
        spare_kits=0,
        colorways=tuple(Colorway(name=name, kits=kits, skus={}) for name, kits in KITS.items()),
        choices=(
            Choice(label="Kits", value="12", source="class workbook, Class!B5"),
            Choice(label="Layers per cut", value="4", source="built in"),
            Choice(label="Straighten", value="½ in", source="shop workbook, Shop!B7"),
        ),
        fabrics=fabrics,
        left_out=(
            LeftOut(role="Backing", in_kit=InKit.SOLD_APART, reason="sold apart"),
            LeftOut(role="Batting", in_kit=InKit.NO, reason="batting is never in a kit"),
        ),
        pull=pull_of(),
        kits_possible=9,
        runs_out=f"{BINDING_ROLE} ({RED})",
        costs=(
            cost_line("Fabrics", cost),
            cost_line("Extras", Decimal("72.00")),
            cost_line("Labor", Decimal("48.00")),
            cost_line("Total", cost + 120),
        ),
        fabric_cost=cost,
        price_per_kit=Decimal("54.50"),
        minutes=F(137),
        bag_labels=LabelChoice(sheet_id="letter-10", start=1),
        piece_labels=LabelChoice(sheet_id="letter-30", start=4),
        not_complete=(),
        problems=(
            warning(
                "'Sky rectangle' and 'Sky square' differ by a quarter inch.",
                CELL,
                "Keep them apart in the bag.",
            ),
            error(
                "JT-335 Charcoal solid is short by ⅞ yd.",
                Location("juniper-and-thread-shop.xlsx", "Stock", "A9"),
                "Order more, or plan 9 kits.",
            ),
        ),
    )


def page_of(plan: KitPlan, name: str) -> str:
    """Return one page, made alone: without the others it is quick."""
    kinds = [page.kind for page in list_pages(plan) if page.file_name == name]
    return render_pages(plan, only=kinds).files[name]
