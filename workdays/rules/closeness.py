"""How good a plan is beside the bound that no plan can pass, in per cent and in words."""


def percent_of_best(value: int, bound: int | None) -> int | None:
    """Return at least how many per cent of the best plan's points a plan has, rounded down.

    None: nothing can be said, as no bound is known or nobody gains anything.
    """
    if bound is None or value <= 0 or bound <= 0:
        return None
    return min(100, 100 * value // bound)


def closeness(value: int, bound: int | None) -> str:
    """Return how good a plan is for certain, as the end of a sentence; empty: unknown."""
    percent = percent_of_best(value, bound)
    if percent is None:
        return ""
    if bound is not None and value >= bound:
        return "no plan can be better"
    return f"at least {percent} % of the best that any plan could be"


def lasted(seconds: int) -> str:
    """Return a stretch of time as people say it: "12 s", "2 min 5 s"."""
    minutes, rest = divmod(max(0, seconds), 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"
