from __future__ import annotations

from workdays.rules.published import COMMON_PRACTICE, Source


def test_a_source_is_one_line_and_says_what_is_from_memory() -> None:
    assert Source("NPS", "Brief 48", 2016, "p. 9").words == "NPS, Brief 48, p. 9, 2016"
    assert Source("NCA", "Look", None, from_memory=True).words == (
        "NCA, Look, undated (from memory)"
    )


def test_what_has_no_source_says_so() -> None:
    assert COMMON_PRACTICE.words == "common practice, no source"
