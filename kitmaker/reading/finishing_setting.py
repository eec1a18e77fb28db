"""Blocks set on point: the triangles that fill the edge and the corners, and the top's size.

Between m × n blocks on point stand (m - 1) (n - 1) more. The triangles along the edges come
from squares cut twice, the four in the corners from two squares cut once.
"""

from __future__ import annotations

from kitmaker.arithmetic.figures import Figure
from kitmaker.pattern import Note, Piece
from kitmaker.reading.finishing_size import QuiltSize
from kitmaker.reading.finishing_tools import Tools
from kitmaker.reading.shaped_cuts import Counted, cut_from_finished
from kitmaker.reading.shapes import ShapeWords


def add_setting(tools: Tools, size: QuiltSize) -> None:
    """Add the setting and corner triangles of blocks on point."""
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
        piece = Piece(
            name=figure.value,
            width=cut.width,
            length=cut.length,
            quantity=quantity,
            shape=cut.shape,
            where=where,
            notes=cut.remark,
            formula=cut.formula,
        )
        tools.put(draft, figure.value, [piece], ("Setting",))
    top = f"{tools.say(size.top_width)} × {tools.with_unit(size.top_length)}"
    said = (
        f"{setting.block_count} blocks on point, {sides} setting triangles and 4 corner "
        f"triangles; a top of {top}"
    )
    tools.notes.append(Note(where=where, words="on point", understood=said, role=draft.role))
