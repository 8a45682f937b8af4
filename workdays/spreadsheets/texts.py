"""Text as it is stored, and as it may stand in a cell without being taken for a formula."""

from __future__ import annotations

import re
import unicodedata

TURNS = re.compile("[\u202a-\u202e\u2066-\u2069\ufffe\uffff]")
ENDS = re.compile("\r\n|[\r\u000b\u000c\u0085\u2028\u2029]")
# Source: OWASP, "CSV Injection" (from memory): what a spreadsheet takes for a formula.
FORMULA = re.compile(r"'*[=+\-@\t\r\n]")


def line(text: str) -> str:
    """Return one line with single blanks, as the forms keep it."""
    return " ".join(paragraph(text).split())


def paragraph(text: str) -> str:
    """Return text with one kind of line end and nothing unprintable, as the forms keep it."""
    if text.isascii() and text.isprintable():
        return text.strip()
    joined = ENDS.sub("\n", text).replace("\t", " ")
    kept = (c for c in joined if c == "\n" or unicodedata.category(c) not in ("Cc", "Cs"))
    return unicodedata.normalize("NFC", TURNS.sub("", "".join(kept))).strip()


def harmless(text: str) -> str:
    """Return text that no spreadsheet takes for a formula: a quote before what begins like one.

    Text that begins with quotes and then like a formula gets one more, so that `original` undoes
    it exactly.
    """
    return f"'{text}" if FORMULA.match(text) else text


def original(text: str) -> str:
    """Return text as it was before `harmless`."""
    return text[1:] if text.startswith("'") and FORMULA.match(text) else text
