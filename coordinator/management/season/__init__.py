"""The demo season: an invented county, made from the small files of fixtures/demo.

Dates are counted from today, so that the season never goes stale; a seed makes it the same
season on every machine.
"""
