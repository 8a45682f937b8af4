"""What a job and a step of a chain have in common, for the rules and in words."""

from workdays.models import ChainStep, Job
from workdays.rules.chain_step import Times
from workdays.rules.chain_words import litres_words


def times_of(row: Job | ChainStep, *, after: bool) -> Times:
    """Return when a row says that work may be done; ``after``: it comes after something."""
    return Times(
        after=after,
        wait_hours=row.wait_hours,
        after_winter=row.after_winter,
        season_first=row.season_first,
        season_last=row.season_last,
    )


def material_words(row: Job | ChainStep) -> str:
    """Return what a row uses of a mixed material: "2.5 litres of lime mortar"; empty: nothing."""
    if row.material is None or row.material_litres is None:
        return ""
    return f"{litres_words(row.material_litres)} of {row.material}"
