"""Every kind of one-shot link: found by looking, each for one purpose, none for ever."""

from datetime import timedelta

import pytest
import time_machine

from coordinator import links
from tests.factories import NOW
from tests.guards.attacks.found import modules

LONGEST = timedelta(days=30)


def purposes() -> dict[str, links.Purpose]:
    """Return each Purpose of the product by where it stands."""
    return {
        f"{module.__name__}.{name}": thing
        for module in modules()
        for name, thing in vars(module).items()
        if isinstance(thing, links.Purpose)
    }


FOUND = sorted(set(purposes().values()), key=lambda one: one.name)


def test_no_two_kinds_of_link_share_a_name() -> None:
    names = [one.name for one in FOUND]
    assert len(names) >= 5
    assert len(names) == len(set(names))


@pytest.mark.parametrize("purpose", FOUND, ids=lambda one: one.name)
def test_a_link_opens_for_its_purpose_only_dies_of_age_and_of_use(purpose: links.Purpose) -> None:
    assert timedelta() < purpose.life <= LONGEST
    with time_machine.travel(NOW, tick=False):
        token = links.make(purpose, 7, "as mailed")
        assert links.read(purpose, token, lambda _pk: "as mailed") == 7
        for other in FOUND:
            if other != purpose:
                with pytest.raises(links.Dead, match="altered"):
                    links.read(other, token, lambda _pk: "as mailed")
        with pytest.raises(links.Dead, match="used"):
            links.read(purpose, token, lambda _pk: "as used")
        with pytest.raises(links.Dead, match="used"):
            links.read(purpose, token, lambda _pk: None)
    with (
        time_machine.travel(NOW + purpose.life + timedelta(seconds=1), tick=False),
        pytest.raises(links.Dead, match="old"),
    ):
        links.read(purpose, token, lambda _pk: "as mailed")
