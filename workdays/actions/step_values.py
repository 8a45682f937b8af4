"""Values of a job, or of a step of a chain, as the rules judge them."""

from collections.abc import Mapping
from typing import Any

from workdays.rules.chain_step import Mix, Times


def times_in(values: Mapping[str, Any], *, after: bool) -> Times:
    """Return when work may be done; what is not given asks for nothing."""
    return Times(
        after=after,
        wait_hours=values.get("wait_hours", 0),
        after_winter=values.get("after_winter", False),
        season_first=values.get("season_first"),
        season_last=values.get("season_last"),
    )


def mix_in(values: Mapping[str, Any]) -> Mix:
    """Return what is used of a mixed material; what is not given uses nothing."""
    return Mix(
        mixes=values["kind"].mixed_batch,
        has_material=values.get("material") is not None,
        litres=values.get("material_litres"),
    )
