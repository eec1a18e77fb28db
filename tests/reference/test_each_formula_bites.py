"""Each formula of kitmaker/arithmetic is broken on purpose; a published figure must notice.

Every sum, product, rounding and number of every function there is changed, one at a time, in
the running program. The reference checks then go their usual way, from a typed row or label to
the piece that is cut, and one of them must fail. A formula that no such way reaches is not what
check and plan do: it should go, or be put to use.
"""

from __future__ import annotations

import ast
import importlib
import importlib.util
import itertools
import signal
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, partial
from pathlib import Path
from types import CodeType, FrameType, FunctionType, ModuleType
from typing import TypeAlias

import pytest

import kitmaker.arithmetic
from kitmaker.arithmetic.figures import GIVES
from kitmaker.reading import requirements

HERE = Path(__file__).parent
ROOM = Path(kitmaker.arithmetic.__file__).parent
SECONDS = 5.0
"""A broken loop may never end; that is noticed too."""

READ_ONCE = cache(requirements.read_workbook)

Key: TypeAlias = tuple[str, int, str]
"""File, first line and name of a function."""


@dataclass(frozen=True)
class Case:
    """One reference check with its figures."""

    test: str
    run: Callable[[], None]


@dataclass(frozen=True)
class Formula:
    """A function of arithmetic as it runs, and where it stands in its module's tree."""

    name: str
    function: FunctionType
    tree: ast.Module
    node: ast.FunctionDef | ast.Lambda

    @property
    def key(self) -> Key:
        return key_of(self.function.__code__)


def key_of(code: CodeType) -> Key:
    return code.co_filename, code.co_firstlineno, code.co_name


# The reference checks


def arguments(marks: list[pytest.Mark]) -> Iterator[dict[str, object]]:
    """Yield the arguments of each case of a parametrized test."""
    tables: list[list[dict[str, object]]] = []
    for mark in marks:
        if mark.name != "parametrize":
            continue
        names, values = mark.args[0], mark.args[1]
        if isinstance(names, str):
            names = tuple(name.strip() for name in names.split(","))
        rows = [(row,) if len(names) == 1 else row for row in values]
        tables.append([dict(zip(names, row, strict=True)) for row in rows])
    for chosen in itertools.product(*tables):
        yield {name: value for part in chosen for name, value in part.items()}


@cache
def cases() -> list[Case]:
    """Return the cases of every reference test that asks for no fixture."""
    found: list[tuple[int, Case]] = []
    for path in sorted(HERE.glob("test_*.py")):
        if path.name == Path(__file__).name:
            continue
        spec = importlib.util.spec_from_file_location(f"bites_{path.stem}", path)
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[spec.name] = module
        spec.loader.exec_module(module)
        for name, test in vars(module).items():
            if not name.startswith("test_"):
                continue
            needed = set(test.__code__.co_varnames[: test.__code__.co_argcount])
            of_test = [
                Case(name, lambda test=test, given=given: test(**given))  # type: ignore[misc]
                for given in arguments(getattr(test, "pytestmark", []))
                if set(given) == needed
            ]
            found.extend(enumerate(of_test))
    return [case for _, case in sorted(found, key=lambda one: one[0])]


@cache
def reached() -> dict[Key, list[Case]]:
    """Return which cases come by which function, a test's first case before its others."""
    room, found = str(ROOM), defaultdict(list)
    for case in cases():
        keys: set[Key] = set()

        def note(frame: FrameType, event: str, _: object, keys: set[Key] = keys) -> None:
            if event == "call" and frame.f_code.co_filename.startswith(room):
                keys.add(key_of(frame.f_code))

        case.run()  # whole, it holds; and its cells are read once, unwatched
        sys.setprofile(note)
        try:
            case.run()
        finally:
            sys.setprofile(None)
        for key in keys:
            found[key].append(case)
    return dict(found)


# The formulas, and what breaks them


