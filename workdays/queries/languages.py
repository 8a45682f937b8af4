"""What languages are called on pages, by the codes that are stored."""

from collections.abc import Iterable

from django.utils.translation import get_language_info


def language_name(code: str) -> str:
    """Return a language as it is named in English; an unknown code stays as it is."""
    try:
        return str(get_language_info(code)["name"])
    except KeyError:
        return code


def languages_in_words(codes: Iterable[str]) -> str:
    """Return "English, Spanish"."""
    return ", ".join(language_name(str(code)) for code in codes)
