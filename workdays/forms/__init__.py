"""Forms: clean and name fields, never save."""
