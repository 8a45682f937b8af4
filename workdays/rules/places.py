"""How many places of a day are taken and left, and the words for it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Places:
    """Places of one day; ``unconfirmed`` and ``offered`` count only while they are held."""

    capacity: int
    coming: int = 0
    unconfirmed: int = 0
    offered: int = 0
    waiting: int = 0
    reserved: int = 0

    @property
    def taken(self) -> int:
        """Return places that nobody else can have now."""
        return self.coming + self.unconfirmed + self.offered + self.reserved

    @property
    def left(self) -> int:
        """Return free places, never below zero."""
        return max(0, self.capacity - self.taken)

    @property
    def left_words(self) -> str:
        """Return "6 places left", "1 place left" or "full"."""
        if not self.left:
            return "full"
        return "1 place left" if self.left == 1 else f"{self.left} places left"

    @property
    def words(self) -> str:
        """Return "14 coming, 6 places left"."""
        return f"{self.coming or 'nobody'} coming, {self.left_words}"
