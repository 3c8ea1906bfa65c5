"""XML of one namespace: elements, text that XML can hold, and the bytes of a file."""

import re

from lxml import etree

_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def new_root(namespace: str, tag: str, **attributes: str) -> etree._Element:
    """Return the outermost element of a document; its namespace is the default one."""
    namespaces: dict[str, str] = {None: namespace}  # type: ignore[dict-item]  # the default namespace
    return etree.Element(f"{{{namespace}}}{tag}", attributes, namespaces)


def add_child(parent: etree._Element, tag: str, text: str | None = None) -> etree._Element:
    """Return a new last element in a parent, of the parent's namespace."""
    element = etree.SubElement(parent, f"{parent.tag.partition('}')[0]}}}{tag}")
    if text is not None:
        element.text = allowed_text(text)
    return element


def document_bytes(root: etree._Element) -> bytes:
    """Return a document as it stands in a file."""
    content: bytes = etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=True)
    return content


def allowed_text(text: str) -> str:
    """Return a text without the characters that XML 1.0 does not allow (production 2, Char)."""
    return _FORBIDDEN.sub("", text)
