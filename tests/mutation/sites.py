"""Small changes of meaning to a module's source, one at a time: what a test that bites must notice."""

import ast
import copy
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

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


@dataclass(frozen=True, slots=True)
class Mutant:
    """A module with one change: where, and what became of what."""

    path: Path
    line: int
    before: str
    after: str
    source: str


def mutants_of(path: Path) -> Iterator[Mutant]:
    """Yield every mutant of a file, in the order of its lines."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    places = [node for node in ast.walk(tree) if hasattr(node, "lineno")]
    skipped = {id(inner) for node in places if _is_left_alone(node) for inner in ast.walk(node)}
    for number, node in enumerate(places):
        if id(node) in skipped:
            continue
        for change in range(_changes(node)):
            whole = copy.deepcopy(tree)
            twin = [each for each in ast.walk(whole) if hasattr(each, "lineno")][number]
            before = ast.unparse(twin)
            _apply(twin, change)
            yield Mutant(path, node.lineno, before, ast.unparse(twin), ast.unparse(whole))


def _is_left_alone(node: ast.AST) -> bool:
    """Return whether a part says nothing of the plan: annotations, messages, rounding, how it is kept."""
    if isinstance(node, ast.AnnAssign) and isinstance(node.annotation, ast.AST):
        return node.value is None
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


def _changes(node: ast.AST) -> int:
    """Return how many changes there are for a node."""
    if isinstance(node, ast.Compare):
        return len(node.ops) == 1
    if isinstance(node, ast.BinOp):
        return type(node.op) in OTHER_SUM
    if isinstance(node, ast.BoolOp):
        return 1
    if isinstance(node, ast.UnaryOp):
        return isinstance(node.op, ast.Not)
    if isinstance(node, ast.Constant):
        return isinstance(node.value, bool) or (
            isinstance(node.value, float | int) and node.value not in (0, 1, -1)
        )
    return isinstance(node, ast.Call) and _called(node) in OTHER_NAME


def _apply(node: ast.AST, _: int) -> None:
    if isinstance(node, ast.Compare):
        node.ops[0] = OTHER_COMPARE[type(node.ops[0])]()
    elif isinstance(node, ast.BinOp):
        node.op = OTHER_SUM[type(node.op)]()
    elif isinstance(node, ast.BoolOp):
        node.op = ast.And() if isinstance(node.op, ast.Or) else ast.Or()
    elif isinstance(node, ast.UnaryOp):
        node.op = ast.UAdd() if False else node.op
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
