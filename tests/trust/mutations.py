"""Small faults put into a source file, one at a time: what a mutant is.

Left alone is what no test could notice: annotations, docstrings, type aliases,
protocols and the keywords that only say how a class is built. Texts are left
alone too; what they say is for tests of screens.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any, NamedTuple

_COMPARED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
}
_COUNTED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Pow: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
}
_CALLED = {"min": "max", "max": "min", "any": "all", "all": "any"}
_BUILT = {"frozen", "slots", "maxsize", "kw_only", "strict"}
_TYPES = {"Literal", "Mapping", "Callable", "Annotated", "Final"}
_DROPPED = (ast.Assign, ast.AugAssign, ast.Raise, ast.Continue, ast.Break, ast.Expr)


class Mutant(NamedTuple):
    """One fault: the line, the kind, what stood there, what stands there now, the whole source."""

    line: int
    kind: str
    before: str
    after: str
    source: str


class _Change(NamedTuple):
    at: int  # place in ast.walk order
    kind: str
    make: Callable[[ast.AST], ast.AST]


def mutants(source: str) -> list[Callable[[], Mutant]]:
    """Every single fault of ``source`` that still is a program, each made when it is called for."""
    return [partial(_mutant, source, change) for change in _changes(ast.parse(source))]


def _mutant(source: str, change: _Change) -> Mutant:
    tree = ast.parse(source)
    node = list(ast.walk(tree))[change.at]
    before = _told(node)
    new = change.make(node)
    if new is not node:
        _Replace(node, new).visit(tree)
    ast.fix_missing_locations(tree)
    line = getattr(node, "lineno", 0)
    return Mutant(line, change.kind, before, _told(new), ast.unparse(tree))


class _Replace(ast.NodeTransformer):
    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self.old, self.new = old, new

    def visit(self, node: ast.AST) -> Any:
        return self.new if node is self.old else self.generic_visit(node)


def _told(node: ast.AST) -> str:
    shown = node.test if isinstance(node, (ast.If, ast.While, ast.IfExp)) else node
    return " ".join(ast.unparse(shown).split())[:110]


def _changes(tree: ast.AST) -> Iterator[_Change]:
    untouched = _untouched(tree)
    for at, node in enumerate(ast.walk(tree)):
        if id(node) not in untouched:
            for kind, make in _of(node):
                yield _Change(at, kind, make)


def _of(node: ast.AST) -> Iterator[tuple[str, Callable[[Any], ast.AST]]]:
    if isinstance(node, ast.Compare):
        for place, operator in enumerate(node.ops):
            for other in _COMPARED.get(type(operator), ()):
                yield "comparison", _set_compared(place, other)
    elif isinstance(node, (ast.BinOp, ast.AugAssign)) and type(node.op) in _COUNTED:
        yield "arithmetic", _set("op", _COUNTED[type(node.op)]())
    elif isinstance(node, ast.BoolOp):
        yield "boolean", _set("op", ast.Or() if isinstance(node.op, ast.And) else ast.And())
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, (ast.Not, ast.USub)):
        yield "boolean" if isinstance(node.op, ast.Not) else "arithmetic", lambda n: n.operand
    elif isinstance(node, ast.Constant) and isinstance(node.value, (bool, int, float)):
        yield "constant", _set("value", _other(node.value))
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        if node.func.id in _CALLED:
            yield "call", _set("func", ast.Name(_CALLED[node.func.id], ast.Load()))
    elif isinstance(node, ast.Return) and getattr(node.value, "value", node.value) is not None:
        yield "return", _set("value", ast.Constant(None))
    if isinstance(node, _DROPPED) and not _is_text(node):
        yield "deleted", lambda n: ast.copy_location(ast.Pass(), n)
    if isinstance(node, (ast.If, ast.IfExp, ast.While)) and not isinstance(
        node.test, (ast.Compare, ast.UnaryOp, ast.BoolOp)
    ):
        yield "boolean", lambda n: _set("test", ast.UnaryOp(ast.Not(), n.test))(n)


def _other(value: float) -> float:
    """A constant a little off: floats by 2 %, whole numbers by one."""
    if isinstance(value, bool):
        return not value
    return value + 1 if isinstance(value, int) else value * 1.02 or 1.0


def _set(name: str, value: Any) -> Callable[[Any], ast.AST]:
    def make(node: ast.AST) -> ast.AST:
        setattr(node, name, value)
        return node

    return make


def _set_compared(place: int, other: type[ast.cmpop]) -> Callable[[Any], ast.AST]:
    def make(node: ast.Compare) -> ast.AST:
        node.ops[place] = other()
        return node

    return make


def _is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def _untouched(tree: ast.AST) -> set[int]:
    """Ids of the nodes inside what is only read by people and type checkers."""
    left: list[ast.AST | None] = []
    for node in ast.walk(tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            left += [arg.annotation for arg in ast.walk(node.args) if isinstance(arg, ast.arg)]
            left.append(node.returns)
        elif isinstance(node, ast.AnnAssign):
            left.append(node.annotation)
        elif isinstance(node, ast.ClassDef):
            if any(isinstance(each, ast.Name) and each.id == "Protocol" for each in node.bases):
                left.append(node)
        elif (isinstance(node, ast.keyword) and node.arg in _BUILT) or (
            isinstance(node, ast.Assign) and _only_names(node)
        ):
            left.append(node)
        elif isinstance(node, ast.Subscript):
            left.append(node if getattr(node.value, "id", "") in _TYPES else None)
        elif isinstance(node, ast.If) and getattr(node.test, "id", "") == "TYPE_CHECKING":
            left.append(node)
    return {id(inner) for node in left if node is not None for inner in ast.walk(node)}


def _only_names(node: ast.Assign) -> bool:
    """``__all__``, and type aliases such as ``Fired = dict[str, list[Firing]]``."""
    if any(isinstance(target, ast.Name) and target.id == "__all__" for target in node.targets):
        return True
    value = node.value
    alias = isinstance(value, ast.Subscript) and getattr(value.value, "id", "") in (
        *_TYPES, "dict", "list", "tuple", "set",
    )  # fmt: skip
    union = isinstance(value, ast.BinOp) and isinstance(value.op, ast.BitOr)
    called = isinstance(value, ast.Call) and getattr(value.func, "id", "") in ("TypeVar",)
    return alias or called or (union and getattr(node.targets[0], "id", "a")[0].isupper())
