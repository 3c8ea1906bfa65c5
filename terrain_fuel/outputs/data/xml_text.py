"""Text that XML can hold."""


def allowed_text(text: str) -> str:
    """Return a text without the characters that XML 1.0 does not allow (production 2, Char)."""
    return "".join(letter for letter in text if _is_allowed(ord(letter)))


def _is_allowed(code: int) -> bool:
    return code in (0x9, 0xA, 0xD) or 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or code >= 0x10000
