"""How large a stone is, for estimates of work: small, medium or large by its volume.

Small: up to 10 litres, about 27 kg of marble (2.7 kg a litre), what one person may still turn.
Large: from 50 litres, about 136 kg (300 lb), above which a restoration group's teaching page
(undated) asks for a tripod hoist. The lower step is common practice, no source. Only estimates
of minutes rest on this: what may be lifted, and how, is told elsewhere.
"""

from __future__ import annotations

from typing import Literal

Size = Literal["small", "medium", "large"]

SIZES: tuple[Size, ...] = ("small", "medium", "large")
SMALL_UP_TO_CM3 = 10_000
LARGE_FROM_CM3 = 50_000


def size_of(height_cm: int | None, width_cm: int | None, thickness_cm: int | None) -> Size:
    """Return the size of a stone; one that was not measured in full counts as medium."""
    if not (height_cm and width_cm and thickness_cm):
        return "medium"
    volume = height_cm * width_cm * thickness_cm
    if volume <= SMALL_UP_TO_CM3:
        return "small"
    return "large" if volume >= LARGE_FROM_CM3 else "medium"
