"""The forms in which fabric is sold or bagged, and how people name them.

*Width* and *across* always mean selvage to selvage, *length* and *along* parallel to the
selvage. A form has a nominal size, which is what it is sold as, and a usable size, which
is what is sure to be there after squaring up. Only the usable size ever enters a plan.

The usable sizes are common practice, no source; a shop can state its own.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from kitmaker.lengths import CENTIMETER, Length, clean_text, say_decimal

_SIZED_NAME = re.compile(r"(\S+)-inch (.+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One way in which fabric goes into a bag."""

    form_id: str  # its name in lower case with hyphens, such as ``fat-quarter``
    name: str  # what people call one of it, such as ``fat quarter``
    plural: str  # what people call several
    nominal_across: Length  # inches, selvage to selvage
    nominal_along: Length | None  # inches along the selvage; None for fabric sold by length
    usable_across: Length  # inches that are sure to be there after squaring up
    usable_along: Length | None  # likewise; None for fabric sold by length
    # whether the usable size is the nominal one, so that a layout without any waste across one must
    # be measured first (ready-cut squares)
    full_size_only_if_measured: bool = False
    bundle_count: int | None = None  # how many come in a bundle; None when not sold in bundles
    # what one costs the shop (one yard or meter for fabric by length); None unknown
    cost: Decimal | None = None
    price: Decimal | None = None  # what one sells for; None unknown
    own: bool = False  # whether the shop's workbook defined it
    measured: bool = False  # whether these very pieces were measured, and the usable size is theirs
    # the forms of which any mix is meant, for ``fat-quarter+strip-2.5``; empty for a form by
    # itself. The sizes are then those of the largest
    mix: tuple[Form, ...] = ()

    def __post_init__(self) -> None:
        """Hold that a form has a size and no more usable cloth than cloth."""
        if self.usable_across <= 0 or (self.usable_along is not None and self.usable_along <= 0):
            raise ValueError(f"a form needs a usable size: {self}")
        if (self.nominal_along is None) != (self.usable_along is None):
            raise ValueError(f"a form is sold by length or it is not: {self}")

    @property
    def by_length(self) -> bool:
        """Whether it is cut off a bolt to any length."""
        return self.usable_along is None

    @property
    def stated_size(self) -> tuple[Length, Length | None]:
        """The size that a label states: the nominal one, or what was measured."""
        if self.measured:
            return self.usable_across, self.usable_along
        return self.nominal_across, self.nominal_along

    def count_phrase(self, count: int, *, sized: bool = True) -> str:
        """Say a number of them: ``1 fat quarter``, ``6 strips, 2½ in``.

        The count never runs into a number that the name begins or ends with: ``13 × Square 12``.

        Unless it is ``sized`` the size that is part of a name such as ``2½-inch strip`` is
        left out, as the measures follow anyway.
        """
        name = self.name if count == 1 else self.plural
        sized_name = _SIZED_NAME.fullmatch(name)
        if sized_name is not None:
            size, noun = sized_name.groups()
            return f"{count} {noun}, {size} in" if sized else f"{count} {noun}"
        has_number = name[:1].isnumeric() or name[-1:].isnumeric()
        return f"{count} × {name}" if has_number else f"{count} {name}"

    def bundle_phrase(self, count: int, *, whole_only: bool = False) -> str:
        """Say a number of them in bundles: ``1 bundle of 20 plus 4``; "" without a full one.

        With ``whole_only`` only whole bundles can be had, so that 4 are one bundle.
        """
        if self.bundle_count is None or self.bundle_count < 2:
            return ""
        bundles, rest = divmod(count, self.bundle_count)
        if whole_only and rest:
            bundles, rest = bundles + 1, 0
        if not bundles:
            return ""
        message = f"{bundles} bundle{'s' if bundles > 1 else ''} of {self.bundle_count}"
        return f"{message} plus {rest}" if rest else message

    @property
    def one(self) -> str:
        """Say one of them with its article: ``a fat quarter``, ``an eighth yard``."""
        if self.by_length:
            return self.name
        article = "an" if self.name[0].casefold() in "aeiou8" else "a"
        return f"{article} {self.name}"

    def with_usable_across(self, width: Length) -> Form:
        """Return the same form with another usable width, as a narrower bolt gives it."""
        return replace(self, usable_across=width)


