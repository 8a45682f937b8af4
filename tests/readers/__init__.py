"""Readers of calendars that share no code with the library that writes them."""
