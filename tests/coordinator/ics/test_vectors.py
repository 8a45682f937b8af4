"""Every vector of the fixture, through our writer, into readers that share no code with it."""

from collections.abc import Mapping
from typing import Any

import pytest

from tests.coordinator.ics.cases import READERS, vectors, written
from tests.readers.lines import unfolded
from tests.readers.octets import faults
from tests.readers.seen import Reader, differences


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize(("facts", "expect"), vectors())
def test_a_reader_sees_what_was_meant(
    read: Reader, facts: Mapping[str, Any], expect: Mapping[str, Any]
) -> None:
    assert differences(read(written(facts)), expect) == []


@pytest.mark.parametrize(("facts", "expect"), vectors())
def test_the_octets_are_without_fault(facts: Mapping[str, Any], expect: Mapping[str, Any]) -> None:
    octets = written(facts)
    text = unfolded(octets)
    assert faults(octets) == []
    assert [part for part in expect.get("present", ()) if part not in text] == []
    assert [part for part in expect.get("absent", ()) if part in text] == []
