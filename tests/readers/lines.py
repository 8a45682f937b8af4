"""A calendar taken apart by hand: octets into lines, lines into properties."""

import re
from dataclasses import dataclass, field

# name *(";" param) ":" value, where quoted parameter values may hold any of these marks
LINE = re.compile(r'([A-Za-z0-9-]+)((?:;[A-Za-z0-9-]+=(?:"[^"]*"|[^";:,]*))*):(.*)', re.DOTALL)
PARAMETER = re.compile(r';([A-Za-z0-9-]+)=("[^"]*"|[^";:,]*)')
ESCAPED = re.compile(r"\\([\\;,nN])")


@dataclass
class Property:
    """One content line (RFC 5545 section 3.1); the value as written."""

    name: str
    parameters: dict[str, str]
    value: str

    @property
    def text(self) -> str:
        """Return a TEXT value without its escapes (RFC 5545 section 3.3.11)."""
        return ESCAPED.sub(lambda m: "\n" if m[1] in "nN" else m[1], self.value)


@dataclass
class Block:
    """What stands between a BEGIN and its END."""

    name: str
    properties: list[Property] = field(default_factory=list)
    blocks: list["Block"] = field(default_factory=list)

    def every(self, name: str) -> list[Property]:
        """Return all properties of that name."""
        return [found for found in self.properties if found.name == name]

    @property
    def names(self) -> set[str]:
        """Return the names of all properties."""
        return {found.name for found in self.properties}

    def value(self, name: str) -> str | None:
        """Return the first value of that name."""
        found = self.every(name)
        return found[0].value if found else None

    def inner(self, name: str) -> list["Block"]:
        """Return the blocks of that name directly inside."""
        return [block for block in self.blocks if block.name == name]


def unfolded(octets: bytes) -> str:
    """Return the lines joined as octets before they are decoded (RFC 5545 section 3.1)."""
    return re.sub(rb"\r\n[ \t]", b"", octets).decode("utf-8", "replace")


def parsed(octets: bytes) -> Block:
    """Return the calendar as a tree; ValueError for what is no calendar."""
    stack = [Block("")]
    for line in unfolded(octets).split("\r\n"):
        if line:
            _take(stack, line)
    if len(stack) != 1 or [block.name for block in stack[0].blocks] != ["VCALENDAR"]:
        raise ValueError("Not one whole calendar")
    return stack[0].blocks[0]


def _take(stack: list[Block], line: str) -> None:
    match = LINE.fullmatch(line)
    if not match:
        raise ValueError(f"No property: {line[:60]!r}")
    name, parameters, value = match.groups()
    if name == "BEGIN":
        stack[-1].blocks.append(Block(value))
        stack.append(stack[-1].blocks[-1])
    elif name == "END":
        if stack.pop().name != value or not stack:
            raise ValueError(f"END:{value} ends nothing")
    else:
        pairs = {key: given.strip('"') for key, given in PARAMETER.findall(parameters)}
        stack[-1].properties.append(Property(name, pairs, value))
