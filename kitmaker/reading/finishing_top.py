"""What a Finishing sheet adds to a quilt's front: binding, borders, sashing, setting triangles."""

from __future__ import annotations

from fractions import Fraction

from kitmaker.arithmetic import finishing
from kitmaker.arithmetic.figures import Figure
from kitmaker.arithmetic.finishing import Borders, Sashing
from kitmaker.errors import Location
from kitmaker.lengths import CENTIMETER, Length, Unit
from kitmaker.pattern import Direction, Piece, PieceKind, Shape, Use
from kitmaker.reading.controls import say_border_cloth
from kitmaker.reading.fabric_draft import FabricDraft
from kitmaker.reading.finishing_size import BorderAsked, QuiltSize
from kitmaker.reading.finishing_tools import Tools, piece_of
from kitmaker.reading.shaped_cuts import Counted, cut_from_finished
from kitmaker.reading.shapes import ShapeWords

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
    assumed, in_inches = [], labels.unit is Unit.INCH
    strip = labels.length("Binding width")
    if strip is None:
        strip = finishing.BINDING_STRIP if in_inches else 6 * CENTIMETER
        assumed.append(f"strips of {tools.with_unit(strip)} are")
    allowance = labels.length("Binding allowance", may_be_zero=True)
    if allowance is None:
        allowance = finishing.BINDING_ALLOWANCE if in_inches else 25 * CENTIMETER
        assumed.append(f"{tools.with_unit(allowance)} for corners and closing are")
    style_key = "Binding style" if labels.has("Binding style") else "Binding"
    style = ""
    if labels.has("Binding style") or labels.text("Binding").casefold() in ("straight", "bias"):
        style = labels.choice(style_key, _STYLES)
    tools.estimate("binding", assumed, "State Binding width and Binding allowance.", *keys)
    total = 2 * (size.width + size.length) + allowance
    message = (
        f"2 × (finished {tools.say(size.width)} + {tools.say(size.length)}) + "
        f"{tools.say(allowance)} = {tools.with_unit(total)}"
    )
    where = labels.location(*keys)
    if style == "bias":
        piece = _bias(tools, draft, strip, total, message, where)
    else:
        formula = f"{message} (straight binding; perimeter + allowance, formula 9)"
        piece = piece_of("binding", (strip, total), 1, where, formula, kind=PieceKind.JOINED)
    tools.put(draft, "binding", [piece], where)


def _bias(
    tools: Tools, draft: FabricDraft, strip: Length, total: Length, text: str, where: Location
) -> Piece:
    step = tools.labels.unit.length
    squares = finishing.bias_squares(total, strip, draft.counted_width, step)
    share = "" if squares.count == 1 else f" ÷ {squares.count}"
    formula = (
        f"{text}; √({tools.say(total)}{share} × {tools.say(strip)}), up to "
        f"{tools.say(step)} = square {tools.say(squares.side)} (bias binding; formula 10)"
    )
    notes = f"for bias strips of {tools.with_unit(strip)}, continuous or joined"
    size, shape = (squares.side, squares.side), Shape.SQUARE
    return piece_of(
        "bias binding square", size, squares.count, where, formula, shape=shape, notes=notes
    )


_CORNER_SOURCES = {
    "butted": "formula 11",
    "mitered": "X + 2Y and what the slanted ends take",
}


def add_borders(tools: Tools, size: QuiltSize) -> None:
    """Add the borders from the inside out, each round the ones before it."""
    width, length = size.top_width, size.top_length
    added: dict[str, tuple[FabricDraft, list[Piece], str]] = {}
    for border in size.borders:
        part = f"Border {border.number}" if len(size.borders) > 1 else "Border"
        draft = tools.draft(part, key=border.label("fabric", tools.labels))
        _, pieces, _ = added.setdefault(draft.role, (draft, [], border.key))
        pieces.extend(_border(tools, border, (width, length), draft, part.casefold()))
        width += 2 * border.finished_width
        length += 2 * border.finished_width
    for draft, pieces, key in added.values():
        if pieces:
            tools.put(draft, "border", pieces, tools.labels.location(key))


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
    if borders.cut_width > draft.counted_width:
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
    lengths, along = borders.cut_lengths, cut == "lengthwise"
    parts = [
        (f"{name}, side", borders.side_cut_length, 2),
        (f"{name}, top and bottom", borders.end_cut_length, 2),
    ]
    joined = not along and max(lengths) > draft.counted_width
    if joined:
        parts = [(name, sum(lengths, Fraction(0)), 1)]
    kind = PieceKind.JOINED if joined else PieceKind.PIECE
    way = Direction.LENGTHWISE if along else Direction.FREE
    more = {"kind": kind, "direction": way, "is_joined": not along}
    width, where = borders.cut_width, labels.location(border.key)
    return [
        piece_of(called, (width, length), count, where, formula, **more)
        for called, length, count in parts
    ]


