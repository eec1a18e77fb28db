"""What a heading says about the lines below it, until another takes its place."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from kitmaker.lengths import Length
from kitmaker.reading.phrases.elements import Element, Kind
from kitmaker.reading.phrases.items import Item
from kitmaker.reading.phrases.manners import Blocks
from kitmaker.reading.phrases.model import WIDEST_WHOLE_WIDTH, EachOf, FabricFacts
from kitmaker.reading.phrases.plain import UnsureError
from kitmaker.reading.phrases.sources import From, Source

_ONE_MORE = re.compile(
    r"(?:the\s+)?remaining\s+(?:[a-z]+\s+)*?(?:square|print|quarter|eighth|fq)", re.IGNORECASE
)

_SOME_MORE = re.compile(
    r"(?:the\s+)?remaining\s+(?:[a-z]+\s+)*?(?:squares|prints|quarters|eighths|fqs)", re.IGNORECASE
)


def _is_one_more(source: From) -> bool:
    """Whether a source is one piece of cloth that remains: ``the remaining square``."""
    return _ONE_MORE.fullmatch(source.name.strip(" ,:")) is not None


def _is_some_more(source: From) -> bool:
    """Whether a source is several pieces of cloth that remain: ``remaining fat quarters``."""
    return _SOME_MORE.fullmatch(source.name.strip(" ,:")) is not None


@dataclass(slots=True)
class Governing:
    """The headings in force.

    Attributes:
        is_each: Whether counts are for each print or piece of cloth.
        each: How many of those; None when the heading does not say.
        each_of: What "each" speaks of.
        was_bare_heading: Whether the heading had no cuts beside it.
        lengthwise: Whether pieces lie along the selvage.
        lengthwise_words: The purposes that this holds for; none for all.
        blocks: The blocks that counts are for.
        is_in_use: Whether something was counted by the heading in force.
        is_doubtful: Whether another title has come below what was counted by it.
        has_ended_each: Whether an "each" held for the sentence before this one.
    """

    is_each: bool = False
    each: int | None = None
    each_of: EachOf = EachOf.UNSAID
    was_bare_heading: bool = False
    lengthwise: bool = False
    lengthwise_words: frozenset[str] = field(default_factory=frozenset)
    blocks: Blocks | None = None
    is_in_use: bool = False
    is_doubtful: bool = False
    has_ended_each: bool = False

    def take_title(self, words: str) -> None:
        """Let a title, such as ``For the border:``, put in doubt what held for the lines above."""
        if not self.is_in_use:
            return
        if self.blocks is not None and words.casefold().startswith("for "):
            self.blocks = None
        elif self.blocks is not None or (self.is_each and self.was_bare_heading):
            self.is_doubtful = True

    def use(self) -> None:
        """Count something by the headings in force.

        Raises:
            UnsureError: Whether they still hold is not said.
        """
        self.is_in_use = self.is_each or self.blocks is not None
        if self.is_doubtful and self.is_in_use:
            raise UnsureError(
                "whether the count is still for each, as further up, is not said for sure",
                "Type the total, or 'From each … cut' once more.",
            )

    def begin(self, text: str) -> None:
        """Let a line with a verb of its own end what a heading with cuts beside it governed."""
        self.has_ended_each = self.has_ended_each and not re.match(r"cut\b", text, re.IGNORECASE)
        has_verb = re.match(r"(?:from|cut|sub-?\s?cut|then)\b", text, re.IGNORECASE)
        if self.is_each and not self.was_bare_heading and has_verb:
            self.is_each, self.each, self.has_ended_each = False, None, True

    def take_source(self, source: From, rest: str) -> None:
        """Take what a line says its cuts come from; ``rest`` is what else stands in it."""
        if source.source is Source.EACH_PRINT:
            self.is_each, self.each = True, source.number
            self.is_in_use = self.is_doubtful = False
            self.each_of = source.each_of
            self.was_bare_heading = not re.search(r"\d", rest)
            self.blocks = None
        elif source.source is Source.FABRIC:
            has_verb = re.search(r"\bcut\b", rest, re.IGNORECASE) is not None
            self._refuse_rest_of_each(source, has_verb=has_verb)
            if source.is_leftover and self.is_each and not _is_one_more(source):
                return  # what is left of each
            self.is_each, self.each = False, None
            # "For each of 9 blocks:" right above it is not ended by it.
            self.blocks = self.blocks if not self.is_in_use else None
            self.is_in_use = self.is_doubtful = False

    def _refuse_rest_of_each(self, source: From, *, has_verb: bool) -> None:
        """Refuse what is left where it may be of each, as the sentence before, or of all."""
        is_doubtful = self.has_ended_each or (self.is_each and has_verb)
        if _is_one_more(source):
            # Beside "each of 13 squares" the remaining square is one; beside "each", of each.
            is_doubtful = self.is_each and self.each is None
        is_left = source.is_leftover or _is_one_more(source)
        if (is_doubtful and is_left) or (self.is_each and _is_some_more(source)):
            raise UnsureError(
                "whether the count is for what is left of each or of all is not said for sure",
                "Type the total, or 'From each … cut' once more.",
            )

    def take_blocks(self, blocks: Blocks) -> None:
        """Take a heading such as ``For each of 9 blocks, cut:``."""
        self.blocks = blocks
        self.is_in_use = self.is_doubtful = False
        self.is_each, self.each = False, None

    def take_direction(self, elements: list[Element]) -> bool:
        """Take a heading such as ``Cut borders lengthwise``; False where it names no direction."""
        along = any(element.kind is Kind.LOF for element in elements)
        across = any(element.kind is Kind.WOF for element in elements)
        if along or across:
            self.lengthwise = along and not across
            purposes = {element.text.casefold().rstrip("s") for element in elements}
            self.lengthwise_words = frozenset(purposes & {"border", "sashing", "binding"})
        return along or across

    def count(self, facts: FabricFacts) -> int:
        """Return how many "each" stands for.

        Raises:
            UnsureError: It is not stated for sure.
        """
        known = facts.count_of(self.each_of)
        if self.each is not None and (known is None or self.each <= known):
            return self.each
        if self.each is None and known is not None:
            return known
        if self.each is not None:
            raise UnsureError(
                f"it says each of {self.each}, but the fabric has {known}", "Make the two agree."
            )
        raise UnsureError(
            "how many prints 'each' stands for is not stated for sure",
            "State the number under Prints, or type the total.",
        )

    def is_lengthwise(self, item: Item) -> bool:
        """Whether an item lies along the selvage by a heading above it."""
        if not self.lengthwise or item.across:
            return False
        words = {word.casefold().rstrip("s") for word in (*item.words, item.noun)}
        if not self.lengthwise_words or words & self.lengthwise_words:
            return True
        # What is longer than the fabric is wide, and has no other purpose, is what was meant.
        sides = [
            side for size in (item.size,) if size for side in (size.first, size.second) if side
        ]
        return not item.purpose() and max(sides, default=Length(0)) > WIDEST_WHOLE_WIDTH
