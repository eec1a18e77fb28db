"""A plan's exact record: every value of a plan as JSON, and back again.

The lengths in the readable part of ``plan.json`` are plain numbers, and a plain number
cannot hold a third of a yard. The record holds each value as it is: lengths as fractions
(``107/2``), money as written, a job that several fabrics share once. It is read back by
the types that :mod:`kitmaker.plans` declares, so that a text can never become anything but
a text, and whatever is of the wrong kind is refused.
"""

from __future__ import annotations

import re
import types
from base64 import b64decode, b64encode
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass, replace
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from functools import cache
from typing import Any, TypeAlias, Union, get_args, get_origin, get_type_hints

from kitmaker.cutting_jobs import CuttingJob
from kitmaker.errors import Location, Problem
from kitmaker.pattern import PatternReading
from kitmaker.plans import KitPlan

Json: TypeAlias = Any

_FRACTION = re.compile(r"-?\d{1,18}(?:/[1-9]\d{0,8})?", re.ASCII)
_DECIMAL = re.compile(r"-?\d{1,15}(?:\.\d{1,40})?(?:E[+-]?\d{1,2})?", re.ASCII)
_MOST = 10_000_000
_LONGEST_TEXT = 100_000
_LONGEST_PICTURE = 3_000_000


class RecordError(ValueError):
    """The record is not one that was written here."""


def write_record(plan: KitPlan, reading: PatternReading | None = None) -> dict[str, Json]:
    """Return a plan as data from which :func:`read_record` makes the same plan.

    File names do not enter, except where a problem names one: the record of a plan is the
    same whatever its workbooks are called.
    """
    jobs: list[CuttingJob] = []
    whole = _encode(replace(plan, reading=None), jobs)
    record = {"plan": whole, "jobs": [_fields_of(job, jobs) for job in jobs]}
    if reading is not None:
        record["reading"] = _encode(reading, jobs)
    return record


def read_record(record: Json) -> KitPlan:
    """Return the plan that a record holds.

    Raises:
        RecordError: Something is missing, is of the wrong kind, or is out of measure.
    """
    if not isinstance(record, dict) or not isinstance(record.get("jobs"), list):
        raise RecordError("no record")
    jobs = tuple(_object(CuttingJob, job, ()) for job in record["jobs"])
    plan: KitPlan = _object(KitPlan, record.get("plan"), jobs)
    return plan


def read_reading(record: Json) -> PatternReading | None:
    """Return what was read from the pattern, where the record holds it.

    Raises:
        RecordError: As :func:`read_record`.
    """
    if not isinstance(record, dict):
        raise RecordError("no record")
    if "reading" not in record:
        return None
    reading: PatternReading = _object(PatternReading, record["reading"], ())
    return reading


def _encode(value: object, jobs: list[CuttingJob], *, in_problem: bool = False) -> Json:
    if isinstance(value, CuttingJob):
        if value not in jobs:
            jobs.append(value)
        return jobs.index(value)
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Fraction | Decimal):
        return str(value)
    if isinstance(value, bytes):
        return b64encode(value).decode("ascii")
    if isinstance(value, tuple):
        inside = in_problem or (bool(value) and isinstance(value[0], Problem))
        if value and all(isinstance(inner, Fraction) for inner in value):
            return " ".join(str(inner) for inner in value)
        return [_encode(inner, jobs, in_problem=inside) for inner in value]
    if isinstance(value, Mapping):
        return {str(key): _encode(inner, jobs) for key, inner in value.items()}
    if is_dataclass(value):
        return _fields_of(value, jobs, in_problem=in_problem)
    return value


def _fields_of(value: object, jobs: list[CuttingJob], *, in_problem: bool = False) -> Json:
    """Write the fields that differ from their defaults."""
    written: dict[str, Json] = {}
    for field in fields(value):  # type: ignore[arg-type]  # a dataclass, as every caller knows
        kept = getattr(value, field.name)
        if field.name == "workbook" and not in_problem:
            if isinstance(value, Location):
                kept = ""
            else:
                continue
        if kept != _default(field):
            written[field.name] = _encode(kept, jobs, in_problem=in_problem)
    return written


