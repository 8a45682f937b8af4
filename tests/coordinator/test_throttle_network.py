"""Whom the counters of public forms count as one."""

import pytest
from django.test import RequestFactory
from pytest_django import Settings

from coordinator.throttle import network_of


@pytest.mark.parametrize(
    ("address", "network"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:aaaa::1", "2001:db8:1:2::/64"),
        ("2001:db8:1:2:bbbb::9", "2001:db8:1:2::/64"),
        ("", "unknown"),
        ("not an address", "unknown"),
    ],
)
def test_a_household_counts_as_one(address: str, network: str) -> None:
    assert network_of(RequestFactory().get("/", REMOTE_ADDR=address)) == network


def test_a_header_is_believed_only_behind_a_proxy_and_only_its_last_word(
    settings: Settings,
) -> None:
    request = RequestFactory().get(
        "/", REMOTE_ADDR="192.0.2.1", headers={"x-forwarded-for": "203.0.113.5, 198.51.100.9"}
    )
    assert network_of(request) == "192.0.2.1"
    settings.BEHIND_PROXY = True
    assert network_of(request) == "198.51.100.9"
