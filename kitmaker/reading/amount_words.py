"""The many words for an amount, put in the plain ones before it is read.

``half a yard`` is ½ yard, ``a fat ¼`` a fat quarter, ``Fat quarter bundle (8)`` 8 fat
quarters, ``1 pack of (42) 10" squares`` 42 of them. How wide the fabric lies on the bolt
("of 44-inch-wide fabric") changes nothing about the amount and is left out.
"""

from __future__ import annotations

import re

from kitmaker.lengths import clean_text
from kitmaker.reading.number_words import spell_in_figures

_INCHES_THEN_YARDS = re.compile(r"\"\s*(?=(?:yards?|yds?)\b)")
_FORM = r"(?:fat\s+quarters?|fat\s+eighths?|fqs?|f8s?)"
_SIDE = r"\d+(?:[.]\d+|\s+\d+/\d+)?\s*-?\s*(?:\"|inch(?:es)?|in[.]?)"
_PRECUT = rf"{_SIDE}\s*-?\s*(?:wide\s+)?(?:[a-z]+\s+){{0,2}}?(?:squares?|strips?)"
_PACK = r"(?:packs?|packages?|pkgs?[.]?|packets?|bundles?|rolls?|sets?|layers?|stacks?)"
_PARTS = {"half": "1/2", "quarter": "1/4", "third": "1/3", "eighth": "1/8"}
_PART = "|".join(_PARTS)

_FAT_FIGURE = re.compile(
    r"\bfat\s*-?\s*1\s*/\s*(?P<of>[248])(?:ths?|s|'s)?\b(?:\s*(?:yards?|yds?)\b[.]?)?"
)
_AND_A_PART = re.compile(rf"\b(\d+)\s+and\s+(?:a|an|1|one)\s+({_PART})\b")
_PART_OF_A = re.compile(
    rf"^(?:a\s+|an\s+|1\s+)?({_PART})[\s-]+(?:of\s+)?(?:an?\s+)?(yard|meter|metre)\b"
)
_A_YARD = re.compile(r"\b(?:a|an|one)\s+(?=(?:yard|meter|metre)s?\b)")
_WIDE = re.compile(
    r"[\s,]*(?:\bof\s+)?\(?\s*(?:of\s+)?(?P<number>\d+(?:\s*[-/]\s*\d+)?)\s*-?\s*(?P<unit>\"|inch(?:es)?|in[.]?|cm)"
    r"\s*-?\s*wide(?:\s+(?:fabric|cloth|cotton|backing))?\s*\)?"
)
_OF_WIDTH = re.compile(
    r"(?<=[a-z.])\s+of\s+(?P<number>\d+)\s*-?\s*(?P<unit>\"|inch(?:es)?|in[.]?|cm)(?:\s+(?:wide\s+)?"
    r"(?:fabric|cloth|cotton|backing))?$"
)
_NARROWEST_BOLT = 36
"""Inches, or 90 cm: what is narrower is a piece of its own. Our own bound, no source."""

_PACK_OF = re.compile(
    rf"^(?:\(?1\)?\s+|a\s+)?(?:[a-z]+\s+)?{_PACK}\s+(?:of\s+)?\(?(?P<count>\d+)(?!\d)\)?\s*(?:--?\s*)?(?P<what>(?:[a-z]+\s+)*?(?:{_FORM}|{_PRECUT}))(?P<rest>.*)$"
)
_PACK_WITH_COUNT = re.compile(
    rf"^(?:\(?1\)?\s+)?(?:{_PACK}\s+(?:of\s+)?)?(?P<what>(?:[a-z]+\s+)*?(?:{_FORM}|{_PRECUT}))(?P<pack>\s+{_PACK})?"
    r"\s*\(\s*(?P<count>\d+)\s*(?:pieces?|pcs?[.]?|squares?|strips?|prints?|fat\s+quarters?|fqs?|count)?\s*\)(?P<rest>.*)$"
)
_PACKS_IN_ALL = re.compile(
    rf"^\(?\d+\)?\s+{_PACK}\s+(?:of\s+)?(?P<what>(?:[a-z]+\s+)*?(?:{_FORM}|{_PRECUT}))\s*(?:,|-+|\()\s*(?:for\s+(?:a\s+total\s+of\s+)?)?"
    r"(?P<count>\d+)\s+(?:squares|strips|pieces|prints|fat\s+quarters)?\s*(?:in\s+all|in\s+total|total|altogether)\s*\)?(?P<rest>.*)$"
)
_PACK_UNCOUNTED = re.compile(
    rf"^(?P<count>\(?\d+\)?\s+)?(?:[a-z]+\s+)*?(?:{_FORM}\s+{_PACK}|{_PACK}\s+(?:of\s+)?(?:[a-z]+\s+)*?(?:{_FORM}|{_PRECUT})"
    rf"|{_PRECUT}\s+{_PACK})\s*[.]?$"
)


