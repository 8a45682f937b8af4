"""Print how many rows of the outbox are in each state."""

import json
import sys
from collections import Counter

import django

django.setup()

from coordinator.models import SentMessage  # noqa: E402

sys.stdout.write(json.dumps(Counter(SentMessage.objects.values_list("state", flat=True))))
