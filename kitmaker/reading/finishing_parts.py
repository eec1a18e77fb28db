"""A Finishing sheet's parts, one after the other: from its labels to fabrics.

Each part becomes pieces (or, for backing and batting, an amount) of the fabric it names. A
fabric that already has such pieces keeps them: then the sheet is only a control, and a
disagreement is said with both figures. Whatever had to be assumed is marked an estimate.
"""

from __future__ import annotations

from collections.abc import Callable

from kitmaker.pattern import Use, use_of
from kitmaker.reading.finishing_back import add_backing, add_batting, add_label, add_sleeve
from kitmaker.reading.finishing_setting import add_setting
from kitmaker.reading.finishing_size import QuiltSize, quilt_size
from kitmaker.reading.finishing_tools import Tools
from kitmaker.reading.finishing_top import add_binding, add_borders, add_sashing

_PARTS: tuple[tuple[str, Callable[[Tools, QuiltSize], None]], ...] = (
    ("Setting", add_setting),
    ("Sashing", add_sashing),
    ("Border", add_borders),
    ("Binding", add_binding),
    ("Backing", add_backing),
    ("Batting", add_batting),
    ("Hanging sleeve", add_sleeve),
    ("Label", add_label),
)


def add_finishing(tools: Tools, finished_size: str) -> None:
    """Add what a Finishing sheet asks for to the fabrics, or compare it with what they have.

    Args:
        tools: The sheet, and the fabrics so far.
        finished_size: The fact of that name, for a sheet without the quilt's size; "".
    """
    asked = [(part, add) for part, add in _PARTS if _is_asked(tools, part)]
    size = quilt_size(tools.labels, finished_size, tools.rules)
    if size is None:
        if (
            asked
            and not tools.labels.lacks_size
            and not tools.labels.has("Quilt width", "Quilt length", "Sashing width", "Setting")
        ):
            tools.labels.error(
                "",
                "the size of the quilt is not stated",
                "Type Quilt width and Quilt length, each in a row of its own.",
            )
        return
    for _, add in asked:
        add(tools, size)


def _is_asked(tools: Tools, part: str) -> bool:
    """Whether the sheet asks for a part, or a fabric waits for it without any figure."""
    labels = tools.labels
    if labels.says_no(part):
        return False
    if labels.names(part):
        return True
    use = {"Binding": Use.BINDING, "Backing": Use.BACKING}.get(part)
    return any(
        use_of(draft.role) is use and not draft.pieces and draft.requirement is None
        for draft in tools.drafts.all()
    )
