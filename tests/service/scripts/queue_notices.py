"""Queue notices in one transaction, as calling a day off does; prints their Message-IDs."""

import json
import sys

import django

django.setup()

from django.db import transaction  # noqa: E402

from coordinator import outbox  # noqa: E402


def main(count: int) -> None:
    """Queue so many notices to so many mailboxes."""
    with transaction.atomic():
        rows = [
            outbox.queue(
                outbox.Letter(
                    reason="called off",
                    to_address=f"person{n}@volunteers.example",
                    subject="Called off: Saturday at Alder Hill",
                    text="The day is called off: thunder from ten o'clock.\n",
                ),
                key=f"notice:{n}",
            )
            for n in range(count)
        ]
    sys.stdout.write(json.dumps([row.message_id for row in rows]))


main(int(sys.argv[1]))