def _fixed(
    form_id: str,
    name: str,
    nominal: tuple[str, str],
    usable: tuple[str, str],
    *,
    plural: str | None = None,
    unit: Length = Fraction(1),
    measured: bool = False,
) -> Form:
    return Form(
        form_id=form_id,
        name=name,
        plural=plural or f"{name}s",
        nominal_across=Fraction(nominal[0]) * unit,
        nominal_along=Fraction(nominal[1]) * unit,
        usable_across=Fraction(usable[0]) * unit,
        usable_along=Fraction(usable[1]) * unit,
        full_size_only_if_measured=measured,
    )


def _by_length(form_id: str, name: str, nominal: int, usable: int) -> Form:
    return Form(
        form_id=form_id,
        name=name,
        plural=name,
        nominal_across=Fraction(nominal),
        nominal_along=None,
        usable_across=Fraction(usable),
        usable_along=None,
    )


def _square(side: str, spoken: str) -> Form:
    return _fixed(
        f"square-{side}", f"{spoken}-inch square", (side, side), (side, side), measured=True
    )


YARDAGE_ID = "yardage"
WHOLE_WIDTH_FROM: Length = Fraction(36)
"""A form this wide or wider (nominal) is fabric from selvage to selvage."""

BUILT_IN_FORMS: tuple[Form, ...] = (
    _fixed("fat-quarter", "fat quarter", ("22", "18"), ("20", "16")),
    _fixed("fat-eighth", "fat eighth", ("22", "9"), ("20", "8")),
    _fixed("fat-half", "fat half", ("22", "36"), ("20", "34"), plural="fat halves"),
    _fixed("eighth-yard", "eighth yard", ("42", "4.5"), ("40", "4")),
    _fixed("long-quarter", "long quarter", ("42", "9"), ("40", "8")),
    _fixed("third-yard", "third yard", ("42", "12"), ("40", "11")),
    _fixed("half-yard", "half yard", ("42", "18"), ("40", "17")),
    _fixed("strip-2.5", "2½-inch strip", ("42", "2.5"), ("40", "2.5")),
    _fixed("strip-1.5", "1½-inch strip", ("42", "1.5"), ("40", "1.5")),
    _square("2.5", "2½"),
    _square("5", "5"),
    _square("6", "6"),
    _square("10", "10"),
    _by_length(YARDAGE_ID, "yardage", 42, 40),
    _by_length("wide-backing", "wide backing", 108, 104),
    _fixed(
        "fat-quarter-metric",
        "metric fat quarter",
        ("55", "50"),
        ("50", "45"),
        unit=CENTIMETER,
    ),
)

_NICKNAMES = {
    "fq": "fat-quarter",
    "f8": "fat-eighth",
    "fe": "fat-eighth",
    "bolt": YARDAGE_ID,
    "yard": YARDAGE_ID,
    "yards": YARDAGE_ID,
    "yardage off the bolt": YARDAGE_ID,
    "off the bolt": YARDAGE_ID,
    "by the yard": YARDAGE_ID,
    "by the meter": YARDAGE_ID,
    "quarter yard": "long-quarter",
    "2.5 square": "square-2.5",
    "charm square": "square-5",
}


def fold_name(name: str) -> str:
    """Return a name without case, spaces, hyphens and unit words, for comparing.

    ``Fat Quarters``, ``fat-quarter`` and ``FAT QUARTER`` fold to one key; so do ``2½-inch
    strip``, ``2.5 strip``, ``strip-2.5``: number and noun are put in one order.
    """
    text = clean_text(name).casefold().strip()
    text = re.sub(r"(\d+)[\s-]+(\d+)/(\d+)", _as_decimal_mixed, text)
    text = re.sub(r"(?<![\d.])(\d+)/(\d+)", _as_decimal_simple, text)
    text = re.sub(r"(\d)\s*-?\s*(?:\"|in\b\.?|inch\b|inches\b)", r"\1", text)
    words = [word for word in re.split(r"[\s\-_]+", text) if word]
    words = ["half" if word == "halves" else _singular(word) for word in words]
    numbers = [word for word in words if word[0].isdigit()]
    others = [word for word in words if not word[0].isdigit()]
    return "".join(others + numbers)


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _as_decimal_mixed(match: re.Match[str]) -> str:
    whole, top, bottom = (int(part) for part in match.groups())
    return say_decimal(whole + Fraction(top, bottom or 1), 4)


