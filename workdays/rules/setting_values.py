"""Judge a value that somebody wants to give to a setting of a cemetery."""

from workdays.rules.refusals import Refusal
from workdays.rules.settings import Setting, Value

SHORTEST_SOURCE = 8
# The owner decides whether volunteers may reset: the source of a yes must speak of that leave.
OWNER_WORDS = ("permission", "permit", "leave", "agree", "letter", "consent", "contract")


def refusals_to_set(setting: Setting, value: Value, source: str) -> list[Refusal]:
    """Return why a value with its source cannot be taken; empty: it can."""
    return [*value_refusals(setting, value), *_source_refusals(setting, value, source)]


def value_refusals(setting: Setting, value: Value) -> list[Refusal]:
    """Return why a value does not fit the kind of a setting or lies outside its bounds."""
    if isinstance(setting.default, bool):
        return [] if isinstance(value, bool) else [Refusal("yes-or-no", "Say yes or no.")]
    if isinstance(setting.default, str):
        return _words_refusals(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return [Refusal("not-a-number", "Give a number.")]
    return _whole_refusals(setting, value) or _bound_refusals(setting, value)


def _words_refusals(value: Value) -> list[Refusal]:
    if isinstance(value, str) and value.strip():
        return []
    return [Refusal("no-words", "Say it in a few words.")]


def _whole_refusals(setting: Setting, value: float) -> list[Refusal]:
    if isinstance(setting.default, int) and value % 1 != 0:
        return [Refusal("not-whole", "Give a whole number.")]
    return []


def _bound_refusals(setting: Setting, value: float) -> list[Refusal]:
    low, high = setting.low, setting.high
    if (low is None or value >= low) and (high is None or value <= high):
        return []
    unit = f" {setting.unit}" if setting.unit else ""
    if low is not None and high is not None:
        return [Refusal("out-of-bounds", f"Give a value from {low:g} to {high:g}{unit}.")]
    bound = f"at least {low:g}" if low is not None else f"at most {high:g}"
    return [Refusal("out-of-bounds", f"Give {bound}{unit}.")]


def _source_refusals(setting: Setting, value: Value, source: str) -> list[Refusal]:
    words = source.strip()
    if len(words) < SHORTEST_SOURCE:
        sentence = "Say who decided this and where it is written, so that others can check it."
        return [Refusal("no-source", sentence)]
    if setting.key == "volunteer_resets" and value is True and not _speaks_of_leave(words):
        sentence = (
            "Volunteers may reset only with the owner's permission: "
            "name that permission in the source, who gave it and when."
        )
        return [Refusal("no-leave-of-owner", sentence)]
    return []


def _speaks_of_leave(words: str) -> bool:
    return any(word in words.casefold() for word in OWNER_WORDS)
