"""The first letters of a name."""

import pytest

from workdays.rules.initials import initials


@pytest.mark.parametrize(
    ("name", "letters"),
    [
        ("Ana Costa", "A. C."),
        ("élodie d'Arc", "É. D."),
        ("7 http://x", "H."),
        ("", ""),
        ("a b c d e f", "A. B. C. D."),
    ],
)
def test_a_name_is_told_by_its_first_letters(name: str, letters: str) -> None:
    assert initials(name) == letters
