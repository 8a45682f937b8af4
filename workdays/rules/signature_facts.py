"""What the record of a signature must hold, with the source that asks for it."""

from collections.abc import Mapping
from dataclasses import dataclass

from workdays.rules.signed_text import sha256

SIGN = "15 USC 7006(5) and UETA 2(8)"
KEEP = "15 USC 7001(d) and UETA 12"
OWN = "follows from the above; common practice, no source"


@dataclass(frozen=True)
class Fact:
    """One thing that a record holds: its name there, what it is, and who asks for it."""

    name: str
    words: str
    source: str


FACTS = (
    Fact("signed_by", "the person who signed", SIGN),
    Fact("signed_for", "the person for whom it was signed", SIGN),
    Fact("role", "for themselves, or as guardian", OWN),
    Fact("affirmed", "the words said yes to: the intent to sign", SIGN),
    Fact("method", "the process by which it was signed", SIGN),
    Fact("typed_name", "the symbol adopted: the name as it was typed or written", SIGN),
    Fact("title", "the heading of the text", SIGN),
    Fact("version", "which version of the text it is tied to", SIGN),
    Fact("text", "the exact text, which can be shown again as it was", KEEP),
    Fact("text_sha256", "the hash that shows that the text is unchanged", KEEP),
    Fact("language", "the language that was shown", OWN),
    Fact("signed_at", "the moment, in UTC", KEEP),
)
OF_GUARDIANS = Fact("relation", "what the signer is to the minor", OWN)


def missing_facts(record: Mapping[str, object]) -> list[str]:
    """Return what a record lacks, in words; a hash of another text counts as lacking."""
    wanted = [*FACTS, *([OF_GUARDIANS] if record.get("role") == "guardian" else [])]
    lacking = [fact.words for fact in wanted if record.get(fact.name) in (None, "")]
    if sha256(str(record.get("text", ""))) != record.get("text_sha256"):
        lacking.append("the hash of this very text")
    return lacking
