from __future__ import annotations

import pytest

from workdays.rules.sizes import SIZES, size_of


@pytest.mark.parametrize(
    ("measures", "size"),
    [
        ((38, 22, 7), "small"),
        ((100, 50, 2), "small"),
        ((100, 50, 3), "medium"),
        # The federal upright marble of 42 x 13 x 4 in weighs about 230 lb: below the hoist.
        ((107, 33, 10), "medium"),
        ((100, 50, 10), "large"),
        ((190, 48, 48), "large"),
    ],
)
def test_a_stone_is_as_large_as_its_volume(measures: tuple[int, int, int], size: str) -> None:
    assert size_of(*measures) == size


@pytest.mark.parametrize(
    "measures", [(None, 50, 8), (100, None, 8), (100, 50, None), (0, 50, 8), (None, None, None)]
)
def test_a_stone_not_measured_in_full_counts_as_medium(
    measures: tuple[int | None, int | None, int | None],
) -> None:
    assert size_of(*measures) == "medium"


def test_sizes_are_named_from_small_to_large() -> None:
    assert SIZES == ("small", "medium", "large")