def modules() -> list[ModuleType]:
    names = sorted(path.stem for path in ROOM.glob("*.py") if path.stem != "__init__")
    return [importlib.import_module(f"kitmaker.arithmetic.{name}") for name in names]


def functions_of(module: ModuleType) -> Iterator[FunctionType]:
    """Yield every function of a module: plain ones, methods, properties, those in tables."""
    for value in vars(module).values():
        inside: list[object] = [value]
        if isinstance(value, type):
            inside = [
                one.fget if isinstance(one, property) else one for one in vars(value).values()
            ]
        elif isinstance(value, dict):
            inside = list(value.values())
        for one in inside:
            if isinstance(one, FunctionType) and one.__code__.co_filename == module.__file__:
                yield one


@cache
def formulas() -> list[Formula]:
    found: dict[Key, Formula] = {}
    for module in modules():
        assert module.__file__ is not None
        tree = ast.parse(Path(module.__file__).read_text(encoding="utf-8"))
        nodes = {
            (
                node.lineno if not getattr(node, "decorator_list", []) else first(node),
                name_of(node),
            ): node
            for node in ast.walk(tree)
            if isinstance(node, ast.FunctionDef | ast.Lambda)
        }
        for function in functions_of(module):
            code = function.__code__
            node = nodes[code.co_firstlineno, code.co_name]
            line = f":{code.co_firstlineno}" if isinstance(node, ast.Lambda) else ""
            name = f"{module.__name__.rpartition('.')[2]}.{function.__qualname__}{line}"
            found.setdefault(key_of(code), Formula(name, function, tree, node))
    return list(found.values())


def first(node: ast.FunctionDef | ast.Lambda) -> int:
    decorators = node.decorator_list if isinstance(node, ast.FunctionDef) else []
    return min([node.lineno, *(one.lineno for one in decorators)])


def name_of(node: ast.FunctionDef | ast.Lambda) -> str:
    return node.name if isinstance(node, ast.FunctionDef) else "<lambda>"


OTHER_WAY: Mapping[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
}
OTHER_ROOT = {
    "ceil": "floor",
    "floor": "ceil",
    "whole_root_up": "whole_root_down",
    "whole_root_down": "whole_root_up",
    "max": "min",
    "min": "max",
}
NOT_A_FORMULA = (ast.Raise, ast.JoinedStr, ast.arguments, ast.Compare)


def spots(node: ast.AST) -> Iterator[ast.AST]:
    """Yield what can be broken in a formula: not its messages, its guards or its defaults."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, NOT_A_FORMULA):
            continue
        if is_spot(child):
            yield child
        yield from spots(child)


def is_spot(node: ast.AST) -> bool:
    if isinstance(node, ast.BinOp):
        return type(node.op) in OTHER_WAY
    if isinstance(node, ast.Constant):
        return isinstance(node.value, int) and not isinstance(node.value, bool)
    return isinstance(node, ast.Name) and node.id in OTHER_ROOT


def instead(spot: ast.AST) -> tuple[str, object]:
    """Return which attribute of a spot is changed, and into what."""
    if isinstance(spot, ast.BinOp):
        return "op", OTHER_WAY[type(spot.op)]()
    if isinstance(spot, ast.Name):
        return "id", OTHER_ROOT[spot.id]
    assert isinstance(spot, ast.Constant)
    assert isinstance(spot.value, int)
    return "value", spot.value + 1


def code_in(code: CodeType, key: Key) -> CodeType | None:
    if key_of(code) == key:
        return code
    inner = (code_in(one, key) for one in code.co_consts if isinstance(one, CodeType))
    return next((one for one in inner if one is not None), None)


def breaks_of(formula: Formula) -> Iterator[tuple[str, CodeType]]:
    """Yield every way to break a formula: what is changed, and the code that then runs."""
    for spot in list(spots(formula.node)):
        attribute, other = instead(spot)
        whole, before = getattr(spot, attribute), ast.unparse(spot)
        setattr(spot, attribute, other)
        try:
            compiled = compile(formula.tree, formula.key[0], "exec")
            code = code_in(compiled, formula.key)
            assert code is not None, formula.name
            yield f"{before} -> {ast.unparse(spot)}", code
        finally:
            setattr(spot, attribute, whole)


@contextmanager
def in_time() -> Iterator[None]:
    def stop(*_: object) -> None:
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def is_noticed(by: list[Case]) -> bool:
    for case in by:
        try:
            with in_time():
                case.run()
        except Exception:  # noqa: BLE001  # however it is noticed
            return True
    return False


@pytest.fixture(autouse=True)
def _cells_are_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is broken is behind the cells of a workbook, so that they need no second reading."""
    monkeypatch.setattr(requirements, "read_workbook", READ_ONCE)


