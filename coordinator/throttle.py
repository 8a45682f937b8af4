"""Counters in the shared cache that keep one stranger from filling a public form for others."""

import hashlib

from django.core.cache import cache


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
