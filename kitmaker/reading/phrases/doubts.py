"""What is not sure although every number has its part: strips or sub-cuts, totals that differ."""

from __future__ import annotations

import re
from dataclasses import replace

from kitmaker.errors import Level
from kitmaker.lengths import Length, say_number
from kitmaker.pattern import PieceKind, Shape
from kitmaker.reading.phrases.bench import Bench
from kitmaker.reading.phrases.model import Cut, FabricFacts
from kitmaker.reading.phrases.plain import UnsureError
from kitmaker.reading.phrases.sentences import Clause, is_cutting

_ONCE_MORE = re.compile(
    r"\b(?:the\s+same|another|again|additional|double|twice\s+as|as\s+many|extra)\b", re.IGNORECASE
)
_LIKE_ANOTHER = re.compile(
    r"(?:(?:the\s+)?same\s+as|as|like|ditto|same)\b(?=\s*$|.*\b(?:fabric|prints?|block|above|before|[a-z]|\d+)\W*$)",
    re.IGNORECASE,
)


def along_strip(cut: Cut, width: Length) -> Length:
    """Return the inches of a strip that one piece takes."""
    measures = (cut.width, cut.length or cut.width)
    return max(measures) if width not in measures else sum(measures) - width


def doubt_sub_cuts(bench: Bench, new: list[Cut], clause: Clause) -> None:
    """Ask about, or warn of, pieces that might be sub-cuts without being called so.

    Raises:
        UnsureError: Pieces stand beside a strip they fit, without a word between.
    """
    _refuse_beside(bench, new, clause)
    strips = bench.whole_strips()
    for cut in new:
        if cut.kind is not PieceKind.PIECE:
            continue
        for width in {one.width for one in strips} & {cut.width, cut.length or cut.width}:
            held = sum(one.quantity for one in strips if one.width == width)
            if along_strip(cut, width) * cut.quantity <= held * bench.facts.widest_width:
                here = any(one.line == bench.number and not one.words for one in strips)
                if here or _takes_all(cut, width, held, bench.facts.narrowest_width):
                    raise UnsureError(
                        f"whether '{cut.name}' is cut from the strips before it is not said",
                        "Write 'sub-cut into' between them, or put them on lines of their own.",
                    )
                bench.find(
                    Level.WARNING,
                    f"'{cut.name}' is read as cut beside the strips above it, not from them",
                    "Write 'sub-cut into' before it if it is cut from those strips.",
                )
                break


