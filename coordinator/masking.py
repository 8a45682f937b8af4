"""Hides secrets and mailboxes in what is logged or shown: links open doors, codes let people in."""

import logging
import re

MAILBOX = re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+")
# A segment of a path that is a stored secret (32 characters) or a signed token (has colons).
SECRET_SEGMENT = re.compile(r"(?<=/)(?:[\w-]{24,}|[\w-]+(?::[\w-]+)+)(?=[/?#\s\"'<)\]&.,]|$)")
CODE = re.compile(r"(?m)^[ \t]*[A-Z0-9]{3,4}-?[A-Z0-9]{3,4}[ \t]*$")
MASK = "…"


def without_links(text: str) -> str:
    """Return text with the secret part of each link hidden."""
    return SECRET_SEGMENT.sub(MASK, text)


def without_codes(text: str) -> str:
    """Return text with a log-in code that stands alone on its line hidden."""
    return CODE.sub(MASK, text)


def without_secrets(text: str) -> str:
    """Return text without secret links and without mailboxes, fit for a log."""
    return MAILBOX.sub(MASK, without_links(text))


class MaskedLog(logging.Filter):
    """Lets every record through, its message masked and its request left out."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Mask the finished message, so that arguments are masked too."""
        record.msg = without_secrets(record.getMessage())
        record.args = None
        return True
