"""Where a docstring lists parameters it lists the function's own, all of them, each with a word on it.

The house writes `name : what it is` on one line, types being in the signature; ruff's own check of this
knows only the form with the type after the colon.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SECTION = re.compile(r"^Parameters\n-+\n(.*?)(?=^\w[\w ]*\n-+\n|\Z)", re.M | re.S)
ENTRY = re.compile(r"^(\w+(?:, \w+)*) : (?=\S)", re.M)

Documented = ast.FunctionDef | ast.ClassDef


def documented(tree: ast.AST) -> Iterator[tuple[Documented, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            section = SECTION.search(ast.get_docstring(node) or "")
            if section:
                yield node, section[1]


def own_names(node: Documented) -> set[str]:
    """Return the parameters of a function, or what a value is made from."""
    if isinstance(node, ast.ClassDef):
        fields = [line.target for line in node.body if isinstance(line, ast.AnnAssign)]
        makers = [line for line in node.body if isinstance(line, ast.FunctionDef) and line.name == "__init__"]
        named = {field.id for field in fields if isinstance(field, ast.Name)}
        return named.union(*map(own_names, makers))
    args = node.args
    stars = [arg for arg in (args.vararg, args.kwarg) if arg]
    return {arg.arg for arg in (*args.posonlyargs, *args.args, *args.kwonlyargs, *stars)} - {"self"}


@pytest.mark.parametrize("path", sorted((ROOT / "terrain_fuel").rglob("*.py")), ids=lambda path: path.stem)
def test_parameters_that_are_described_are_the_functions_own(path: Path) -> None:
    for node, section in documented(ast.parse(path.read_text(encoding="utf-8"))):
        named = {name for entry in ENTRY.findall(section) for name in entry.split(", ")}
        where = f"{path.name}: {node.name}"
        assert named, where
        if isinstance(node, ast.ClassDef):
            assert named <= own_names(node), f"{where}: {named - own_names(node)}"
        else:
            assert named == own_names(node), f"{where}: {named ^ own_names(node)}"