def gives_just(strip: Cut, pieces: list[Cut], facts: FabricFacts) -> bool:
    """Whether strips across the fabric give just these pieces: one strip fewer would not do."""
    width = strip.width
    if not pieces or any(width not in (cut.width, cut.length) for cut in pieces):
        return False
    if len(pieces) == 1:
        from_one = facts.narrowest_width // along_strip(pieces[0], width)
        return from_one > 0 and -(-pieces[0].quantity // from_one) == strip.quantity
    needed = sum((along_strip(cut, width) * cut.quantity for cut in pieces), Length(0))
    most = facts.widest_width * strip.quantity
    return most - facts.widest_width < needed <= most


def _takes_all(cut: Cut, width: Length, held: int, across: Length) -> bool:
    """Whether pieces would take just the strips that lie at hand, two or more of them."""
    from_one = across // along_strip(cut, width)
    return held > 1 and from_one > 0 and -(-cut.quantity // from_one) == held


def _refuse_beside(bench: Bench, new: list[Cut], clause: Clause) -> None:
    if re.search(r"\band\b|\+", clause.text):
        return
    for at, strip in enumerate(new):
        if strip.kind is not PieceKind.STRIP:
            continue
        held = strip.quantity * bench.facts.widest_width
        # Parted from it, or with a purpose of its own, it is not what pieces before are cut from.
        for cut in new[at:] if strip.words or ";" in clause.text else new:
            fits = cut.kind is PieceKind.PIECE and strip.width in (cut.width, cut.length)
            if fits and along_strip(cut, strip.width) * cut.quantity <= held:
                raise UnsureError(
                    f"whether '{cut.name}' is cut from the strips beside it is not said",
                    "Write 'sub-cut into' between them, or put them on lines of their own.",
                )


def check_strips_suffice(bench: Bench, new: list[Cut], strips: list[Cut], used: int) -> None:
    """Warn where strips do not give what is cut from them."""
    if len(strips) != 1:
        return
    width = strips[0].width
    needed = sum((along_strip(cut, width) * cut.quantity for cut in new), Length(0))
    if needed > used * bench.held_by(strips[0]):
        bench.find(
            Level.WARNING,
            f"{used} strips of {say_number(width)} in do not give all that is cut from them",
            "The pieces are counted as they are written; look at the numbers.",
        )


def check_totals(bench: Bench, totals: list[tuple[int, str]], before: int, blocks: int = 1) -> None:
    """Compare what a line says it comes to with what was read.

    Args:
        bench: The cuts so far.
        totals: What the line says, with the words for what.
        before: How many cuts there were before the line.
        blocks: How many blocks it is for, where it counts what one takes.

    Raises:
        UnsureError: The two differ.
    """
    new = bench.cuts[before:] or bench.cuts[-1:]
    if len(new) == 1 and new[0].kind is PieceKind.PIECE:
        for total, what in totals:
            _check_total(bench, new[0], total, what, blocks)
        return
    counts = {cut.quantity for cut in new if cut.kind is not PieceKind.JOINED}
    sums = {sum(cut.quantity for cut in new), 2 * sum(cut.quantity for cut in new)}
    for total, _ in totals:
        if new and total not in counts | sums:
            raise UnsureError(
                f"what it says comes to {total} is not said for sure", "Type one line for each cut."
            )


def _check_total(bench: Bench, cut: Cut, total: int, what: str, blocks: int) -> None:
    """Compare one total with the one cut it can speak of."""
    of_triangles = re.search(r"triangle|hst|qst", what) is not None
    if of_triangles and cut.shape is Shape.SQUARE:
        cut = _as_triangles(bench, cut, total, what)
    pieces = {Shape.CUT_ONCE: 2, Shape.CUT_TWICE: 4}.get(cut.shape)
    made = cut.quantity * (pieces or 1)
    # "to make 8 triangles" under "from each print" counts those of one print.
    said = {total, total * blocks * (cut.from_each or 1)} if pieces is not None else {total}
    if made in said or (pieces is not None and cut.quantity in said):
        return
    if of_triangles and pieces is None and total in {2 * made, 4 * made, 8 * made}:
        return
    if pieces is not None and made > total:
        bench.find(
            Level.WARNING,
            f"the squares give {made} triangles, of which {total} are said to be used",
        )
        return
    raise UnsureError(f"it says {total} in all, but {made} were counted", "Type the right count.")


def _as_triangles(bench: Bench, cut: Cut, total: int, what: str) -> Cut:
    """Read squares that come to twice or four times as many triangles as cut on the diagonal."""
    shape = {2: Shape.CUT_ONCE, 4: Shape.CUT_TWICE}.get(total // cut.quantity)
    if shape is None or total % cut.quantity:
        return cut
    if (shape is Shape.CUT_ONCE and "qst" in what) or (shape is Shape.CUT_TWICE and "hst" in what):
        return cut
    if "triangle" not in what or "square" in what:
        bench.find(
            Level.WARNING,
            f"whether the squares are cut on the diagonal to come to {total} is not said",
            "Write 'cut once on the diagonal' or 'cut twice on the diagonal' if they are.",
        )
        return cut
    bench.cuts[bench.cuts.index(cut)] = replace(cut, shape=shape)
    return replace(cut, shape=shape)


def refuse_once_more(signs: str) -> None:
    """Refuse a sentence that asks for what another one does: ``As print 1``.

    Raises:
        UnsureError: It does.
    """
    asks = is_cutting(signs) and not re.search(r"\d", signs)
    once_more = _ONCE_MORE.search(signs) if asks else _LIKE_ANOTHER.match(signs)
    if once_more:
        raise UnsureError(
            f"what '{once_more.group(0)}' adds is not said for sure",
            "Type each cut with its count and size.",
        )
