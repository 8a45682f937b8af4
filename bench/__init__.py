"""How fast, how good, how much memory: measured, with the machine named; no test depends on it."""
