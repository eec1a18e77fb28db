"""How large a quilt is, and the part inside its borders: stated, or worked out, and compared.

+---------------------+
|  border             |   quilt = top + 2 × all borders
|   +-------------+   |   top   = blocks and sashing
|   |     top     |   |
|   +-------------+   |
+---------------------+
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from kitmaker.arithmetic.figures import CutRules
from kitmaker.arithmetic.finishing import Sashing, sashing
from kitmaker.arithmetic.sewn_units import OnPointSetting, on_point_setting
from kitmaker.lengths import Length, LengthError, parse_length, say_size
from kitmaker.reading.cells import BY
from kitmaker.reading.finishing_sheet import FinishingLabels

MOST_BORDERS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class BorderAsked:
    """One border as the sheet asks for it.

    Attributes:
        number: 1 for the innermost.
        key: The label of its width.
        finished_width: Inches.
    """

    number: int
    key: str
    finished_width: Length

    def label(self, what: str, labels: FinishingLabels) -> str:
        """Return its own label for something, else that of all borders."""
        own = f"Border {self.number} {what}"
        return own if labels.has(own) else f"Border {what}"


@dataclass(frozen=True, slots=True, kw_only=True)
class QuiltSize:
    """Finished measures, inches.

    Attributes:
        width: The whole quilt.
        length: The whole quilt.
        top_width: Inside the borders.
        top_length: Inside the borders.
        borders: From the inside out.
        sashing: Sashes and cornerstones; None where none are asked for.
        setting: The triangles round blocks on point; None for blocks set straight.
    """

    width: Length
    length: Length
    top_width: Length
    top_length: Length
    borders: tuple[BorderAsked, ...]
    sashing: Sashing | None
    setting: OnPointSetting | None


def borders_asked(labels: FinishingLabels) -> tuple[BorderAsked, ...]:
    """Return the borders whose width is stated and more than nothing, from the inside out."""
    found = []
    for number in range(1, MOST_BORDERS + 1):
        key = f"Border {number} width"
        if number == 1 and not labels.has(key):
            key = "Border width"
        width = labels.length(key, may_be_zero=True)
        if width:
            found.append(BorderAsked(number=number, key=key, finished_width=width))
    return tuple(found)


def sashing_asked(labels: FinishingLabels, seam: Length) -> Sashing | None:
    """Return the sashing; None where none is asked for or something is missing (an error)."""
    width = labels.length("Sashing width", may_be_zero=True)
    if not width:
        return None
    counted = _blocks(labels, "Sashing width", "sashing needs")
    if counted is None:
        return None
    across, down, block = counted
    around = labels.says_yes("Sashing around", otherwise=True)
    if not labels.has("Sashing around"):
        labels.warning(
            "an estimate: the sashing is taken to go all round the blocks",
            "State Sashing around as yes or no.",
            "Sashing width",
        )
    return sashing(across, down, block, width, all_round=around, seam=seam)


_SETTINGS = {"on point": ("diagonal", "diagonally"), "straight": ("straight set", "side by side")}


def setting_asked(labels: FinishingLabels, rules: CutRules) -> OnPointSetting | None:
    """Return the setting of blocks on point; None where none is asked for or it is not sure."""
    if labels.choice("Setting", _SETTINGS) != "on point":
        return None
    if labels.length("Sashing width", may_be_zero=True):
        labels.error(
            "Setting",
            "blocks on point with sashing between them are not worked out",
            "Leave Sashing width out, and state as Block size a block with its sashing.",
        )
        return None
    counted = _blocks(labels, "Setting", "blocks on point need")
    return None if counted is None else on_point_setting(*counted, rules.step)


def _blocks(labels: FinishingLabels, key: str, needs: str) -> tuple[int, int, Length] | None:
    """Return the blocks across and down and their size; None with an error where one misses."""
    block = labels.length("Block size")
    across, down = labels.count("Blocks across"), labels.count("Blocks down")
    missing = [
        name
        for name, value in (("Block size", block), ("Blocks across", across), ("Blocks down", down))
        if value is None and not labels.has(name)
    ]
    if missing and not labels.lacks_size:
        labels.error(
            key,
            f"{needs} {', '.join(missing)}, which is not stated",
            "Type it in a row of its own.",
        )
    return None if block is None or across is None or down is None else (across, down, block)


def quilt_size(labels: FinishingLabels, finished_size: str, rules: CutRules) -> QuiltSize | None:
    """Return the quilt's size; None where it is not known for sure.

    Args:
        labels: The sheet.
        finished_size: The fact of that name, for a sheet without the quilt's size; "".
        rules: The seam allowance, inches, and what sizes are rounded up to.
    """
    borders = borders_asked(labels)
    around = 2 * sum((border.finished_width for border in borders), Fraction(0))
    setting = setting_asked(labels, rules)
    sashes = None if setting else sashing_asked(labels, rules.seam)
    whole = _pair(labels, "Quilt") or _from_fact(labels, finished_size)
    top = _pair(labels, "Top")
    laid = setting or sashes
    blocks = None if laid is None else (laid.finished_width, laid.finished_length)
    come_to = "blocks on point come to" if setting else "blocks and sashing come to"
    _compare(labels, "Top width", "the top is stated as", top, come_to, blocks)
    inside = top or blocks
    if whole is None:
        if inside is None:
            return None
        whole = (inside[0] + around, inside[1] + around)
    elif min(whole) <= around:
        labels.error("Quilt width", "the borders are wider than the quilt", "Look at both.")
        return None
    worked = None if inside is None else (inside[0] + around, inside[1] + around)
    _compare(
        labels, "Quilt width", "the quilt is stated as", whole, "top and borders come to", worked
    )
    left = (whole[0] - around, whole[1] - around)
    used = inside or left
    return QuiltSize(
        width=whole[0],
        length=whole[1],
        top_width=used[0],
        top_length=used[1],
        borders=borders,
        sashing=sashes,
        setting=setting,
    )


def _pair(labels: FinishingLabels, of: str) -> tuple[Length, Length] | None:
    width, length = labels.length(f"{of} width"), labels.length(f"{of} length")
    if (width is None) != (length is None):
        there, missing = (
            (f"{of} width", f"{of} length") if length is None else (f"{of} length", f"{of} width")
        )
        if not labels.has(missing) and not labels.lacks_size:
            labels.error(there, f"{missing} is not stated", f"Type {missing} in its own row.")
    return None if width is None or length is None else (width, length)


def _from_fact(labels: FinishingLabels, finished_size: str) -> tuple[Length, Length] | None:
    """Return the one size that the fact Finished size states; None for several or none."""
    parts = BY.split(finished_size.strip())
    if len(parts) != 2 or labels.has("Quilt width", "Quilt length"):
        return None
    unit = re.search(r"(in|inches|cm|\")\.?$", parts[1].strip())
    first = parts[0] if unit is None or unit[0] in parts[0] else f"{parts[0]} {unit[0]}"
    try:
        return parse_length(first, labels.unit), parse_length(parts[1], labels.unit)
    except LengthError:
        return None


def _compare(
    labels: FinishingLabels,
    key: str,
    said: str,
    stated: tuple[Length, Length] | None,
    other: str,
    worked: tuple[Length, Length] | None,
) -> None:
    """Warn with both figures where a stated size and a worked one differ; nothing is mended."""
    if stated is None or worked is None or stated == worked:
        return
    labels.warning(
        f"{said} {_say(labels, stated)}, but {other} {_say(labels, worked)}",
        "Look at both figures, and keep the right one.",
        key,
    )


def _say(labels: FinishingLabels, size: tuple[Length, Length]) -> str:
    return " × ".join(say_size(one, labels.unit) for one in size) + f" {labels.unit.value}"
