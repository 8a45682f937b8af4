"""Numbers in sentences."""

NUMBERS = (
    *("no", "one", "two", "three", "four", "five", "six"),
    *("seven", "eight", "nine", "ten", "eleven", "twelve"),
)


def counted(n: int, one: str, many: str) -> str:
    """Return "One job waits" or "Eleven jobs wait"; figures above twelve."""
    word = NUMBERS[n].capitalize() if n < len(NUMBERS) else str(n)
    return f"{word} {one if n == 1 else many}"


def some(n: int, what: str) -> str:
    """Return "1 job" or "17 jobs"."""
    return f"{n} {what}" if n == 1 else f"{n} {what}s"


def measured(n: float, what: str) -> str:
    """Return "1 hour" or "2.5 litres"."""
    figure = f"{n:g}"
    return f"{figure} {what}" if figure == "1" else f"{figure} {what}s"


def heads(n: int, of: str = "") -> str:
    """Return "1 person", "4 people" or "1 new person"."""
    return " ".join(filter(None, [str(n), of, "person" if n == 1 else "people"]))


def joined(words: list[str]) -> str:
    """Return "a", "a and b" or "a, b and c"."""
    return " and ".join(part for part in (", ".join(words[:-1]), *words[-1:]) if part)
