"""What strangers type into cells, and phrases with a known meaning, for property tests."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from fractions import Fraction

from hypothesis import strategies as st

WORDS = (
    *("cut", "Cut", "sub-cut", "into", "from each", "strips", "squares", "rectangles", "WOF", "x"),
    *("×", "--", "–", "-", "(", ")", '"', "″", "½", "1/2", "51/4", "2 1/2", "2.5", "12", "five"),
    *("of", "each", "total", "or", "diagonally", "once", "twice", "@", "lengthwise", "border"),
    *("binding", "yd", "cm", "6,35 cm", "fat quarters", "remaining", "these", "the", "and", ";"),
    *("\n", ".", ",", ":", "A =", "(A)", "to total", '400"', "!^2”", "?", "{9}", "[3]", "1O", "∅"),
    *("sets of", "pairs of", "for each of 9 blocks", "set aside", "sew", "join", "then", "HSTs"),
)

texts = st.one_of(
    st.text(max_size=60),
    st.lists(st.sampled_from(WORDS), max_size=14).map(" ".join),
    st.lists(st.sampled_from(WORDS), max_size=10).map("".join),
)
values = st.one_of(
    st.none(),
    texts.map(lambda text: "".join(char for char in text if char.isprintable() or char == "\n")),
    st.integers(-(10**18), 10**18),
    st.floats(allow_nan=False, allow_infinity=False),
    st.booleans(),
    st.dates(date(1950, 1, 1), date(2090, 1, 1)),
    st.datetimes(datetime(1950, 1, 1), datetime(2090, 1, 1)),  # noqa: DTZ001
    st.times(time(0), time(23, 59, 59)),
    st.sampled_from(["=1/0", "=A1", "#REF!", "NA", "None", "inf", "NaN", "1e3", "(5)", "−5", "- "]),
)
headings = st.sampled_from(
    [
        *("Fabric", "Piece", "Cut width", "Cut length", "Quantity", "Shape", "Direction", "Notes"),
        *("Requirement", "Cutting instructions", "Quantity crib", "Quantity throw", "Form", "SKU"),
        *("Prints", "Usable width", "Cut size", "Next cuts", "Fabric", "Width", "Total", "", "Qty"),
    ]
)
grids = st.tuples(
    st.lists(headings, min_size=2, max_size=8),
    st.lists(st.lists(values, max_size=8), max_size=6),
)

eighths = st.integers(4, 160).map(lambda number: Fraction(number, 8))
counts = st.integers(1, 200)


@dataclass(frozen=True, slots=True)
class Said:
    """A phrase and what it says: count, width, length (None for a whole strip)."""

    words: str
    count: int
    width: Fraction
    length: Fraction | None


_VULGAR = {1: "⅛", 2: "¼", 3: "⅜", 4: "½", 5: "⅝", 6: "¾", 7: "⅞"}
_UNITS = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve"),
)


@st.composite
def numbers(draw: st.DrawFn, number: Fraction) -> str:
    """A number in one of the ways in which patterns print it."""
    whole, rest = divmod(number, 1)
    if not rest:
        return str(whole)
    shown = f"{rest.numerator}/{rest.denominator}"
    ways = [f"{whole}-{shown}", f"{whole} {shown}", f"{whole}{_VULGAR[int(rest * 8)]}"]
    ways += [f"{whole} {_VULGAR[int(rest * 8)]}", f"{whole}-{shown.replace('/', '⁄')}"]
    ways.append(f"{float(number):g}")
    return draw(st.sampled_from(ways if whole else [shown, _VULGAR[int(rest * 8)]]))


@st.composite
def counted(draw: st.DrawFn, count: int) -> str:
    """A count with the mark that parts it from the size behind it."""
    ways = [f"({count})", f"{count}--", f"{count} –", f"Cut {count} –", f"Cut ({count})"]
    ways += [f"{{{count}}}", f"{count} @"] if count > 1 else []
    if count <= len(_UNITS):
        ways += [_UNITS[count - 1], f"{_UNITS[count - 1].capitalize()} ({count})"]
    return draw(st.sampled_from(ways))


@st.composite
def phrases(draw: st.DrawFn) -> Said:
    """A square, a rectangle or a strip, said in one of the forms the reader knows."""
    count, width = draw(counts), draw(eighths)
    mark = draw(st.sampled_from(['"', "”", "″", " in", " inch"]))
    first = draw(numbers(width))
    head = draw(counted(count))
    kind = draw(st.sampled_from(["square", "rectangle", "strip"]))
    plural = "s" if count != 1 else ""
    if kind == "square":
        way = draw(
            st.sampled_from(
                [f"{first}{mark} square{plural}", f"{first}{mark} x {first}{mark} squares"]
            )
        )
        return Said(f"{head} {way}", count, width, width)
    times = draw(st.sampled_from([" x ", " × ", "×", " by "]))
    if kind == "strip":
        length = draw(st.sampled_from(["WOF", "width of fabric", '42"']))
        if length == '42"' and 2 * width > 42:
            length = "WOF"
        return Said(f"{head} {first}{mark}{times}{length} strip{plural}", count, width, None)
    length = draw(eighths)
    second = draw(numbers(length))
    return Said(
        f"{head} {first}{mark}{times}{second}{mark} rectangle{plural}", count, width, length
    )
