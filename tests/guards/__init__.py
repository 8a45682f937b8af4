"""What no page, mail, setting or commit may break."""
