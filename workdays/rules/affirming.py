"""The words by which somebody says yes to a text, in the languages in which they are known here.

A text in another language than these is said yes to in English; the record holds the words that
stood on the page.
"""

ENGLISH = "en"
FOR_ONESELF = {
    "en": "I have read this and I agree to it.",
    "es": "He leído este texto y estoy de acuerdo.",
    "de": "Ich habe dies gelesen und stimme zu.",
}
FOR_EITHER = {
    "en": "I have read this and I agree to it, for myself or for the child whose guardian I am.",
    "es": "He leído este texto y estoy de acuerdo, por mí o por el menor de quien soy tutor.",
    "de": "Ich habe dies gelesen und stimme zu, für mich oder für das Kind, das ich vertrete.",
}


def affirmed(language: str) -> tuple[str, str]:
    """Return the language and the words by which somebody says yes for themselves."""
    return _in(FOR_ONESELF, language)


def affirmed_for_either(language: str) -> tuple[str, str]:
    """Return the language and the words by which somebody says yes, for a child perhaps."""
    return _in(FOR_EITHER, language)


def _in(words: dict[str, str], language: str) -> tuple[str, str]:
    known = language if language in words else ENGLISH
    return known, words[known]
