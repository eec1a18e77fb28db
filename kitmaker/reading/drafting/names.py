"""What a page calls its fabrics: the names of its amounts found again above its cuts and in them.

A name is a letter or number (Fabric A), words (cream solid), and what it is for, in brackets. A
shorter name means the one fabric whose name holds it; where several hold it, none is meant for
sure. Nothing here is ever guessed: what is not sure is said so.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from kitmaker.reading.words.lexicon import FRACTION_SIGNS, word_set

_NO_LABEL = (
    rf"(?!\s*(?:[/{FRACTION_SIGNS}\"″×]|in\b|x\b|y(?:ar)?ds?\b|sq|str|fat\b|m\b|cm\b|[-–—.]*\d))"
)
_LABEL = re.compile(
    r"\b(?:(?:fabrics?|colou?rs?|prints?|materials?|cloth|solids?)\s*(?:\s|(?=\d)|#|no\.?\s|number\s)"
    rf"\s*|no\.\s*|#\s*)(?P<label>(?-i:[A-Z]{{1,2}})|\d{{1,2}})\b{_NO_LABEL}",
    re.IGNORECASE,
)
_LOST_LABEL = re.compile(r"\b(?:no\.?|number|#)\s*$", re.IGNORECASE)
_LOST = "?"
"""A label that was parted from its name."""
_BARE_LABEL = re.compile(r"\s*\(?(?P<label>[A-Z]{1,2}|\d{1,2})\)?\s*(?:[:.)=]|\s[–—-])\s+(?=\D)")
_ALONE = re.compile(r"\(?(?P<label>[A-Z]{1,2})\)?")
_BRACKET = re.compile(r"\(([^()]*)\)")
_GOODS = re.compile(
    r"\b(?:fat|long)\s+(?:quarter|eighth)s?\b|\bfqs?\b|\bpanels?\b|\b\d{1,2}\s+(?:print|fabric|colou?r)s\b",
    re.IGNORECASE,
)
_LITTLE = word_set(
    """
    the from of a an each every all both fabric fabrics cut cuts cutting and or in for to
    with remaining rest piece pieces your one these those out assorted various quilting
    cotton cottons cloth material materials colour color following next first same
    """
)
_GENERIC = word_set(
    """
    print solid tonal floral dot stripe plaid check batik blender texture tone-on-tone tone
    on quarter fat strip square precut scrap
    """
)
_STRUCTURE = word_set(
    """
    star block border binding corner center centre sashing cornerstone square strip
    rectangle triangle unit row setting backing top side inner outer middle first second
    third blade leaf patch piece large small wide long short left right
    """
)
_TELLS_NOTHING = _GENERIC | _STRUCTURE
"""Words that many fabrics of a pattern share."""


def _stem(word: str) -> str:
    if word.endswith("ies"):
        return word[:-3] + "y"
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _words(text: str) -> frozenset[str]:
    found = re.findall(r"[a-zà-ÿ]+(?:[-'’][a-zà-ÿ]+)*", text.casefold().replace("gray", "grey"))
    return frozenset(_stem(word) for word in found if word not in _LITTLE)


def goods_in(text: str) -> str:
    """Return the ready-cut goods that a text names; "" for none."""
    found = _GOODS.search(text)
    goods = re.sub(r"\s+", " ", found[0].casefold()).removesuffix("s") if found else ""
    return "fat quarter" if goods == "fq" else goods


@dataclass(frozen=True, slots=True)
class Name:
    """A fabric's name taken apart."""

    label: str  # its letter or number; ""
    words: frozenset[str]  # the words of the name
    uses: frozenset[str]  # what stands in brackets, what it is for

    @classmethod
    def of(cls, text: str, *, in_list: bool = False, use: str = "") -> Name:
        """Take a name apart.

        In a list of amounts ``A:`` is a label; ``use`` has more words of what it is for.
        """
        uses = frozenset(word for part in (*_BRACKET.findall(text), use) for word in _words(part))
        plain = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", _BRACKET.sub(" ", text))  # a lost gap
        label = ""
        if (found := _LABEL.search(plain)) is not None:
            label = found["label"].upper()
            plain = plain[: found.start()] + " " + plain[found.end() :]
        elif in_list and (found := _BARE_LABEL.match(plain)) is not None:
            label, plain = found["label"].upper(), plain[found.end() :]
        elif _LOST_LABEL.search(plain):
            label = _LOST
        return cls(label, _words(plain), uses)


