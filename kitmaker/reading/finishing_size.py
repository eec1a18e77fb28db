"""How large a quilt is, and the part inside its borders: stated, or worked out, and compared.

+---------------------+
|  border             |   quilt = top + 2 × all borders
|   +-------------+   |   top   = blocks and sashing
|   |     top     |   |
|   +-------------+   |
+---------------------+
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kitmaker.arithmetic.figures import CutRules
from kitmaker.arithmetic.finishing import Sashing, sashing
from kitmaker.arithmetic.sewn_units import OnPointSetting, on_point_setting
from kitmaker.lengths import Length, say_size
from kitmaker.reading.cells import pair_from_text
from kitmaker.reading.finishing_sheet import YES_OR_NO, FinishingLabels

MOST_BORDERS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class BorderAsked:
    """One border as the sheet asks for it."""

    number: int  # 1 for the innermost
    key: str  # the label of its width
    finished_width: Length  # inches

    def label(self, what: str, labels: FinishingLabels) -> str:
        """Return its own label for something, else that of all borders."""
        own = f"Border {self.number} {what}"
        return own if labels.has(own) else f"Border {what}"


@dataclass(frozen=True, slots=True)
class QuiltSize:
    """Finished measures, inches."""

    width: Length  # the whole quilt
    length: Length  # the whole quilt
    top_width: Length  # inside the borders
    top_length: Length  # inside the borders
    borders: tuple[BorderAsked, ...]  # from the inside out
    sashing: Sashing | None  # sashes and cornerstones; None where none are asked for
    # the triangles round blocks on point; None for blocks set straight
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
    around = labels.choice("Sashing around", YES_OR_NO) != "no"
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

    The fact ``Finished size`` stands in for a sheet without the quilt's size.
    """
    borders = borders_asked(labels)
    around = 2 * sum((border.finished_width for border in borders), Fraction(0))
    setting = setting_asked(labels, rules)
    sashes = None if setting else sashing_asked(labels, rules.seam)
    whole = _pair(labels, "Quilt")
    if whole is None and not labels.has("Quilt width", "Quilt length"):
        whole = pair_from_text(finished_size, labels.unit)
    top = _pair(labels, "Top")
    laid = setting or sashes
    blocks = None if laid is None else (laid.finished_width, laid.finished_length)
    come_to = "blocks on point come to" if setting else "blocks and sashing come to"
    _compare(labels, "Top width", "the top is stated as", top, come_to, blocks)
    inside = top or blocks
    worked = None if inside is None else (inside[0] + around, inside[1] + around)
    whole = whole or worked
    if whole is None:
        return None
    if min(whole) <= around and whole != worked:
        labels.error("Quilt width", "the borders are wider than the quilt", "Look at both.")
        return None
    come_to = "top and borders come to"
    _compare(labels, "Quilt width", "the quilt is stated as", whole, come_to, worked)
    used = inside or (whole[0] - around, whole[1] - around)
    return QuiltSize(*whole, *used, borders, sashes, setting)


def _pair(labels: FinishingLabels, of: str) -> tuple[Length, Length] | None:
    width, length = labels.length(f"{of} width"), labels.length(f"{of} length")
    if width is not None and length is not None:
        return width, length
    there, missing = f"{of} width", f"{of} length"
    if width is None:
        there, missing = missing, there
    if width != length and not labels.has(missing) and not labels.lacks_size:
        labels.error(there, f"{missing} is not stated", f"Type {missing} in its own row.")
    return None


def _compare(
    labels: FinishingLabels,
    key: str,
    text: str,
    stated: tuple[Length, Length] | None,
    other: str,
    worked: tuple[Length, Length] | None,
) -> None:
    """Warn with both figures where a stated size and a worked one differ; nothing is mended."""
    if stated is None or worked is None or stated == worked:
        return
    labels.warning(
        f"{text} {_say(labels, stated)}, but {other} {_say(labels, worked)}",
        "Look at both figures, and keep the right one.",
        key,
    )


def _say(labels: FinishingLabels, size: tuple[Length, Length]) -> str:
    return " × ".join(say_size(one, labels.unit) for one in size) + f" {labels.unit.value}"
