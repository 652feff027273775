"""Making text harmless in HTML, XML and SVG: the one escape that every page, answer and picture goes through."""

from __future__ import annotations

from functools import lru_cache

_REPLACEMENT = "\ufffd"
_TABLE = str.maketrans(
    {code: _REPLACEMENT for code in (*range(0x20), *range(0x7F, 0xA0), 0xFFFE, 0xFFFF) if code not in (9, 10, 13)}
    | {ord("&"): "&amp;", ord("<"): "&lt;", ord(">"): "&gt;", ord('"'): "&quot;", ord("'"): "&#39;"}
)


@lru_cache(maxsize=4096)  # the words of an answer hardly change from one to the next
def escape(text: str) -> str:
    """Escape text for content and for quoted attributes; characters that XML forbids become U+FFFD.

    >>> escape('a<b & "c"')
    'a&lt;b &amp; &quot;c&quot;'
    """
    marked = text.translate(_TABLE)
    return marked if marked.isascii() else "".join(letter if _allowed(letter) else _REPLACEMENT for letter in marked)


def _allowed(letter: str) -> bool:
    code = ord(letter)
    return not (0xD800 <= code <= 0xDFFF or code & 0xFFFE == 0xFFFE)
