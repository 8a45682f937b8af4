"""Reads: what one page or one decision needs, in a fixed number of statements."""
