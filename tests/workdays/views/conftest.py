"""The clock of page tests."""

from collections.abc import Iterator

import pytest
import time_machine

from tests.factories import NOW


@pytest.fixture
def at_now() -> Iterator[None]:
    """Stop the clock at Wednesday 6 May 2026, 10:00 in Detroit."""
    with time_machine.travel(NOW, tick=False):
        yield
