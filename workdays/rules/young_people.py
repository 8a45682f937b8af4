"""What a minor agrees to, in words that can be read aloud: common practice, no source."""

AGREED = "I have read or heard these rules, and I keep to them."
RULES = """I stay with my guardian and in our crew.

I do what the lead says, and I stop when I am told to stop.

I lift, lever and hold no stone, and I climb, lean or sit on none.

I touch a stone only where I was shown how.

I use no tool and no cleaner that nobody has shown me.

I say at once when I am too hot, too cold, tired or hurt, or when something frightens me."""


def rules_shown() -> list[str]:
    """Return the rules one by one, for a page."""
    return RULES.split("\n\n")
