"""The first letters of a name: enough for a family to tell its own apart, too little to misuse."""

MOST = 4


def initials(name: str) -> str:
    """Return "A. C." for "Ana Costa"; nothing of a name that holds no letters."""
    firsts = [next((c for c in word if c.isalpha()), "") for word in name.split()]
    return " ".join(f"{first.upper()}." for first in firsts if first)[: 3 * MOST - 1].strip()