def _unlike(name: Name, said: frozenset[str]) -> bool:
    """Whether a name and some words each say what the other does not: two fabrics, not one."""
    ours, theirs = name.words & _GENERIC, said & _GENERIC
    if ours and theirs and not ours & theirs:
        return True
    more = said - name.words - name.uses - _TELLS_NOTHING
    return bool(more and name.words - said - _GENERIC)


@dataclass(slots=True)
class FabricNames:
    """The fabrics of a page by their names."""

    # each fabric's role with its name taken apart, in order
    known: dict[str, Name] = field(default_factory=dict)
    # of each, what it is bought as, such as fat quarters; ""
    goods: dict[str, str] = field(default_factory=dict)

    def add(self, role: str, *, in_list: bool = True, sold_as: str = "", use: str = "") -> str:
        """Take a fabric; return its role, or that of the one with just this name already.

        Two of one name are two fabrics where each is for something else.
        """
        name = Name.of(role, in_list=in_list, use=use)
        for other, known in self.known.items():
            if (name.label, name.words) == (known.label, known.words) and (
                name.label or name.words
            ):
                if not name.uses or not known.uses or name.uses & known.uses:
                    return other
                role = f"{role} ({use})" if use else role
        self.known[role] = name
        self.goods[role] = goods_in(sold_as)
        return role

    def find(self, text: str) -> tuple[str, ...]:
        """Return the fabrics that a name may mean: one where it is sure, none, or several."""
        alone = _ALONE.fullmatch(text.strip().rstrip(":.–—- "))
        name = Name.of(text)
        label = alone["label"] if alone is not None else name.label
        if label:
            labeled = self._where(lambda known: known.label == label)
            if labeled or alone is not None:
                return self._agreeing(labeled, name.words)
        begun = self._begun(text)
        if len(begun) == 1 and not label:
            return begun
        goods = goods_in(text)
        sold = tuple(role for role, of in self.goods.items() if goods and of == goods)
        if len(sold) == 1 or not name.words:
            return sold
        said, telling = name.words, name.words - _GENERIC
        for fits in (
            lambda known: known.words == said,
            lambda known: said <= known.words and bool(said - _STRUCTURE),
            lambda known: bool(known.words - _TELLS_NOTHING) and known.words - _GENERIC <= said,
            lambda known: said <= known.uses,
            lambda known: bool(telling - _STRUCTURE) and telling <= known.words,
            lambda known: bool(said & self._own_words(known)),
        ):
            alike = (role for role in self._where(fits) if not _unlike(self.known[role], said))
            if found := tuple(alike):
                is_otherwise = label and any(self.known[role].label for role in found)
                return () if is_otherwise else found
        return sold

    def _begun(self, text: str) -> tuple[str, ...]:
        said = " ".join(re.findall(r"[^\W_]+", re.sub(r"^(?:the|each)\s+", "", text.casefold())))
        names = {role: " ".join(re.findall(r"[^\W_]+", role.casefold())) for role in self.known}
        return tuple(
            role for role, known in names.items() if said and f"{known} ".startswith(f"{said} ")
        )

    def mentioned(self, text: str) -> tuple[str, ...]:
        """Return the fabrics that a line of words speaks of by words of their own."""
        words, found = _words(text), dict[str, None]()
        labels = {label["label"].upper() for label in _LABEL.finditer(text)}
        shared: dict[str, None] = {}
        for role, name in self.known.items():
            own = self._own_words(name)
            if (name.label and name.label in labels) or words & own:
                found[role] = None
            elif words & (name.words - _TELLS_NOTHING - own):
                shared[role] = None
        return tuple(found or shared)

    def _own_words(self, name: Name) -> frozenset[str]:
        """Return the words that only this fabric's name has, but for words of shapes and parts."""
        others = [known.words for known in self.known.values() if known is not name]
        return name.words - _TELLS_NOTHING - frozenset(word for other in others for word in other)

    def _where(self, fits: Callable[[Name], bool]) -> tuple[str, ...]:
        return tuple(role for role, name in self.known.items() if fits(name))

    def _agreeing(self, labeled: tuple[str, ...], words: frozenset[str]) -> tuple[str, ...]:
        """Return the fabrics of a label, or others that the words beside it speak of."""
        said = words - _TELLS_NOTHING
        if not said:
            return labeled
        fitting = tuple(role for role in labeled if said <= self.known[role].words)
        if fitting:
            return fitting
        wordless = tuple(role for role in labeled if not self.known[role].words)
        others = self._where(lambda known: bool(said & known.words))
        return tuple(dict.fromkeys((*wordless, *others))) or labeled
