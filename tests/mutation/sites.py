"""Small changes of meaning to a module's source, one at a time: what a test that bites must notice."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

OTHER_COMPARE: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}  # fmt: skip
OTHER_SUM: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
}  # fmt: skip
OTHER_NAME = {
    "min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum", "any": "all", "all": "any",
    "floor": "ceil", "ceil": "floor", "argmin": "argmax", "argmax": "argmin",
}  # fmt: skip
LEFT_ALONE = ("ModelRangeError", "PlanFileError", "SettingsError", "TrackError", "RuntimeError", "ValueError")
"""What a message says is told by no number of the plan."""

LEAST_CONSTANT = 1e-4
"""Smaller ones only take rounding in; how much of it says nothing of the plan."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """A module with one change: where, and what became of what."""

    path: Path
    line: int
    before: str
    after: str
    source: str


@dataclass(frozen=True, slots=True)
class Site:
    """A place where a module can be changed: its line, and which of the tree's nodes it is."""

    path: Path
    line: int
    number: int

    def change(self) -> Mutant:
        """Return the module with the change."""
        tree = ast.parse(self.path.read_text(encoding="utf-8"))
        node = _placed(tree)[self.number]
        before = ast.unparse(node)
        _apply(node)
        return Mutant(self.path, self.line, before, ast.unparse(node), ast.unparse(tree))


def sites_of(path: Path) -> Iterator[Site]:
    """Yield every place of a file where it can be changed, in the order of its tree."""
    places = _placed(ast.parse(path.read_text(encoding="utf-8")))
    skipped = {id(inner) for node in places if _is_left_alone(node) for inner in ast.walk(node)}
    for number, node in enumerate(places):
        if id(node) not in skipped and _changes(node):
            yield Site(path, node.lineno, number)


def _placed(tree: ast.Module) -> list[Any]:
    """Return the nodes that have a line."""
    return [node for node in ast.walk(tree) if hasattr(node, "lineno")]


def _is_left_alone(node: ast.AST) -> bool:
    """Return whether a part says nothing of the plan: annotations, messages, rounding, how it is kept."""
    if isinstance(node, ast.AnnAssign) and isinstance(node.annotation, ast.AST):
        return node.value is None
    if isinstance(node, ast.keyword):
        return node.arg == "strict"
    if isinstance(node, ast.Raise | ast.Import | ast.ImportFrom):
        return True
    return isinstance(node, ast.Call) and _called(node) in (
        *LEFT_ALONE,
        "round",
        "dataclass",
        "lru_cache",
        "fact",
        "range",
    )


def _called(node: ast.Call) -> str:
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


def _changes(node: ast.AST) -> bool:
    """Return whether there is a change for a node."""
    if isinstance(node, ast.Compare):
        return len(node.ops) == 1
    if isinstance(node, ast.BinOp):
        return type(node.op) in OTHER_SUM
    if isinstance(node, ast.BoolOp):
        return True
    if isinstance(node, ast.UnaryOp):
        return isinstance(node.op, ast.Not)
    if isinstance(node, ast.Constant):
        return isinstance(node.value, bool) or (
            isinstance(node.value, float | int)
            and node.value not in (0, 1, -1)
            and abs(node.value) >= LEAST_CONSTANT
        )
    return isinstance(node, ast.Call) and _called(node) in OTHER_NAME


def _apply(node: ast.AST) -> None:
    if isinstance(node, ast.Compare):
        node.ops[0] = OTHER_COMPARE[type(node.ops[0])]()
    elif isinstance(node, ast.BinOp):
        node.op = OTHER_SUM[type(node.op)]()
    elif isinstance(node, ast.BoolOp):
        node.op = ast.And() if isinstance(node.op, ast.Or) else ast.Or()
    elif isinstance(node, ast.UnaryOp):
        node.operand = ast.UnaryOp(ast.Not(), node.operand)
    elif isinstance(node, ast.Constant):
        node.value = _other_value(node.value)
    elif isinstance(node, ast.Call):
        other = OTHER_NAME[_called(node)]
        if isinstance(node.func, ast.Attribute):
            node.func.attr = other
        elif isinstance(node.func, ast.Name):
            node.func.id = other


def _other_value(value: object) -> bool | float:
    if isinstance(value, bool):
        return not value
    assert isinstance(value, int | float)
    return value * 2 if isinstance(value, int) else value * 1.4