def _default(field: Field[Any]) -> object:
    if field.default is not MISSING:
        return field.default
    return field.default_factory() if field.default_factory is not MISSING else MISSING


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _decode(kind: Any, value: Json, jobs: tuple[CuttingJob, ...]) -> Any:
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        inner = [arg for arg in get_args(kind) if arg is not type(None)]
        return None if value is None else _decode(inner[0], value, jobs)
    if origin is tuple:
        return _tuple(get_args(kind), value, jobs)
    if origin is dict:
        return _texts(value)
    if kind is CuttingJob:
        at = _whole(value)
        if not 0 <= at < len(jobs):
            raise RecordError("a job that is not there")
        return jobs[at]
    if is_dataclass(kind):
        return _object(kind, value, jobs)
    if kind is bytes:
        return _bytes(value)
    return _plain(kind, value)


def _plain(kind: Any, value: Json) -> Any:
    if kind is bool:
        if not isinstance(value, bool):
            raise RecordError("not a yes or no")
        return value
    if kind is int:
        return _whole(value)
    text = _text(value)
    if kind is str:
        return text
    if kind is Fraction:
        return _fraction(text)
    if kind is Decimal:
        if not _DECIMAL.fullmatch(text):
            raise RecordError("not an amount")
        return Decimal(text)
    if isinstance(kind, type) and issubclass(kind, Enum):
        try:
            return kind(text)
        except ValueError:
            raise RecordError(f"no {kind.__name__}") from None
    raise RecordError(f"nothing is read as {kind}")


def _object(kind: Any, value: Json, jobs: tuple[CuttingJob, ...]) -> Any:
    if not isinstance(value, dict):
        raise RecordError(f"no {kind.__name__}")
    known = {field.name: field for field in fields(kind)}
    if set(value) - set(known):
        raise RecordError(f"more than a {kind.__name__} has")
    hints = _hints(kind)
    given = {name: _decode(hints[name], inner, jobs) for name, inner in value.items()}
    missing = [n for n, inner in known.items() if n not in given and _default(inner) is MISSING]
    if missing:
        raise RecordError(f"a {kind.__name__} without {missing[0]}")
    try:
        return kind(**given)
    except ValueError as fault:
        raise RecordError(str(fault)) from None


def _tuple(kinds: tuple[Any, ...], value: Json, jobs: tuple[CuttingJob, ...]) -> tuple[Any, ...]:
    if isinstance(value, str) and kinds[0] is Fraction:
        value = value.split(" ")
    if not isinstance(value, list):
        raise RecordError("not several")
    if len(kinds) == 2 and kinds[1] is Ellipsis:
        return tuple(_decode(kinds[0], inner, jobs) for inner in value)
    if len(kinds) != len(value):
        raise RecordError("too many or too few")
    return tuple(_decode(kind, inner, jobs) for kind, inner in zip(kinds, value, strict=True))


def _texts(value: Json) -> dict[str, str]:
    if not isinstance(value, dict):
        raise RecordError("not a table of words")
    return {_text(key): _text(text) for key, text in value.items()}


def _text(value: Json) -> str:
    if not isinstance(value, str) or len(value) > _LONGEST_TEXT:
        raise RecordError("not a text")
    return value


def _bytes(value: Json) -> bytes:
    if not isinstance(value, str) or len(value) > _LONGEST_PICTURE:
        raise RecordError("not a picture")
    try:
        data = b64decode(value, validate=True)
    except ValueError:
        raise RecordError("not a picture") from None
    if not data.startswith((b"\x89PNG", b"\xff\xd8\xff")):
        raise RecordError("not a picture")
    return data


def _whole(value: Json) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > _MOST:
        raise RecordError("not a whole number")
    return value


def _fraction(text: str) -> Fraction:
    if not _FRACTION.fullmatch(text):
        raise RecordError("not a measure")
    found = Fraction(text)
    if abs(found) > _MOST:
        raise RecordError("out of measure")
    return found
