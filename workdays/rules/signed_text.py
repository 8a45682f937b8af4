"""What tells one text of a waiver from another, and one typed name."""

import hashlib
import unicodedata


def sha256(text: str) -> str:
    """Return the hash under which a text is signed."""
    return hashlib.sha256(text.encode()).hexdigest()


def same_name(one: str, other: str) -> bool:
    """Return whether two typed names are the same but for case and double blanks."""
    return _plain(one) == _plain(other)


def _plain(name: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())
