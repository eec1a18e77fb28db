"""What a line of a page is: a heading, a section, a sewing step, or clauses of cuts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kitmaker.reading.drafting.names import FabricNames
from kitmaker.reading.phrases import is_cutting, says_a_cut
from kitmaker.reading.words.lexicon import FRACTION_SIGNS, word_set

_COLORS = word_set(
    """
    white cream ivory ecru beige tan brown black gray grey silver charcoal red crimson
    scarlet rose pink coral peach orange rust gold mustard yellow lime green olive sage mint
    teal aqua turquoise blue navy indigo denim purple plum violet lavender lilac magenta
    multicolor natural
    """
)
_CLOTH = word_set(
    """
    fabric print solid floral dot stripe plaid check batik tonal background muslin cloth
    prints blender texture linen flannel gingham chambray
    """
)
_FROM = r"(?:from|out\s+of|using)\s+(?P<name>(?:(?!\bcut\b)[^:;])+?)"
_HEADING = re.compile(
    r"(?:(?:now|next|then|first)[,\s]+)?(?:cut\s+)?(?:the\s+following\s+)?(?:pieces\s+|strips\s+)?"
    rf"{_FROM}\s*(?:(?:[,:]\s*)?(?:you\s+(?:will\s+)?(?:need\s+to\s+)?)?cut\b"
    r"(?:\s+the\s+following)?[:.,–—-]*|[:–—])\s*(?P<rest>.*)",
    re.IGNORECASE,
)
_BARE_FROM = re.compile(rf"(?:cut\s+)?{_FROM}\s*[:.]?", re.IGNORECASE)
_PURPOSE = re.compile(
    r"(?:for\b.*|(?:then|next|now|also)?\s*(?:sub-?|cross-?|re-?)?\s*cut\b.*|(?:each|and|or)\b.*"
    r"|[^A-Za-z]*)",
    re.IGNORECASE,
)
_PLAIN = re.compile(
    r"(?P<name>[^:;]{1,70}?)(?:\s*:\s*|\s+[–—-]\s+)(?P<rest>.*)|(?P<alone>[^:;]{1,60})"
)
_SECTIONS = (
    (
        "materials",
        r"(?:fabric\s+|material\s+|yardage\s+)?(?:requirements?|materials?|supplies|supply\s+list|yardage"
        r"(?:\s+chart)?|fabrics?(?:\s+(?:needed|required))?|you(?:'ll|\s+will)?\s+need|what\s+you(?:'ll|\s+will)?\s+need"
        r"|shopping\s+list|requirements\s+list|ingredients)",
    ),
    (
        "cutting",
        r"(?:fabric\s+)?(?:cutting(?:\s+(?:instructions?|directions?|list|chart|guide|the\s+fabrics?))?"
        r"|cut(?:\s+the)?\s+(?:fabrics?|pieces)|to\s+cut|cuts?)",
    ),
    (
        "sewing",
        r"(?:(?:quilt|block|blocks|top|border)\s+)?(?:assembly|assembling.*|sewing.*|piecing.*|construction|"
        r"instructions|directions|making.*|make\s+the.*|finishing.*|finish(?:ing)?\s+the\s+quilt|"
        r"putting\s+it\s+.*|quilting.*|sew\s+the.*|assemble\s+the.*|how\s+to\s+make.*|layout|"
        r"adding\s+the.*|add\s+the\s+borders?.*|to\s+finish)",
    ),
)
_SECTION = re.compile(
    r"(?:step\s+\d+\s*[:.–—-]?\s*)?(?:the\s+)?"
    rf"(?:{'|'.join(f'(?P<{name}>{words})' for name, words in _SECTIONS)})\s*[:.!–—-]*",
    re.IGNORECASE,
)
_LONGEST_SECTION = 60
_FEW_WORDS = 5
_SEWING = re.compile(
    r"(?:step\s+\d+\s*[:.–—-]?\s*)?(?:sew|stitch|join|press|arrange|lay|pin|place|quilt|layer|attach|bind|"
    r"baste|draw|mark|fold|align|match|referring|refer|repeat|make|piece|with\s+right\s+sides|square\s+up|"
    r"assemble|add|position|finger|chain|iron|starch|wash|prewash|hand|machine|turn|continue|using|take|"
    r"pair|alternat\w+|lightly|carefully|gently|measure)\b",
    re.IGNORECASE,
)
_BLOCK = re.compile(
    r"(?:for\s+)?(?:the\s+|each\s+|one\s+)?(?:(?!\bcut\b)[\w'’-]+\s+){0,4}?(?:blocks?|units?|rows?|borders?|sashing|binding|"
    r"backing|sections?|cornerstones?|setting|stars?|center|centre|corners?|panel|appliqu\w+|prairie\s+points)\b"
    r"[^.;]{0,60}",
    re.IGNORECASE,
)
_CLOTH_PIECES = re.compile(
    r"\b(?:squares?|rectangles?|strips?|triangles?|borders?|binding|sashing)\b", re.IGNORECASE
)
_COUNT = re.compile(
    r"\W*(?:\(?\d+\)?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)\b",
    re.IGNORECASE,
)
_STOP = r"(?=\s*(?:[,:;.()]|\d|\bcut\b|\band\s+cut\b|\binto\b|\bfor\b|\bto\b|$))"
_INLINE = re.compile(
    rf"\b(?:from|out\s+of|cut(?=\s+(?:the|your)\b[^,;.\d]*\binto\b))\s+(?:the\s+|each\s+(?:of\s+the\s+)?|your\s+)?(?P<name>[A-Za-z][^,:;.()\d\"]*?"
    rf"(?:\s+(?:no\.?\s*)?\d{{1,2}}(?=\s*(?:[,:;.]|cut\b|$)))?){_STOP}",
    re.IGNORECASE,
)
_LEADS = re.compile(r"\W*(?:(?:then|next|now|and|cut)\W+)*", re.IGNORECASE)
_SIZE = re.compile(rf"\d\s*(?:[\"″”{FRACTION_SIGNS}]|in\b|inch|cm|mm)")
_PARTS = re.compile(r"(?:[,;]\s*(?:and\s+)?|\s+and\s+)(?=\(?\d)")


@dataclass(frozen=True, slots=True)
class Heading:
    """A line that heads others."""

    name: str  # what it names
    rest: str  # what follows on the same line; ""
    names_cloth: bool = False  # whether it names a color or a kind of cloth


@dataclass(frozen=True, slots=True)
class Clause:
    """A part of a line that asks for cuts from one fabric."""

    text: str  # its words
    role: str | None  # the fabric it names; None where it names none for sure
    leads: bool = False  # whether the fabric stands before the cuts, and may hold for lines below
    why: str = ""  # why its fabric is not sure; "" where it names none
    new_name: str = ""  # the name it gives, where no known fabric has it; ""


def section_of(text: str) -> str:
    """Return which section a heading begins; "" for none."""
    if len(text) > _LONGEST_SECTION or text.endswith("."):
        return ""
    found = _SECTION.fullmatch(text)
    return "" if found is None else found.lastgroup or ""


def is_sewing(text: str) -> bool:
    """Whether a line begins as a step of sewing."""
    return _SEWING.match(text) is not None


def is_block(text: str) -> bool:
    """Whether a line heads a block, a border or another part of the quilt."""
    is_short = len(text) <= _LONGEST_SECTION and not text.endswith(".")
    return is_short and _BLOCK.fullmatch(text) is not None


def is_of_cloth(text: str) -> bool:
    """Whether a line of a sewing step speaks of pieces of cloth and a size."""
    return re.search(r"\d", text) is not None and _CLOTH_PIECES.search(text) is not None


def wants_cut(text: str, *, in_list: bool = False) -> bool:
    """Whether a line asks for a cut: by a cutting word, or in a list by a count and a size."""
    if not says_a_cut(text):
        return False
    return is_cutting(text) or in_list or (_COUNT.match(text) is not None and len(text) <= 120)


def heading_of(text: str) -> Heading | None:
    """Return what a line such as ``From the cream solid, cut:`` names; None for any other."""
    found = _HEADING.fullmatch(text)
    if found is None and len(text) <= _LONGEST_SECTION and not says_a_cut(text):
        found = _BARE_FROM.fullmatch(text)
    if found is None:
        return None
    rest = (found.groupdict().get("rest") or "").strip()
    name = re.sub(
        r"^(?:the|each|all|your|each\s+of\s+the)\s+", "", found["name"].strip(), flags=re.I
    )
    return Heading(name.strip(" ,"), rest)


def plain_heading_of(text: str) -> Heading | None:
    """Return what a short line names: ``Cream solid``, ``Fabric A:``, ``White – 4 squares 3½"``."""
    found = _PLAIN.fullmatch(text)
    if found is None or text.endswith(".") or is_sewing(text):
        return None
    name, rest = (found["alone"] or found["name"]).strip(), (found["rest"] or "").strip()
    name = re.sub(r"^cut\s+(?:from\s+)?", "", name, flags=re.IGNORECASE)
    if says_a_cut(name) or is_cutting(name) or len(name.split()) > 9 or not name:
        return None
    words = set(re.findall(r"[a-z]+", name.casefold()))
    cloth = bool(words & (_COLORS | _CLOTH))
    return Heading(name, rest, names_cloth=cloth)


