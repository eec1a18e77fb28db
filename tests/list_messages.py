"""Every message kitmaker can say, taken from the source: what is said, and what to do.

``python tests/list_messages.py`` prints the table. A message is an argument of something that
makes a problem (``error``, ``warning``, an exception with a message for people) or of a function
that hands its own argument on to one; those are found by looking, not listed.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]

MAKERS: dict[str, tuple[str, str]] = {
    "error": ("message", "error"),
    "warning": ("message", "warning"),
    "Problem": ("message", "error or warning"),
    "Finding": ("message", "error or warning"),
    ".error": ("message", "error"),
    ".warning": ("message", "warning"),
    "__init__": ("message", "error"),
    "say": ("words", "said at the end"),
    "CannotBeMetError": ("problems", "exit 1"),
    "UsageError": ("problems", "exit 2"),
    "UnreadableError": ("problems", "exit 3"),
    "OutputError": ("problems", "exit 4"),
    "OurFaultError": ("problems", "exit 70"),
    "RecordError": ("message", "exit 3"),
    "UnsureError": ("message", "error"),
    "AmountError": ("message", "error"),
    "ShapeWordsError": ("message", "error"),
    "FigureError": ("message", "error"),
    "FigureSizeError": ("message", "error"),
    "LengthError": ("message", "error"),
}
"""What makes a message: its parameter, and how the message ends a command."""

ORDER = {
    **dict.fromkeys(("error", "warning"), ("message", "location", "suggestion")),
    "Problem": ("level", "message", "location", "suggestion"),
    "Finding": ("line", "level", "message", "suggestion"),
    ".error": ("key", "message", "suggestion"),
    ".warning": ("message", "suggestion"),
}
"""The parameters of makers that do not begin with message and suggestion."""


@dataclass(frozen=True, slots=True, order=True)
class Message:
    """One message.

    Attributes:
        room: The module that says it.
        said: Its words, with … for what is filled in.
        todo: What to type or do instead; "" where it is part of the words.
        kind: How it ends a command.
    """

    room: str
    said: str
    todo: str
    kind: str


@dataclass(frozen=True, slots=True)
class Function:
    """A function, as far as it may hand a message on."""

    node: ast.FunctionDef
    module: str
    tree: ast.Module

    @property
    def parameters(self) -> tuple[str, ...]:
        names = [*self.node.args.posonlyargs, *self.node.args.args, *self.node.args.kwonlyargs]
        return tuple(one.arg for one in names if one.arg not in ("self", "cls"))


def sources() -> Iterator[tuple[str, ast.Module]]:
    for path in sorted((ROOT / "kitmaker").rglob("*.py")):
        room = ".".join(path.relative_to(ROOT / "kitmaker").with_suffix("").parts)
        yield room, ast.parse(path.read_text(encoding="utf-8"))


def called(call: ast.Call) -> str:
    """Return the name of what is called; a method of the same name as a maker has a dot."""
    if isinstance(call.func, ast.Attribute):
        return call.func.attr if call.func.attr not in ORDER else f".{call.func.attr}"
    return call.func.id if isinstance(call.func, ast.Name) else ""


def texts(
    node: ast.expr | None, function: Function, seen: frozenset[str] = frozenset()
) -> list[str]:
    """Return the templates an expression may stand for; none where it is no text of its own."""
    if isinstance(node, ast.Constant):
        return [node.value] if isinstance(node.value, str) else []
    if isinstance(node, ast.JoinedStr):
        parts = [str(one.value) if isinstance(one, ast.Constant) else "…" for one in node.values]
        return ["".join(parts)]
    if isinstance(node, ast.IfExp):
        return texts(node.body, function, seen) + texts(node.orelse, function, seen)
    if isinstance(node, ast.BoolOp):
        return [text for one in node.values for text in texts(one, function, seen)]
    if isinstance(node, ast.BinOp):
        left, right = (texts(one, function, seen) or ["…"] for one in (node.left, node.right))
        return [a + b for a in left for b in right]
    if isinstance(node, ast.Name) and node.id not in seen:
        return [
            text
            for value in assigned(node.id, function)
            for text in texts(value, function, seen | {node.id})
        ]
    return []


def assigned(name: str, function: Function) -> Iterator[ast.expr]:
    """Yield what a name is given in a function or, where nothing is, in its module."""
    for scope in (ast.walk(function.node), function.tree.body):
        found = False
        for one in scope:
            targets = one.targets if isinstance(one, ast.Assign) else ()
            if isinstance(one, ast.Assign) and any(
                isinstance(target, ast.Name) and target.id == name for target in targets
            ):
                found = True
                yield one.value
        if found:
            return


def argument(call: ast.Call, order: tuple[str, ...], name: str) -> ast.expr | None:
    for keyword in call.keywords:
        if keyword.arg == name:
            return keyword.value
    at = order.index(name) if name in order else -1
    return call.args[at] if 0 <= at < len(call.args) else None


class Listing:
    """The messages of a package, and the functions that hand messages on."""

    def __init__(self) -> None:
        self.functions = [
            Function(node, room, tree)
            for room, tree in sources()
            for node in ast.walk(tree)
            if isinstance(node, ast.FunctionDef)
        ]
        self.every_call = [
            (function, node)
            for function in self.functions
            for node in ast.walk(function.node)
            if isinstance(node, ast.Call)
        ]
        self.makers = dict(MAKERS)
        self.order = dict(ORDER)
        self.todo = dict.fromkeys(MAKERS, "suggestion")
        self.otherwise: dict[str, list[str]] = {}
        for name, text in self._otherwise():
            self.otherwise.setdefault(name, []).append(text)
        self.messages: set[Message] = set()
        self.unread: list[str] = []
        while self._find_wrappers():
            pass
        self._list()
        self._list_collected()

    def _otherwise(self) -> Iterator[tuple[str, str]]:
        """Yield what an exception, or who catches it, says to do where nothing is given."""
        for function in self.functions:
            if function.node.name == "__init__":
                given = [*function.node.args.defaults, *_either(function.node)]
                name = _class_of(function)
                yield from ((name, text) for node in given for text in texts(node, function))
            for caught in ast.walk(function.node):
                for node in _either(caught) if isinstance(caught, ast.ExceptHandler) else ():
                    if caught.type is not None and ast.unparse(node).startswith("fault.sugg"):
                        name = ast.unparse(caught.type)
                        yield from ((name, text) for text in texts(node, function))

    def _calls(self) -> Iterator[tuple[Function, ast.Call]]:
        for function, call in self.every_call:
            if called(call) in self.makers and self._speaks_to_people(call, function):
                yield function, call

    @staticmethod
    def _speaks_to_people(call: ast.Call, function: Function) -> bool:
        """Leave out the cutting core's problem, and lines that are results."""
        if called(call) == "say":
            return any(one.arg == "err" for one in call.keywords)
        return called(call) != "Problem" or not function.module.startswith("cutting.")

    def _order(self, name: str) -> tuple[str, ...]:
        return self.order.get(name, (self.makers[name][0], "suggestion"))

    def _find_wrappers(self) -> bool:
        """Add functions that hand a parameter on as the message; False when none is new."""
        found = False
        for function, call in list(self._calls()):
            name = called(call)
            given = argument(call, self._order(name), self.makers[name][0])
            own = function.node.name
            if own in self.makers or own.startswith("__") or not isinstance(given, ast.Name):
                continue
            if given.id == "message" and given.id in function.parameters:
                self.makers[own] = (given.id, self.makers[name][1])
                self.order[own] = function.parameters
                todo = argument(call, self._order(name), self.todo[name])
                handed_on = isinstance(todo, ast.Name) and todo.id in function.parameters
                self.todo[own] = todo.id if isinstance(todo, ast.Name) and handed_on else ""
                self.otherwise[own] = texts(todo, function)
                found = True
        return found

    def _list(self) -> None:
        inside = {
            id(inner): self.makers[called(call)][1]
            for _, call in self._calls()
            if self.makers[called(call)][1].startswith("exit")
            for inner in ast.walk(call)
            if inner is not call
        }
        for function, call in self._calls():
            name = called(call)
            kind = inside.get(id(call), self.makers[name][1])
            given = argument(call, self._order(name), self.makers[name][0])
            said = texts(given, function)
            todo = texts(argument(call, self._order(name), self.todo[name]), function)
            todo = todo or self.otherwise.get(name, [])
            for words in said:
                self.messages.add(
                    Message(
                        function.module,
                        words,
                        " / ".join(one for one in todo if one),
                        kind,
                    )
                )
            if not said and not self._is_handed_on(given):
                self.unread.append(f"{function.module}:{call.lineno} {name}")

    def _is_handed_on(self, given: ast.expr | None) -> bool:
        """Whether the words are another's: a parameter, an exception's own, problems found."""
        if isinstance(given, ast.Name):
            return True
        found = (ast.Attribute, ast.Call, ast.Tuple, ast.List, ast.GeneratorExp)
        return given is None or isinstance(given, found)

    def _list_collected(self) -> None:
        """List what is added to a list of warnings, to be said where the list is read."""
        for function, node in self.every_call:
            if called(node) in ("append", "extend") and node.args:
                if not re.search(r"\bwarnings\.\w+$", ast.unparse(node.func)):
                    continue
                given = node.args[0]
                given = given.elt if isinstance(given, ast.GeneratorExp) else given
                pair = given.elts if isinstance(given, ast.Tuple) else [given, None]
                todo = " / ".join(texts(pair[1], function))
                for words in texts(pair[0], function):
                    self.messages.add(Message(function.module, words, todo, "warning"))


def _class_of(function: Function) -> str:
    """Return the class that a method stands in."""
    return next(
        one.name
        for one in function.tree.body
        if isinstance(one, ast.ClassDef) and function.node in one.body
    )


def _either(node: ast.AST) -> list[ast.BoolOp]:
    return [one for one in ast.walk(node) if isinstance(one, ast.BoolOp)]


def cell(text: str) -> str:
    words = " ".join(text.split()).replace("|", "\\|").replace("<", "&lt;")
    return words or "–"


def table(listing: Listing) -> str:
    """Return the messages as a table."""
    rows = ["| room | what is said | what to do | kind |", "| --- | --- | --- | --- |"]
    rows += [
        f"| `{one.room}` | {cell(one.said)} | {cell(one.todo)} | {one.kind} |"
        for one in sorted(listing.messages)
    ]
    return "\n".join(rows) + "\n"


def main() -> None:
    sys.stdout.write(table(Listing()))


if __name__ == "__main__":
    main()
