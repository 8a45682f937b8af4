"""Writes asked for by people: lock, ask the rules, write, audit, ask for later work."""