def _as_decimal_simple(match: re.Match[str]) -> str:
    return say_decimal(Fraction(int(match.group(1)), int(match.group(2)) or 1), 4)


class UnknownFormError(ValueError):
    """A name that no form has.

    Attributes:
        nearest: The ids of the forms whose names are nearest, best first.
    """

    def __init__(self, name: str, nearest: tuple[str, ...], why: str = "") -> None:
        super().__init__(f"there is no form '{name}'{why}")
        self.nearest = nearest

    @property
    def suggestion(self) -> str:
        """What to type instead."""
        if not self.nearest:
            return "Type one of the forms that 'kitmaker convert --help' lists."
        return f"Did you mean {' or '.join(self.nearest)}?"


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The forms a shop works with: the built-in ones, and its own instead or beside them."""

    forms: tuple[Form, ...] = BUILT_IN_FORMS

    def __iter__(self) -> Iterator[Form]:
        return iter(self.forms)

    def with_own(self, own: Iterable[Form]) -> Catalogue:
        """Return a catalogue in which the shop's forms replace or join the built-in ones."""
        merged = {form.form_id: form for form in self.forms}
        for form in own:
            merged[form.form_id] = form
        return Catalogue(tuple(merged.values()))

    def find(self, name: str) -> Form:
        """Return the form that people mean by a name.

        Raises:
            UnknownFormError: No form is called so; it carries the nearest names.
        """
        key = fold_name(name)
        key = fold_name(_NICKNAMES.get(clean_text(name).casefold().strip(), key))
        by_key: dict[str, Form] = {}
        for form in self.forms:
            for called in (form.form_id, form.name, form.plural):
                by_key.setdefault(fold_name(called), form)
        if key in by_key:
            return by_key[key]
        near = difflib.get_close_matches(key, list(by_key), n=4, cutoff=0.5)
        raise UnknownFormError(name, tuple(dict.fromkeys(by_key[one].form_id for one in near)))

    def means(self, name: str | None, form: Form) -> bool:
        """Return whether a name is that of a form; a name that is not known is none's."""
        try:
            return name is not None and self.find(name).form_id == form.form_id
        except UnknownFormError:
            return False

    def find_mix(self, name: str) -> Form:
        """Return the form of a name, or the mix that names joined by ``+`` mean.

        Raises:
            UnknownFormError: No form is called so, or a mix holds fabric by length.
        """
        if "+" not in name:
            return self.find(name)
        parts = tuple(dict.fromkeys(self.find(part) for part in name.split("+")))
        for part in parts:
            if part.by_length:
                why = f": {part.name} is cut to any length and cannot be part of a mix"
                raise UnknownFormError(name, (), why)
        if len(parts) == 1:
            return parts[0]
        largest = max(parts, key=lambda one: one.usable_across * (one.usable_along or 0))
        names = " and ".join(part.plural for part in parts)
        return replace(
            largest,
            form_id="+".join(part.form_id for part in parts),
            name=f"mix of {names}",
            plural=f"mix of {names}",
            cost=None,
            price=None,
            mix=parts,
        )

    def narrow(self, form_id: str) -> Form | None:
        """Return a form that is cut up and narrower than the bolt, such as a fat quarter.

        A strip "across the fabric" runs its own width. None for any other form, for squares
        and for what is no form.
        """
        found = next((form for form in self.forms if form.form_id == form_id), None)
        if found is None or found.by_length or found.full_size_only_if_measured:
            return None
        return found if found.nominal_across < WHOLE_WIDTH_FROM else None

    @property
    def yardage(self) -> Form:
        """Fabric off the bolt."""
        return self.find(YARDAGE_ID)


def form_id_of(name: str) -> str:
    """Return the id of a form the shop named: lower case, hyphens for spaces."""
    return re.sub(r"[\s_\-]+", "-", clean_text(name).casefold().strip())
