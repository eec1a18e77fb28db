"""What a Finishing sheet adds to a quilt's front: binding, borders, sashing."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from kitmaker.arithmetic import finishing
from kitmaker.arithmetic.finishing import Borders, Sashing
from kitmaker.errors import Location
from kitmaker.lengths import CENTIMETER, Length, Unit, say_off_the_bolt
from kitmaker.pattern import Direction, Note, Piece, PieceKind, Shape, Use
from kitmaker.reading.fabric_draft import FabricDraft
from kitmaker.reading.finishing_size import BorderAsked, QuiltSize
from kitmaker.reading.finishing_tools import Tools, usable_width

_STYLES = {"straight": ("crosswise", "straight grain", "across"), "bias": ("bias strips",)}
_CORNERS = {
    "butted": ("square", "straight", "overlapped"),
    "mitered": ("mitred", "45", "miter", "45 degrees"),
}
_CUTS = {
    "crosswise": ("across", "wof", "width of fabric", "joined"),
    "lengthwise": ("along", "lof", "length of fabric", "without joins"),
}
_DIRECTIONS = {"one way": ("oneway", "directional"), "free": ("any", "either", "all over")}


def add_binding(tools: Tools, size: QuiltSize) -> None:
    """Add the binding: a running length, or squares for a bias binding."""
    labels, keys = tools.labels, ("Binding", "Binding width", "Binding allowance", "Quilt width")
    draft = tools.draft("Binding", Use.BINDING)
    assumed = []
    strip, allowance = labels.length("Binding width"), None
    if strip is None:
        strip = finishing.BINDING_STRIP if labels.unit is Unit.INCH else 6 * CENTIMETER
        assumed.append(f"strips of {tools.with_unit(strip)} are")
    allowance = labels.length("Binding allowance", may_be_zero=True)
    if allowance is None:
        metric = 25 * CENTIMETER
        allowance = finishing.BINDING_ALLOWANCE if labels.unit is Unit.INCH else metric
        assumed.append(f"{tools.with_unit(allowance)} for corners and closing are")
    style_key = "Binding style" if labels.has("Binding style") else "Binding"
    style = ""
    if labels.has("Binding style") or labels.text("Binding").casefold() in ("straight", "bias"):
        style = labels.choice(style_key, _STYLES)
    tools.estimate("binding", assumed, "State Binding width and Binding allowance.", *keys)
    total = 2 * (size.width + size.length) + allowance
    said = (
        f"2 × (finished {tools.say(size.width)} + {tools.say(size.length)}) + "
        f"{tools.say(allowance)} = {tools.with_unit(total)}"
    )
    where = labels.location(*keys)
    if style == "bias":
        piece = _bias(tools, draft, strip, total, said, where)
    else:
        piece = Piece(
            name="binding",
            kind=PieceKind.JOINED,
            width=strip,
            length=total,
            quantity=1,
            where=where,
            formula=f"{said} (straight binding; perimeter + allowance, Brynwood 2014)",
        )
    tools.put(draft, "binding", [piece], keys)


def _bias(
    tools: Tools, draft: FabricDraft, strip: Length, total: Length, said: str, where: Location
) -> Piece:
    step = tools.labels.unit.length
    squares = finishing.bias_squares(total, strip, usable_width(draft), step)
    share = "" if squares.count == 1 else f" ÷ {squares.count}"
    return Piece(
        name="bias binding square",
        width=squares.side,
        length=squares.side,
        quantity=squares.count,
        shape=Shape.SQUARE,
        where=where,
        notes=f"for bias strips of {tools.with_unit(strip)}, continuous or joined",
        formula=(
            f"{said}; √({tools.say(total)}{share} × {tools.say(strip)}), up to "
            f"{tools.say(step)} = square {tools.say(squares.side)} (bias binding; Quilters "
            "Question Time 2021)"
        ),
    )


_CORNER_SOURCES = {
    "butted": "Annie's, Determining Border Lengths",
    "mitered": "X + 2Y and what the slanted ends take",
}


def add_borders(tools: Tools, size: QuiltSize) -> None:
    """Add the borders from the inside out, each round the ones before it."""
    width, length = size.top_width, size.top_length
    added: dict[str, tuple[FabricDraft, list[Piece], tuple[str, ...]]] = {}
    for border in size.borders:
        more = len(size.borders) > 1
        part = f"Border {border.number}" if more else "Border"
        draft = tools.draft(part, key=border.label("fabric", tools.labels))
        _, pieces, _ = added.setdefault(draft.role, (draft, [], (border.key,)))
        pieces.extend(_border(tools, border, (width, length), draft, part.casefold()))
        width += 2 * border.finished_width
        length += 2 * border.finished_width
    for draft, pieces, keys in added.values():
        if pieces:
            tools.put(draft, "border", pieces, keys)


def _border(
    tools: Tools,
    border: BorderAsked,
    inside: tuple[Length, Length],
    draft: FabricDraft,
    name: str,
) -> list[Piece]:
    labels, finished = tools.labels, border.finished_width
    corners = labels.choice(border.label("style", labels), _CORNERS)
    if not corners:
        corners = "butted"
        tools.estimate("border", ["butted corners are"], "State Border style.", border.key)
    if corners == "mitered":
        borders = finishing.mitered_borders(*inside, finished, tools.seam, tools.rules.step)
    else:
        borders = finishing.butted_borders(*inside, finished, tools.seam)
    if borders.cut_width > usable_width(draft):
        labels.error(border.key, "the border is wider than its fabric", "Look at the width.")
        return []
    cut = labels.choice(border.label("cut", labels), _CUTS)
    if not tools.has(draft, "border"):
        _border_advice(tools, border, borders, draft, cut)
    formula = (
        f"round finished {tools.say(inside[0])} × {tools.say(inside[1])}, "
        f"{tools.say(finished)} wide: two of {tools.say(borders.side_cut_length)} and two of "
        f"{tools.say(borders.end_cut_length)}, strips finished {tools.say(finished)} + "
        f"{tools.say(2 * tools.seam)} = cut {tools.say(borders.cut_width)} "
        f"({corners} border; {_CORNER_SOURCES[corners]})"
    )
    pieces = _border_pieces(name, borders, draft, cut, labels.location(border.key))
    return [replace(piece, formula=formula) for piece in pieces]


def _border_pieces(
    name: str, borders: Borders, draft: FabricDraft, cut: str, where: Location
) -> list[Piece]:
    total = sum(borders.cut_lengths, Fraction(0))
    if cut != "lengthwise" and max(borders.cut_lengths) > usable_width(draft):
        return [
            Piece(
                name=name,
                kind=PieceKind.JOINED,
                width=borders.cut_width,
                length=total,
                quantity=1,
                where=where,
            )
        ]
    direction = Direction.LENGTHWISE if cut == "lengthwise" else Direction.FREE
    ends = (("side", borders.side_cut_length), ("top and bottom", borders.end_cut_length))
    return [
        Piece(
            name=f"{name}, {place}",
            width=borders.cut_width,
            length=length,
            quantity=2,
            direction=direction,
            where=where,
        )
        for place, length in ends
    ]


def _border_advice(
    tools: Tools, border: BorderAsked, borders: Borders, draft: FabricDraft, cut: str
) -> None:
    usable = usable_width(draft)
    if max(borders.cut_lengths) <= usable:
        return
    cloth = finishing.border_cloth(borders.cut_width, borders.cut_lengths, usable)
    across = (
        f"across, {cloth.crosswise_strip_count} strips joined take "
        f"{say_off_the_bolt(cloth.crosswise_length, tools.labels.unit)}"
    )
    along = (
        f"lengthwise without a join they take "
        f"{say_off_the_bolt(cloth.lengthwise_length, tools.labels.unit)}"
    )
    said = f"the border strips are longer than the fabric is wide: {across}, {along}"
    if cut:
        words = tools.labels.text(border.label("cut", tools.labels))
        tools.notes.append(
            Note(
                where=tools.labels.location(border.label("cut", tools.labels)),
                words=words,
                understood=said,
                role=draft.role,
            )
        )
        return
    tools.labels.warning(
        f"{said}; they are counted across",
        "State Border cut as crosswise or lengthwise.",
        border.key,
    )


def add_sashing(tools: Tools, size: QuiltSize) -> None:
    """Add sashes, and cornerstones where they cross."""
    sashes = size.sashing
    if sashes is None:
        return
    labels, keys = tools.labels, ("Sashing width",)
    draft = tools.draft("Sashing")
    one_way = labels.choice("Sashing direction", _DIRECTIONS) == "one way"
    where = labels.location(*keys)
    formula = (
        f"finished {tools.say(sashes.sash_cut_width - 2 * tools.seam)} × "
        f"{tools.say(sashes.sash_cut_length - 2 * tools.seam)} (a block's side) + "
        f"{tools.say(2 * tools.seam)} each way = cut {tools.say(sashes.sash_cut_width)} × "
        f"{tools.say(sashes.sash_cut_length)}; {sashes.upright_count} upright and "
        f"{sashes.level_count} level (sashing; Susan in Texas 2009)"
    )
    tools.put(draft, "sash", _sashes(sashes, where, formula, one_way=one_way), keys)
    if one_way:
        labels.warning(
            "a one-way print in the sashing: the upright sashes come from strips "
            f"{tools.with_unit(sashes.sash_cut_length)} wide, the level ones from strips "
            f"{tools.with_unit(sashes.sash_cut_width)} wide",
            "Nothing to type; cut two strip widths.",
            "Sashing direction",
        )
    if sashes.cornerstone_count:
        _cornerstones(tools, sashes, draft)


def _cornerstones(tools: Tools, sashes: Sashing, of_sashing: FabricDraft) -> None:
    key = "Cornerstone fabric"
    draft = tools.draft("Cornerstones", key=key) if tools.labels.has(key) else of_sashing
    if not tools.labels.has(key):
        tools.estimate(
            "sashing",
            [f"squares of '{of_sashing.role}' where sashes cross are"],
            "State Cornerstone fabric.",
            "Sashing width",
        )
    piece = Piece(
        name="cornerstone",
        width=sashes.cornerstone_cut_side,
        length=sashes.cornerstone_cut_side,
        quantity=sashes.cornerstone_count,
        shape=Shape.SQUARE,
        where=tools.labels.location(key, "Sashing width"),
        formula=(
            f"finished {tools.say(sashes.cornerstone_cut_side - 2 * tools.seam)} + "
            f"{tools.say(2 * tools.seam)} = cut "
            f"{tools.say(sashes.cornerstone_cut_side)}, where sashes cross "
            "(cornerstone; Susan in Texas 2009)"
        ),
    )
    tools.put(draft, "cornerstone", [piece], (key, "Sashing width"))


def _sashes(sashes: Sashing, where: Location, formula: str, *, one_way: bool) -> list[Piece]:
    if not one_way:
        return [
            Piece(
                name="sash",
                width=sashes.sash_cut_width,
                length=sashes.sash_cut_length,
                quantity=sashes.sash_count,
                where=where,
                formula=formula,
            )
        ]
    kinds = (
        ("upright sash", sashes.sash_cut_width, sashes.sash_cut_length, sashes.upright_count),
        ("level sash", sashes.sash_cut_length, sashes.sash_cut_width, sashes.level_count),
    )
    return [
        Piece(
            name=name,
            width=width,
            length=length,
            quantity=count,
            direction=Direction.ONE_WAY,
            where=where,
            formula=formula,
        )
        for name, width, length, count in kinds
        if count
    ]
