"""Attempts to put a hand on a stone that is left alone, by whatever the product offers.

What there is to attempt is found by looking (``found``), never listed; arguments are made from
type annotations (``arguments``); after each attempt the database is asked (``question``).
"""
