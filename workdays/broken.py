"""What says that a plan breaks hard rules."""


class Broken(Exception):  # noqa: N818  # says what a plan breaks; nothing went wrong
    """A plan breaks hard rules; ``sentences`` says which."""

    def __init__(self, sentences: list[str]) -> None:
        super().__init__(" ".join(sentences))
        self.sentences = sentences


class Clashing(Broken):
    """Pins contradict each other or the rules; ``pins`` says which, each with its words."""

    def __init__(self, sentences: list[str], pins: list[dict[str, object]]) -> None:
        super().__init__(sentences)
        self.pins = pins
