"""What tells one text of a waiver from another."""

import hashlib


def sha256(text: str) -> str:
    """Return the hash under which a text is signed."""
    return hashlib.sha256(text.encode()).hexdigest()