def _border_advice(
    tools: Tools, border: BorderAsked, borders: Borders, draft: FabricDraft, cut: str
) -> None:
    if max(borders.cut_lengths) <= draft.counted_width:
        return
    ways = say_border_cloth(
        borders.cut_width, borders.cut_lengths, draft.counted_width, tools.labels.unit
    )
    message = f"the border strips are longer than the fabric is wide: {ways}"
    if cut:
        key = border.label("cut", tools.labels)
        tools.note(tools.labels.text(key), message, draft, tools.labels.location(key))
        return
    tools.labels.warning(
        f"{message}; they are counted across",
        "State Border cut as crosswise or lengthwise.",
        border.key,
    )


def add_sashing(tools: Tools, size: QuiltSize) -> None:
    """Add sashes, and cornerstones where they cross."""
    sashes = size.sashing
    if sashes is None:
        return
    labels = tools.labels
    draft = tools.draft("Sashing")
    one_way = labels.choice("Sashing direction", _DIRECTIONS) == "one way"
    where = labels.location("Sashing width")
    formula = (
        f"finished {tools.say(sashes.sash_cut_width - 2 * tools.seam)} × "
        f"{tools.say(sashes.sash_cut_length - 2 * tools.seam)} (a block's side) + "
        f"{tools.say(2 * tools.seam)} each way = cut {tools.say(sashes.sash_cut_width)} × "
        f"{tools.say(sashes.sash_cut_length)}; {sashes.upright_count} upright and "
        f"{sashes.level_count} level (sashing; formula 12)"
    )
    tools.put(draft, "sash", _sashes(sashes, where, formula, one_way=one_way), where)
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
    where = tools.labels.location(key, "Sashing width")
    side, count = sashes.cornerstone_cut_side, sashes.cornerstone_count
    formula = (
        f"finished {tools.say(side - 2 * tools.seam)} + {tools.say(2 * tools.seam)} = cut "
        f"{tools.say(side)}, where sashes cross (cornerstone; formula 12)"
    )
    piece = piece_of("cornerstone", (side, side), count, where, formula, shape=Shape.SQUARE)
    tools.put(draft, "cornerstone", [piece], where)


def _sashes(sashes: Sashing, where: Location, formula: str, *, one_way: bool) -> list[Piece]:
    wide, long = sashes.sash_cut_width, sashes.sash_cut_length
    kinds = [("sash", wide, long, sashes.sash_count)]
    if one_way:
        kinds = [
            ("upright sash", wide, long, sashes.upright_count),
            ("level sash", long, wide, sashes.level_count),
        ]
    way = Direction.ONE_WAY if one_way else Direction.FREE
    return [
        piece_of(name, (width, length), count, where, formula, direction=way)
        for name, width, length, count in kinds
        if count
    ]


def add_setting(tools: Tools, size: QuiltSize) -> None:
    """Add the triangles round blocks on point: along the edges, and four in the corners.

    Between m × n blocks on point stand (m - 1) (n - 1) more. The triangles along the edges come
    from squares cut twice, the four in the corners from two squares cut once.
    """
    setting = size.setting
    block = tools.labels.length("Block size")
    if setting is None or block is None:
        return
    draft = tools.draft("Setting")
    where = tools.labels.location("Setting")
    sides = setting.side_triangles
    for figure, count in ((Figure.SETTING, sides), (Figure.CORNER, 4)):
        if not count:
            continue
        cut, quantity = cut_from_finished(
            ShapeWords(figure=figure), block, None, tools.rules, Counted(count)
        )
        square, more = (cut.width, cut.width), {"shape": cut.shape, "notes": cut.remark}
        piece = piece_of(figure.value, square, quantity, where, cut.formula, **more)
        tools.put(draft, figure.value, [piece], where)
    top = f"{tools.say(size.top_width)} × {tools.with_unit(size.top_length)}"
    message = (
        f"{setting.block_count} blocks on point, {sides} setting triangles and 4 corner "
        f"triangles; a top of {top}"
    )
    tools.note("on point", message, draft, where)
