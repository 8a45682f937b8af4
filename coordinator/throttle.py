"""Counters in the shared cache that keep one stranger from filling a public form for others."""

import hashlib
from ipaddress import IPv6Address, ip_address, ip_network

from django.conf import settings
from django.core.cache import cache
from django.http import HttpRequest

HOUR, DAY = 3600, 86_400


def _key(what: str, who: str) -> str:
    return f"throttle:{what}:{hashlib.sha256(who.encode()).hexdigest()[:32]}"


def too_many(what: str, who: str, *, most: int, seconds: int) -> bool:
    """Count one act and return whether there were more than ``most`` within ``seconds``."""
    key = _key(what, who)
    cache.add(key, 0, timeout=seconds)
    try:
        return int(cache.incr(key)) > most
    except ValueError:  # it ran out between the two calls
        cache.set(key, 1, timeout=seconds)
        return False


def is_flood(
    request: HttpRequest,
    what: str,
    *mailboxes: str,
    network_most: int,
    mailbox_most: int,
    mailbox_seconds: int = DAY,
) -> bool:
    """Count one act against its network and each mailbox; return whether one had too many.

    ``network_most``: acts from one network within an hour; ``mailbox_most``: those for one mailbox
    within ``mailbox_seconds``. All are counted, whichever is full.
    """
    full = [too_many(f"{what}-network", network_of(request), most=network_most, seconds=HOUR)]
    full += [
        too_many(f"{what}-mailbox", mailbox, most=mailbox_most, seconds=mailbox_seconds)
        for mailbox in mailboxes
    ]
    return any(full)


def network_of(request: HttpRequest) -> str:
    """Return the network a request comes from: an IPv4 address, or the /64 of an IPv6 one.

    Behind a proxy it is what the proxy, the last to write, put into X-Forwarded-For.
    """
    address = request.META.get("REMOTE_ADDR", "")
    if settings.BEHIND_PROXY:
        address = request.headers.get("X-Forwarded-For", address).rpartition(",")[2].strip()
    try:
        found = ip_address(address)
    except ValueError:
        return "unknown"
    if isinstance(found, IPv6Address):
        return str(ip_network((found, 64), strict=False))
    return str(found)