def heads_alone(text: str) -> bool:
    """Whether a line is a few words as a heading has them, whatever they name."""
    is_few = len(text.split()) <= _FEW_WORDS and text[:1].isupper() and text[-1:].isalnum()
    return is_few and not re.search(r"\d", text) and _PURPOSE.fullmatch(text) is None


def ends_scope(text: str) -> bool:
    """Whether a line heads others and names nothing that a heading above holds for."""
    if says_a_cut(text) or is_cutting(text.rstrip(": ")):
        return False
    return text.endswith(":") and _PURPOSE.fullmatch(text) is None


def may_name_cloth(name: str) -> bool:
    """Whether a name can be a new fabric's: no size, no pieces that are cut already."""
    return _SIZE.search(name) is None and _is_cloth(name)


def clauses_of(text: str, names: FabricNames, current: str | None) -> Iterator[Clause]:
    """Yield the parts of a line that each name one fabric, in order.

    ``current`` is the fabric whose heading holds.
    """
    places = [found for found in _INLINE.finditer(text) if _is_cloth(found["name"])]
    named = [(found, names.find(found["name"])) for found in places]
    told = [(found, roles) for found, roles in named if roles]
    if not told:
        strangers = [found for found in places if may_name_cloth(found["name"])]
        yield from _without_from(text, names, current, strangers)
        return
    leads = _LEADS.fullmatch(text[: told[0][0].start()])
    for at, (found, roles) in enumerate(told):
        if leads:
            start = found.start() if at else 0
            end = told[at + 1][0].start() if at + 1 < len(told) else len(text)
        else:
            start = told[at - 1][0].end() if at else 0
            end = found.end() if at + 1 < len(told) else len(text)
        words = re.sub(r"^(?:[\s,;.]|and\b)+|(?:[\s,;]|\band)+$", "", text[start:end])
        if not says_a_cut(words):
            continue
        words = words if at == 0 or is_cutting(words) else f"Cut {words}"
        others = set(names.mentioned(found["name"])) - set(roles)
        if len(roles) == 1 and not others:
            yield Clause(words, roles[0], leads=leads is not None)
        else:
            yield Clause(words, None, why=f"it may be {' or '.join((*roles, *sorted(others)))}")


