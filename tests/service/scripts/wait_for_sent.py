"""Wait until so many rows of the outbox are marked as sent; print how many are.

It waits in here, because each start of a process takes more than a second of processor.
"""

import json
import sys

import django

django.setup()

from coordinator.models import SentMessage  # noqa: E402
from tests.waiting import eventually  # noqa: E402


def sent() -> int:
    """Return how many are marked as sent."""
    return SentMessage.objects.filter(state=SentMessage.State.SENT).count()


def main(wanted: int) -> None:
    """Wait for the number."""
    eventually(lambda: sent() == wanted, timeout=120, what=f"{wanted} marked as sent")
    sys.stdout.write(json.dumps(sent()))


main(int(sys.argv[1]))