def with_something_to_break() -> list[Formula]:
    return [one for one in formulas() if any(True for _ in spots(one.node))]


@pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="a broken loop needs a clock to end")
@pytest.mark.parametrize("formula", with_something_to_break(), ids=lambda one: one.name)
def test_a_broken_formula_is_noticed(formula: Formula) -> None:
    by = reached().get(formula.key, [])
    assert by, "no typed row or label comes by it: it is not used, or not checked"
    whole = formula.function.__code__
    unnoticed = set()
    for words, code in breaks_of(formula):
        formula.function.__code__ = code
        try:
            if not is_noticed(by):
                unnoticed.add(words)
        finally:
            formula.function.__code__ = whole
    assert unnoticed == set()


@dataclass(frozen=True)
class Figure:
    """A number that stands in a module by its name."""

    name: str
    value: Fraction


def figures() -> list[Figure]:
    """Return the numbers of arithmetic; nothing is nothing, however it is broken."""
    return [
        Figure(f"{module.__name__.rpartition('.')[2]}.{name}", value)
        for module in modules()
        for name, value in list(vars(module).items())
        if isinstance(value, Fraction) and value and name in module.__annotations__
    ]


@contextmanager
def put_instead(old: Fraction, new: Fraction) -> Iterator[None]:
    """Put one number in another's place: wherever it is known by name, and in defaults."""
    undo: list[Callable[[], None]] = []
    for module in [one for name, one in sys.modules.items() if name.startswith("kitmaker.")]:
        for name, value in list(vars(module).items()):
            if value is old:
                setattr(module, name, new)
                undo.append(partial(setattr, module, name, old))
        for function in list(all_functions(module)):
            before = function.__defaults__, function.__kwdefaults__
            if old in (before[0] or ()) or old in (before[1] or {}).values():
                function.__defaults__ = before[0] and tuple(
                    new if one is old else one for one in before[0]
                )
                function.__kwdefaults__ = before[1] and {
                    name: new if one is old else one for name, one in before[1].items()
                }
                undo.append(partial(setattr, function, "__defaults__", before[0]))
                undo.append(partial(setattr, function, "__kwdefaults__", before[1]))
    try:
        yield
    finally:
        for one in reversed(undo):
            one()


def all_functions(module: ModuleType) -> Iterator[FunctionType]:
    for value in vars(module).values():
        if isinstance(value, type):
            yield from (one for one in vars(value).values() if isinstance(one, FunctionType))
        elif isinstance(value, FunctionType):
            yield value


@pytest.mark.parametrize("figure", figures(), ids=lambda one: one.name)
def test_a_broken_number_is_noticed(figure: Figure) -> None:
    with put_instead(figure.value, figure.value + Fraction(1, 8)):
        assert is_noticed(cases())


@pytest.mark.parametrize("figure", GIVES, ids=str)
def test_a_broken_yield_is_noticed(figure: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(GIVES, figure, GIVES[figure] + 1)  # type: ignore[index,arg-type]
    assert is_noticed(cases())
