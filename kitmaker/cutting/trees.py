"""Layouts while they are being searched: trees of whole numbers, without the waste.

A *tree* says which pieces lie together and how they are separated; its measures are the
least that hold them. :func:`realize` lays a tree on a sheet, puts the waste in as offcuts
and gives exact inches. :func:`tidy` puts a tree into the order in which a person cuts it:
rounds of the same direction made one, equal parts together, the largest first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from kitmaker.cutting.layout import Axis, Part
from kitmaker.cutting.problem import Kind
from kitmaker.lengths import Length


@dataclass(frozen=True, slots=True)
class Tree:
    """Pieces that lie together.

    Attributes:
        across, along: The least measures that hold them, units.
        kind: For a single piece, the index of its kind; -1 for several.
        turned: For a single piece, whether it is turned.
        axis: How the children follow one another; None for a single piece.
        children: At least two; empty for a single piece.
    """

    across: int
    along: int
    kind: int = -1
    turned: bool = False
    axis: Axis | None = None
    children: tuple[Tree, ...] = ()

    def count_into(self, counts: list[int]) -> None:
        """Add the number of each kind to a list of counts."""
        if self.axis is None:
            counts[self.kind] += 1
        for child in self.children:
            child.count_into(counts)

    def renamed(self, back: Sequence[int]) -> Tree:
        """Return the same layout with the kinds' indices replaced."""
        if self.axis is None:
            return replace(self, kind=back[self.kind])
        return replace(self, children=tuple(child.renamed(back) for child in self.children))

    def mirrored(self) -> Tree:
        """Return the same layout with across and along changed for one another."""
        axis = None if self.axis is None else self.axis.other
        children = tuple(child.mirrored() for child in self.children)
        return replace(
            self,
            across=self.along,
            along=self.across,
            axis=axis,
            children=children,
        )

    def measure(self, axis: Axis) -> int:
        """The measure in a direction."""
        return self.across if axis is Axis.ACROSS else self.along


def piece_tree(across: int, along: int, kind: int, *, turned: bool) -> Tree:
    """Return the tree of a single piece."""
    return Tree(across, along, kind, turned)


def join(axis: Axis, parts: Sequence[Tree]) -> Tree:
    """Return the tree of parts that follow one another in a direction."""
    if len(parts) == 1:
        return parts[0]
    flat: list[Tree] = []
    for part in parts:
        flat.extend(part.children if part.axis is axis else (part,))
    total = sum(part.measure(axis) for part in flat)
    widest = max(part.measure(axis.other) for part in flat)
    across, along = (total, widest) if axis is Axis.ACROSS else (widest, total)
    return Tree(across, along, -1, turned=False, axis=axis, children=tuple(flat))


def grid(piece: Tree, across: int, along: int) -> Tree:
    """Return rows of equal pieces: so many beside one another, in so many rows."""
    return join(Axis.ALONG, [join(Axis.ACROSS, [piece] * across)] * along)


