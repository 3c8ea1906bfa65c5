"""Docstrings as the documentation shows them: cited sources as links, entries as they are written."""

import re
from typing import Any

import griffe

CITED = re.compile(r"\[(\w+)\]_")
PARTS = re.compile(r"^( *)(Parameters|Returns)\n\1-+\n(.*?)(?=^\1\w+\n\1-+\n|\Z)", re.MULTILINE | re.DOTALL)


class AsWritten(griffe.Extension):
    """Turns what numpydoc writes into what Markdown reads."""

    def on_object(self, *, obj: griffe.Object, **kwargs: Any) -> None:
        """Rewrite the docstring of one module, class, function or value."""
        if obj.docstring is not None:
            obj.docstring.value = as_markdown(obj.docstring.value)


def as_markdown(docstring: str) -> str:
    """Return a docstring whose sources are links, and whose entries are told as descriptions, not as types.

    >>> as_markdown("Speed [Ma98]_.")
    'Speed [[Ma98]](sources.html#Ma98).'
    """
    docstring = re.sub(r"^( *)::\n", "", docstring, flags=re.MULTILINE)
    text = PARTS.sub(lambda part: part[0].replace(part[3], _told(part[3], part[1], part[2])), docstring)
    return CITED.sub(r"[[\1]](sources.html#\1)", text)


def _told(lines: str, indent: str, section: str) -> str:
    """Return the entries of a section: ``name : what it is`` over two lines, so that no type is made of it.

    What a function returns has no name: there the first space of the type is one that does not break, by
    which it is no Python to be set anew.
    """
    if section == "Parameters":
        each_its_own = rf"^{indent}(\w+(?:, \w+)+) : (.*(?:\n{indent} +.*)*)$"
        lines = re.sub(each_its_own, lambda found: _one_by_one(found, indent), lines, flags=re.MULTILINE)
        return re.sub(rf"^({indent}\w+(?:, \w+)*) : (.*)$", rf"\1\n{indent}    \2", lines, flags=re.MULTILINE)
    return re.sub(rf"^({indent}[^\s:]+) (?=\S)", "\\1\u00a0", lines, flags=re.MULTILINE)


def _one_by_one(found: "re.Match[str]", indent: str) -> str:
    """Return names that are told together one after the other: each has a type of its own."""
    return "\n".join(f"{indent}{name} : {found[2]}" for name in found[1].split(", "))