_NOUN_FIRST = re.compile(
    rf"^\(?(\d+)\)?\s*((?:[a-z]+\s+){{0,3}}?)(squares?|strips?)\s*,?\s*(?:of\s+)?({_SIDE})(?:\s*-?\s*wide)?"
    r"(?:\s*(?:x|×|by)\s*(?:wof|\4))?(?=$|[\s,(])"
)
_BRACKETED = re.compile(rf"\(({_SIDE})\)(?=\s*(?:squares?|strips?)\b)")
_REMARKS = re.compile(
    # A footnote's star, a stock number, the name of a size, what will do as well.
    r"(?<=[\w.])\s?\*+|\(\s*(?:this\s+)?includ(?:es|ing|ed)\b[^()]*\)|\([^()]*\bincluded\s*\)|(?:#\s*|\b)(?:[a-z]{1,4}-?)?\d{4,}(?:-?[a-z]{1,3})?(?:-[a-z0-9]{1,6})*\b|#\s*\d{1,3}\b"
    r"|[\s,]*\(?\s*based\s+on\s+[^()]*\b(?:wide|width|usable|fabric)\b[^()]*\)?"
    r"|^[a-z][a-z -]*:\s*|^(?:fabrics?|colou?rs?|prints?)\s*#?\s*\d{1,2}\s*(?:\s-+\s|:\s)\s*(?=\d)"
    r"|(?:^scraps?,?\s+or|[\s,(]+or\s+(?:large\s+|some\s+|(?:the\s+)?equivalent\s+(?:in\s+)?)?scraps?)\b\)?"
    r"|\(\s*(?:about\s+|nearly\s+|just\s+over\s+|less\s+than\s+)?(?:half|a\s+third|a\s+quarter)\s+(?:of\s+)?(?:a|the|1)"
    r"\s+[a-z]+\s*\)"
)
_SO_MUCH_OF_EACH = re.compile(
    r"^(?P<count>\d+)\s+(?:[a-z]+\s+){0,2}?(?:different|assorted|prints?|fabrics?|colou?rs?)\s*[,:-]\s*"
    r"(?P<length>\d[\d\s/.,-]*\s*(?:yards?|yds?|m|cm|meters?|metres?)\b[.]?)\s*(?:of\s+)?each\b"
)
_AMOUNT = r"(?:\d+\s+)?\d[\d/.,]*\s*(?:yards?|yds?|m|cm|meters?|metres?)\b[.]?"
_BRACKETED_CUTS = re.compile(
    r"^\(?(?P<count>\d+)\)?\s*\(\s*(?P<length>\d[\d\s/.]*\s*-?\s*(?:yards?|yds?|m|cm|meters?|metres?))[.]?\s*\)\s*(?:cuts|pieces|lengths|prints|fabrics)\b"
)
_SIZED_FORM = re.compile(
    rf"^(?:\(?(?P<count>\d+)\)?(?:\s*-+\s*|\s*x\s+|\s+))?(?P<a>\d+)\s*(?:\"|in(?:ch(?:es)?)?)?\s*(?:x|×|by)\s*(?P<b>\d+)\s*(?:\"|in(?:ch(?:es)?)?)?"
    rf"\s*(?:(?:pieces?|rectangles?|cuts?)\s*)?(?:[,(]\s*)?(?:an?\s+|1\s+|=\s*)?(?P<form>{_FORM})\s*\)?"
)
"""``18×21" piece (fat quarter)``: the form, by the size it is commonly cut to."""
_CUTS_OF = re.compile(
    rf"^(?P<count>\d+)\s+(?:(?:[a-z]+\s+){{1,2}}(?P<length>{_AMOUNT})|(?P<whole>\d+\s*(?:cm|m)\b))\s*(?:cuts|pieces|lengths)\b"
)
_EACH_SO_MANY = re.compile(
    rf"^(?P<length>{_AMOUNT})\s+each\s*,?\s*(?P<count>\d+)\s+(?=(?:[a-z]+\s+){{0,2}}?(?:prints|fabrics|colou?rs)\b)"
)
_FORM_TIMES = re.compile(rf"^(?P<form>{_FORM})\s*(?:x|×|:|-+)\s*(?P<count>\d+)\b")
_BATTING = re.compile(
    r"^(?:[a-z-]+\s+)*(?:batting|wadding)\s*[,:(]+\s*(?=\d+\s*(?:\"|in|cm)?\s*(?:x|×|by)\s*\d)"
)
_ONE_PACK = re.compile(rf"\(\s*(?:from\s+)?(?:1|a)\s+{_PACK}\s*\)")
_FOR_EACH_OF_THEM = re.compile(
    rf"(?<!\w)({_FORM})\s*[,(]\s*(?:1|one)\s+(?:for|of|in)\s+each\s+[a-z]+\s*\)?"
)
_IN_USE = re.compile(
    r",?\s*(?:of\s+which\s+)?(?:you(?:'ll|\s+will)?\s+(?:only\s+)?(?:use|need)|using|use)\s+(?:only\s+)?\d+(?=\s*\)|$)"
)
_IN_EACH_PACK = re.compile(
    r"\(\s*\d+\s+(?:[a-z]+\s+)?(?:in|to|per)\s+(?:each|a\s+pack|the\s+pack|pack)\s*\)"
)
_PURPOSE = re.compile(r"(?<=[a-z.)\"])\s+for\s+(?P<what>[^()]*?)(?=$|[(])")
_AMOUNT_WORD = re.compile(
    rf"\b(?:yards?|yds?|m|cm|meters?|metres?|each|per|or|plus|every|both|more)\b|\+|{_FORM}"
)


