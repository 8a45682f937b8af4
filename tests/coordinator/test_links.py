"""One-shot links: dead by age, by an altered letter, by use."""

from datetime import timedelta

import pytest
import time_machine

from coordinator import links
from tests.factories import NOW

CONFIRM = links.Purpose("confirm", timedelta(hours=24))
OTHER = links.Purpose("offer", timedelta(hours=24))


def test_a_link_is_read_back_while_the_state_is_the_same() -> None:
    assert links.read(CONFIRM, links.make(CONFIRM, 41, "held"), lambda pk: "held") == 41


@pytest.mark.parametrize("state", ["coming", None])
def test_a_link_dies_when_what_it_points_to_changes(state: str | None) -> None:
    token = links.make(CONFIRM, 41, "held")
    with pytest.raises(links.Dead, match="used"):
        links.read(CONFIRM, token, lambda pk: state)


def test_a_link_holds_one_purpose() -> None:
    token = links.make(OTHER, 41, "held")
    with pytest.raises(links.Dead, match="altered"):
        links.read(CONFIRM, token, lambda pk: "held")


def test_a_link_dies_by_age() -> None:
    with time_machine.travel(NOW, tick=False):
        token = links.make(CONFIRM, 41, "held")
    late = NOW + timedelta(hours=25)
    with time_machine.travel(late, tick=False), pytest.raises(links.Dead, match="old"):
        links.read(CONFIRM, token, lambda pk: "held")


@pytest.mark.parametrize("token", ["", "x", "a:b:c", "é" * 500, "\x00"])
def test_an_altered_link_is_told_so(token: str) -> None:
    with pytest.raises(links.Dead, match="altered"):
        links.read(CONFIRM, token, lambda pk: "held")
