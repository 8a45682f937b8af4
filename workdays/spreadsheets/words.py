"""Trade words and plain words for what is stored: synonyms in use, common practice, no source."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

from workdays.rules.triage import SIGN_WORDS, Sign
from workdays.spreadsheets.fields import several

IGNORED = "-"  # chosen by a person for a word that says nothing of use

TYPE_WORDS: dict[str, str] = {
    "tablet": "tablet",
    "shouldered": "shouldered tablet",
    "obelisk": "obelisk",
    "pedestal": "pedestal (die on a base)",
    "ledger": "ledger",
    "footstone": "footstone",
    "flush": "flush marker",
    "other": "other",
}
MATERIAL_WORDS: dict[str, str] = {
    "marble": "marble",
    "granite": "granite",
    "limestone": "limestone",
    "sandstone": "sandstone",
    "slate": "slate",
    "concrete": "cast stone or concrete",
    "metal": "cast metal",
    "unknown": "not known",
}
CERTAINTY_WORDS: dict[str, str] = {
    "sure": "sure",
    "likely": "likely",
    "doubtful": "doubtful",
    "unknown": "not known",
}
SOUND_WORDS: dict[str, str] = {
    "unknown": "not tapped",
    "solid": "solid ring",
    "hollow": "hollow",
}
LEAN_WORDS: dict[str, str] = {
    "front_or_back": "to the front or back",
    "side": "to the side only",
}
NONE_SEEN = "none"
ALLOWED: dict[str, dict[str, str]] = {
    "type": TYPE_WORDS,
    "material": MATERIAL_WORDS,
    "certainty": CERTAINTY_WORDS,
    "sound": SOUND_WORDS,
    "lean_direction": LEAN_WORDS,
    "signs": {sign.value: words for sign, words in SIGN_WORDS.items()} | {NONE_SEEN: "none seen"},
}
SYNONYMS: dict[str, dict[str, tuple[str, ...]]] = {
    "type": {
        "tablet": several(
            "headstone|tombstone|gravestone|upright|upright tablet|tab|head stone|"
            "plain tablet|square top|round top|slant"
        ),
        "shouldered": several(
            "shouldered|shoulders|tablet with shoulders|shouldered headstone|shoulder tablet"
        ),
        "obelisk": ("ob", "spire", "shaft"),
        "pedestal": several(
            "pedestal|die on base|die on a base|die and base|die & base|die, base|"
            "die|vault on base|pedestal tomb|die base and cap"
        ),
        "ledger": several("ledger stone|grave slab|ledger slab|flat ledger"),
        "footstone": several("foot stone|foot|footmarker|foot marker|fs"),
        "flush": several(
            "flush|flush stone|flat|flat marker|lawn marker|grass marker|plaque|"
            "bronze plaque|flat stone"
        ),
        "other": several(
            "other type|cross|column|box tomb|table tomb|urn|boulder|fieldstone|"
            "field stone|statue|vase|bench"
        ),
    },
    "material": {
        "marble": ("marb", "mbl", "marbel"),
        "granite": ("gran", "grnt", "granit"),
        "limestone": ("lime stone", "lmst", "lime"),
        "sandstone": several("sand stone|brownstone|brown stone|ss"),
        "slate": ("slt", "slate stone"),
        "concrete": several("concrete|cast stone|cement|artificial stone"),
        "metal": several("metal|zinc|white bronze|bronze|iron|cast iron|cast zinc"),
        "unknown": several("unknown|unk|?|??|not sure|n/k|unidentified"),
    },
    "certainty": {
        "sure": several("certain|yes|clear|legible"),
        "likely": ("probable", "probably", "fairly sure"),
        "doubtful": several("doubt|uncertain|?|unsure|illegible"),
        "unknown": ("unknown", "unk"),
    },
    "sound": {
        "unknown": several("unknown|no|untapped|?|not done"),
        "solid": several("solid|rings|ring|good|clear|sound"),
        "hollow": several("dull|hollow sound|hollow when tapped|drummy|dead"),
    },
    "lean_direction": {
        "front_or_back": several(
            "front or back|front|back|forward|forwards|backward|backwards|"
            "to the front|to the back|fwd|f|b|front/back"
        ),
        "side": several("side|to the side|sideways|left|right|to the left|to the right|l|r"),
    },
    "signs": {
        NONE_SEEN: several(
            "no|nothing|ok|okay|none|no signs|no damage|none seen|nothing seen|fine|0"
        ),
        Sign.SUGARING.value: several(
            "sugaring|sugary|grains|grainy|granular|grains come off|sugared"
        ),
        Sign.FLAKING.value: several(
            "flaking|flakes|scaling|spalling|delamination|delaminating|peeling|exfoliation"
        ),
        Sign.CRACKS.value: several(
            "crack|cracked|cracking|hairline|hairline crack|fissure|fracture|fractured"
        ),
        Sign.HOLLOW.value: ("hollow", "hollow sound", "sounds hollow"),
        Sign.FIRE.value: several("fire|burnt|burned|fire damage|scorched"),
        Sign.WOBBLE.value: several(
            "wobble|wobbly|loose in ground|unstable|rocks|rocking|moves|not steady"
        ),
        Sign.TIGHT_LICHEN.value: several("tight lichen|crusty lichen|lichen tight|crustose lichen"),
        Sign.OLD_REPAIR.value: several(
            "old repair|old cement|cement|iron|iron strap|iron pins|mortar repair|"
            "cement repair|old iron"
        ),
        Sign.LOOSE_PIECES.value: several(
            "loose pieces|pieces loose|pieces missing|missing pieces|fragments|"
            "loose piece|piece missing"
        ),
        Sign.BROKEN_THROUGH.value: several(
            "broken|snapped|broken in two|broken in half|in pieces|broken off"
        ),
        Sign.FALLEN.value: several(
            "fallen|down|on the ground|toppled|lying|lying flat|fell|on ground|flat on ground"
        ),
        Sign.SUNK.value: several("sunken|sinking|sunk in|settled|subsided"),
        Sign.GROWTH.value: several(
            "growth|dirty|dirt|moss|algae|soiled|lichen|mossy|biological growth|"
            "needs cleaning|overgrown"
        ),
    },
}
COLOURS = re.compile(
    r"^(?:(?:white|black|gr[ae]y|red|pink|blue|green|brown|dark|light|wh|gr)\.? )+"
)
SEPARATORS = re.compile(r"[;,/+\n|]|\band\b|&")


def plain(word: str) -> str:
    """Return a word for comparing: small letters, single blanks, no full stop at its end."""
    text = unicodedata.normalize("NFKC", word).casefold().replace("_", " ")
    return " ".join(text.split()).strip(" .:!*")


def _known() -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for field, allowed in ALLOWED.items():
        words = {plain(key): key for key in allowed} | {plain(w): k for k, w in allowed.items()}
        for key, others in SYNONYMS[field].items():
            for other in others:
                words.setdefault(plain(other), key)
        found[field] = words
    return found


KNOWN = _known()


def meaning(field: str, word: str, own: Mapping[str, str]) -> str | None:
    """Return what a word stands for in a field; None when nobody knows.

    ``own`` holds what a person chose for words of this sheet, by the plain word; it comes first.
    """
    said = plain(word)
    if said in own:
        return own[said]
    known = KNOWN[field]
    tries = [said, said.removesuffix("s"), said.removesuffix(" stone")]
    if field == "material":
        tries.append(COLOURS.sub("", said))
    return next((known[one] for one in tries if one in known), None)


def parts(cell: str) -> list[str]:
    """Return the single signs named in a cell."""
    whole = plain(cell)
    if whole in KNOWN["signs"]:
        return [whole]
    return [part for part in (plain(piece) for piece in SEPARATORS.split(cell)) if part]


def allowed_words(field: str) -> str:
    """Return the words that a field takes, for a sentence."""
    return ", ".join(ALLOWED[field].values())