def _without_remarks(words: str) -> str:
    """Leave out what changes nothing about an amount: its uses, a stock number, a footnote."""
    words = _REMARKS.sub(" ", _FORM_TIMES.sub(r"\g<count> \g<form>", words))
    words = _SO_MUCH_OF_EACH.sub(r"\g<length> each of \g<count>", words)
    words = _BRACKETED_CUTS.sub(r"\g<count> x \g<length>", _SIZED_FORM.sub(_as_form, words))
    words = _CUTS_OF.sub(lambda one: f"{one['count']} x {one['length'] or one['whole']}", words)
    words = _EACH_SO_MANY.sub(r"\g<length> each of \g<count> ", words)
    words = _ONE_PACK.sub(" ", _BATTING.sub("", words))
    words = _FOR_EACH_OF_THEM.sub(r"\1", words)
    words = _IN_EACH_PACK.sub(" ", _IN_USE.sub("", words))
    return _PURPOSE.sub(_without_numbers, words).strip()


def _as_form(found: re.Match[str]) -> str:
    """Return so many of a form whose own size stands before it."""
    sides = sorted((int(found["a"]), int(found["b"])))
    is_quarter = re.match(r"fat\s+q|fq", found["form"]) is not None
    short, long = (range(18, 21), range(20, 23)) if is_quarter else (range(9, 12), range(18, 23))
    is_its_size = sides[0] in short and sides[1] in long
    return f"{found['count'] or 1} {found['form']}" if is_its_size else found.group(0)


def _without_numbers(found: re.Match[str]) -> str:
    """``1 yd for blocks and 4 borders``: what a cloth is for counts no cloth."""
    if _AMOUNT_WORD.search(found["what"]):
        return found.group(0)
    return re.sub(r"\d[\d\s/.]*\"?", " ", found.group(0))


def amount_in_plain_words(text: str) -> str:
    """Return an amount's words in lower case, counts in figures, one word for one thing."""
    words = clean_text(text).casefold().replace("–", "-").replace("—", "-")
    words = _INCHES_THEN_YARDS.sub(" ", words)
    words = re.sub(r"(?:\.\s*){3,}", " ", words)
    words = re.sub(r"(\d)(?=(?:fqs?|f8s?)\b)", r"\1 ", words)
    words = re.sub(r"\bf(?:at\s+)?8ths?\b", "f8s", words)
    words = " ".join(spell_in_figures(words).split())
    words = _BRACKETED.sub(r"\1", _without_remarks(words))
    words = _NOUN_FIRST.sub(r"\1 \2\4 \3", words)
    words = _FAT_FIGURE.sub(_fat, words)
    words = _AND_A_PART.sub(lambda found: f"{found[1]} {_PARTS[found[2]]}", words)
    words = _PART_OF_A.sub(lambda found: f"{_PARTS[found[1]]} {found[2]}", words)
    words = _A_YARD.sub("1 ", words)
    words = _OF_WIDTH.sub(_without_bolt_width, _WIDE.sub(_without_bolt_width, words))
    return _packed(words.strip())


def _fat(found: re.Match[str]) -> str:
    return {"2": "fat half", "4": "fat quarter", "8": "fat eighth"}[found["of"]]


def _without_bolt_width(found: re.Match[str]) -> str:
    number = int(re.split(r"\s*[-/]\s*", found["number"])[0])
    inches = number / 2.5 if found["unit"] == "cm" else number
    return " " if inches >= _NARROWEST_BOLT else found.group(0)


def _packed(words: str) -> str:
    """Return a pack whose count is stated as so many of what is in it, else as a pack."""
    found = _PACK_OF.match(words)
    if found is None:
        found = _PACK_WITH_COUNT.match(words)
        named = found is not None and found["pack"]
        found = found if named or re.match(rf"(?:\(?1\)?\s+)?{_PACK}\b", words) else None
    found = found or _PACKS_IN_ALL.match(words)
    if found is not None:
        return f"{found['count']} {found['what']}{found['rest']}"
    uncounted = _PACK_UNCOUNTED.match(words)
    if uncounted is None or _is_counted_form(words):
        return words
    return f"{(uncounted['count'] or '1').strip(' ()')} pack"


def _is_counted_form(words: str) -> bool:
    """Whether ``8 fat quarter bundle`` says how many are in one bundle."""
    found = re.match(rf"(\d+)\s+(?:[a-z]+\s+)*?{_FORM}\s+(?:pack|bundle|set|stack)\b", words)
    return found is not None and int(found[1]) > 1
