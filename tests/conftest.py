"""What every test shares."""

from collections.abc import Iterator

import pytest
from django.core.cache import cache

from coordinator import later


@pytest.fixture(autouse=True)
def no_bell(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Keep tests from ringing a broker that is not there: due work stays a row."""
    monkeypatch.setattr(later, "_ring", lambda task, ids: None)
    yield
    cache.clear()
