"""The options of ``plan`` that name a fabric or a kind of label: ``FABRIC=FORM``."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from kitmaker.api import fabrics_to_join
from kitmaker.errors import Problems, UsageError
from kitmaker.kits.choices import MOST_KITS, Options
from kitmaker.shop import Bag


def parse_options(
    *,
    kits: str | None = None,
    spare_kits: int | None = None,
    forms: Sequence[str] = (),
    bags: Sequence[str] = (),
    label_sheets: Sequence[str] = (),
    label_starts: Sequence[str] = (),
    shortest: bool = False,
    prefer: Sequence[str] = (),
    joins: Sequence[str] = (),
    most_seams: int = 1,
) -> Options:
    """Read the options as typed.

    Raises:
        UsageError: A bag, a kind of label or a number is not one; each is named.
    """
    problems = Problems()
    options = Options(
        kits=_kits(kits, problems),
        most_kits=kits is not None and kits.strip().casefold() == "max",
        spare_kits=spare_kits,
        forms=tuple(_split(text) for text in forms),
        bags=tuple(_bag(text, problems) for text in bags),
        label_sheets=tuple(_label("--label-sheet", text, problems) for text in label_sheets),
        label_starts=tuple(_start(text, problems) for text in label_starts),
        shortest=shortest,
        prefer=tuple(prefer),
        joins=fabrics_to_join(joins),
        most_seams=most_seams,
    )
    if problems:
        raise UsageError(problems)
    return options


_SUFFIXES = frozenset({".xlsx", ".xlsm", ".xltx", ".xls", ".ods", ".csv", ".txt", ".docx", ".pdf"})


def spell_out_join(words: Sequence[str]) -> list[str]:
    """Return a command's words with ``--join [FABRIC]...`` as one option a fabric.

    ``--join Border Binding`` names two, ``--join`` alone all (``--join=``); a file that follows
    is the pattern and no fabric.
    """
    spelled: list[str] = []
    rest = list(words)
    while rest:
        word = rest.pop(0)
        if word == "--":
            return [*spelled, word, *rest]
        if word != "--join":
            spelled.append(word)
            continue
        roles: list[str] = []
        while rest and not rest[0].startswith("-") and not _is_file(rest[0]):
            roles.append(rest.pop(0))
        spelled += [f"--join={role}" for role in roles or [""]]
    return spelled


def _is_file(word: str) -> bool:
    return Path(word).suffix.casefold() in _SUFFIXES or Path(word).is_file()


def _kits(text: str | None, problems: Problems) -> int | None:
    if text is None or text.strip().casefold() == "max":
        return None
    if not text.strip().isdecimal() or not 1 <= int(text) <= MOST_KITS:
        problems.refuse(
            f"--kits: '{text}' is not a number of kits.", None, "Type 1 or more, or max."
        )
        return None
    return int(text)


def _split(text: str) -> tuple[str | None, str]:
    role, equals, value = text.rpartition("=")
    return (role.strip() or None if equals else None), value.strip()


def _bag(text: str, problems: Problems) -> tuple[str | None, Bag]:
    role, value = _split(text)
    try:
        return role, Bag(value.casefold())
    except ValueError:
        problems.refuse(
            f"--bag: '{value}' is not a kind of bag.",
            None,
            "Type uncut or pieces, or FABRIC=pieces.",
        )
        return role, Bag.UNCUT


def _label(flag: str, text: str, problems: Problems) -> tuple[str | None, str]:
    kind, value = _split(text)
    if kind is not None and kind.casefold() not in ("bag", "piece"):
        problems.refuse(f"{flag}: '{kind}' is not a kind of label.", None, "Type bag=… or piece=….")
        return None, value
    return (None if kind is None else kind.casefold()), value


def _start(text: str, problems: Problems, flag: str = "--start-label") -> tuple[str | None, int]:
    kind, value = _label(flag, text, problems)
    if not value.isdecimal() or int(value) < 1:
        message = f"{flag}: '{value}' is not a label number."
        problems.refuse(message, None, "The first label is 1.")
        return kind, 1
    return kind, int(value)


def parse_label(text: str | None) -> tuple[str | None, int] | None:
    """Read which label alone is printed: ``12``, ``bag=12``, ``piece=12``; None for all.

    Raises:
        UsageError: It is not a number, or not a kind of label.
    """
    problems = Problems()
    found = None if text is None else _start(text, problems, "--label")
    if problems:
        raise UsageError(problems)
    return found
