"""How long words are when drawn, and how to shorten or break them to a width.

Widths are estimates for any sans-serif of the reader's system, on the wide side, since the server
does not know the font.
"""

NARROW = set("iljftrI.,:;'|!()[] ")
BROAD = set("mwMWQOGCDHNU%@&—")


def width_of(text: str, size: float, *, bold: bool = False) -> float:
    """Return about how wide text is in pixels at a font size."""
    ems = sum(0.36 if c in NARROW else 0.86 if c in BROAD else 0.61 for c in text)
    return ems * size * (1.08 if bold else 1.0)


def shortened(text: str, width: float, size: float, *, bold: bool = False) -> str:
    """Return text that fits, cut with an ellipsis if need be; empty where not one letter fits."""
    if width_of(text, size, bold=bold) <= width:
        return text
    for end in range(len(text) - 1, 0, -1):
        cut = f"{text[:end].rstrip(' ,;')}…"
        if width_of(cut, size, bold=bold) <= width:
            return cut
    return ""


def lines(text: str, width: float, size: float, *, most: int) -> tuple[str, ...]:
    """Return text broken at blanks into at most so many lines; the last one is shortened."""
    broken: list[str] = []
    rest = text.split()
    while rest and len(broken) < most - 1:
        taken = 1
        while taken < len(rest) and width_of(" ".join(rest[: taken + 1]), size) <= width:
            taken += 1
        broken.append(shortened(" ".join(rest[:taken]), width, size))
        rest = rest[taken:]
    if rest:
        broken.append(shortened(" ".join(rest), width, size))
    return tuple(line for line in broken if line)