def _is_cloth(name: str) -> bool:
    """Whether ``from …`` may name a fabric: not "from the strips", "from each square"."""
    words = set(re.findall(r"[a-z]+", name.casefold()))
    cut = {"strip", "strips", "square", "squares", "rectangle", "rectangles", "remainder", "rest"}
    only = {"the", "each", "these", "those", "this", "remaining", "of", "set", "sets", "one", "all"}
    return bool(words - cut - only) or not words & (cut | only)


def _without_from(
    text: str, names: FabricNames, current: str | None, strangers: list[re.Match[str]]
) -> Iterator[Clause]:
    """Yield the clauses of a line that names its fabrics by their words only, or not at all."""
    if strangers and _LEADS.fullmatch(text[: strangers[0].start()]):
        name = strangers[0]["name"].strip()
        yield Clause(text, None, why=f"no amount is stated for '{name}'", new_name=name)
        return
    plain = re.sub(r"\([^)]*\)", " ", text)
    plain = re.sub(r"\b(?:for|to|with|beside|between)\b.*", " ", plain, flags=re.IGNORECASE)
    spoken = names.mentioned(plain)
    if current is not None:
        if spoken and current not in spoken:
            yield Clause(text, None, why=f"it names {' and '.join(spoken)} below {current}")
        else:
            yield Clause(text, None)
        return
    if len(spoken) == 1:
        yield Clause(text, spoken[0])
        return
    parts = _PARTS.split(text)
    each = [names.mentioned(part) for part in parts]
    if len(parts) > 1 and all(len(roles) == 1 for roles in each):
        for part, roles in zip(parts, each, strict=True):
            cut = part if is_cutting(part) or part is parts[0] else f"Cut {part}"
            yield Clause(cut, roles[0])
        return
    why = f"it may be {' or '.join(spoken)}" if spoken else ""
    new = strangers[0]["name"].strip() if len(strangers) == 1 else ""
    yield Clause(text, None, why=why, new_name=new)