def full_of_one_kind(kinds: Sequence[Kind], width: int, height: int) -> Iterator[Tree]:
    """Yield sheets full of one kind, lying each way that it may."""
    for index, kind in enumerate(kinds):
        for w, h, turned in kind.ways():
            if w <= width and h <= height:
                yield grid(piece_tree(w, h, index, turned=turned), width // w, height // h)


def tidy(tree: Tree) -> Tree:
    """Return the same layout in cutting order: largest first, equal parts together."""
    if tree.axis is None:
        return tree
    axis = tree.axis

    def order(child: Tree) -> tuple[int, int, int, bool]:
        return -child.measure(axis), -child.measure(axis.other), child.kind, child.turned

    children = sorted(map(tidy, tree.children), key=order)
    runs = (list(run) for _, run in groupby(children, order))
    return join(axis, [child for run in runs for child in _equal_together(run)])


def _equal_together(parts: list[Tree]) -> list[Tree]:
    """Return parts of one size with the equal ones behind one another."""
    return parts if all(part == parts[0] for part in parts) else sorted(parts, key=repr)


def prune(tree: Tree, surplus: Sequence[int]) -> Tree | None:
    """Return the tree without the pieces that are too many, from the end of the cutting.

    Args:
        tree: A tidy tree.
        surplus: How many of each kind may go.
    """
    left = list(surplus)
    return _prune(tree, left)


def _prune(tree: Tree, left: list[int]) -> Tree | None:
    if tree.axis is None:
        if left[tree.kind] > 0:
            left[tree.kind] -= 1
            return None
        return tree
    kept = [part for child in reversed(tree.children) if (part := _prune(child, left))]
    return join(tree.axis, kept[::-1]) if kept else None


def tally(tree: Tree, kinds: int) -> tuple[int, ...]:
    """Return how many of each kind a tree holds."""
    counts = [0] * kinds
    tree.count_into(counts)
    return tuple(counts)


def realize(tree: Tree, across: int, along: int, unit: Length, name: Callable[[int], str]) -> Part:
    """Lay a tree on a part of cloth and put the waste in as offcuts.

    Args:
        tree: What to cut.
        across, along: The part's measures, units; at least the tree's.
        unit: Inches one unit has.
        name: The key of a kind; called once for each piece, in cutting order.
    """
    if tree.axis is None:
        leaf = Part(
            tree.across * unit,
            tree.along * unit,
            key=name(tree.kind),
            turned=tree.turned,
        )
        return _trim(leaf, across, along, unit)
    axis = tree.axis
    room = across if axis is Axis.ACROSS else along
    parts = []
    for child in tree.children:
        if axis is Axis.ACROSS:
            parts.append(realize(child, child.across, along, unit, name))
        else:
            parts.append(realize(child, across, child.along, unit, name))
        room -= child.measure(axis)
    if room:
        size = (room, along) if axis is Axis.ACROSS else (across, room)
        parts.append(Part(size[0] * unit, size[1] * unit))
    return Part(across * unit, along * unit, axis, tuple(parts))


def _trim(leaf: Part, across: int, along: int, unit: Length) -> Part:
    wide, long = across * unit, along * unit
    part = leaf
    # A piece is first cut off at its own length along the part, then trimmed to width.
    if part.along < long:
        part = Part(part.across, long, Axis.ALONG, (part, Part(part.across, long - part.along)))
    if part.across < wide:
        part = Part(wide, long, Axis.ACROSS, (part, Part(wide - part.across, long)))
    return part


@dataclass(frozen=True, slots=True)
class Column:
    """One way of cutting a sheet or a stretch, as the master problem sees it.

    Attributes:
        counts: Pieces of each kind.
        tree: How they lie.
        size: What it takes: 1 for a sheet, the units along for a stretch off the bolt.
    """

    counts: tuple[int, ...]
    tree: Tree
    size: int

    def __hash__(self) -> int:
        """Leave the tree out, which takes long: few columns of the same pieces are as large."""
        return hash((self.counts, self.size))


def levels(tree: Tree, across: int, along: int) -> int:
    """Return the rounds of parallel cuts the tree takes on a sheet, trimming counted.

    It is the depth of what :func:`realize` makes of the tree, without making it.
    """
    if tree.axis is None:
        return (tree.along < along) + (tree.across < across)
    if tree.axis is Axis.ACROSS:
        return 1 + max(levels(child, child.across, along) for child in tree.children)
    return 1 + max(levels(child, across, child.along) for child in tree.children)


def largest_offcut(tree: Tree, across: int, along: int) -> int:
    """Return the square units of the largest rectangle left over of a sheet.

    It is the largest offcut of what :func:`realize` makes of the tree, without making it.
    """
    if tree.axis is None:  # cut off at its own length first, then trimmed to width
        return max(tree.across * (along - tree.along), (across - tree.across) * along)
    if tree.axis is Axis.ACROSS:
        inner = (largest_offcut(child, child.across, along) for child in tree.children)
        return max((across - tree.across) * along, *inner)
    inner = (largest_offcut(child, across, child.along) for child in tree.children)
    return max(across * (along - tree.along), *inner)


def chosen_of(columns: Sequence[Column], copies: Sequence[int]) -> Counter[Column]:
    """Return the columns that are used, with their copies."""
    return Counter({column: n for column, n in zip(columns, copies, strict=True) if n})


def total(columns: Counter[Column], kinds: int) -> list[int]:
    """Return how many of each kind a choice of columns gives."""
    made = [0] * kinds
    for column, copies in columns.items():
        for kind, count in enumerate(column.counts):
            made[kind] += count * copies
    return made
