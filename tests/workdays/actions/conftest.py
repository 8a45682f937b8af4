"""Who acts in most tests of actions."""

import pytest

from coordinator.models import Person
from tests import factories


@pytest.fixture
def ruth() -> Person:
    """Make an organiser of the whole programme."""
    return factories.make_staff()
