"""A worker that is killed loses no mail, and repeats only what was taken on and not answered."""

from collections import Counter
from pathlib import Path

import pytest

from tests.service.receiver import Receiver
from tests.service.stack import Stack

SCRIPTS = Path(__file__).parent / "scripts"
NOTICES = 50
KILLED_AT = 20


@pytest.fixture
def receiver() -> Receiver:
    """Give a slow mail server that stops after it has taken on the twentieth message."""
    return Receiver(pause_seconds=0.05, stop_at=KILLED_AT)


def test_fifty_notices_survive_a_killed_worker(stack: Stack, receiver: Receiver) -> None:
    queued = stack.python(SCRIPTS / "queue_notices.py", str(NOTICES))
    worker = stack.start_worker()
    assert receiver.reached.wait(60), worker.log.read_text()[-3000:]
    # Every other message is either marked as sent or not taken on: only the twentieth is cut.
    assert stack.python(SCRIPTS / "wait_for_sent.py", str(KILLED_AT - 1)) == KILLED_AT - 1
    worker.kill()
    cut = receiver.taken[KILLED_AT - 1].message_id
    receiver.go_on.set()

    stack.start_worker()
    assert stack.python(SCRIPTS / "wait_for_sent.py", str(NOTICES)) == NOTICES

    times = Counter(receiver.ids())
    assert set(times) == set(queued), "none lost"
    assert [message_id for message_id, n in times.items() if n > 1] == [cut]
    assert times[cut] == 2
    unanswered = [d.message_id for d in receiver.taken if not d.answered]
    assert unanswered == [cut]


def test_a_plan_that_a_killed_worker_left_is_made_by_the_next(stack: Stack) -> None:
    assert stack.python(SCRIPTS / "plan_left.py") == ["running", "asked"]
    stack.start_worker()
    assert stack.python(SCRIPTS / "plan_left.py", "wait") == ["done", "done"]


@pytest.mark.parametrize("stack", ["embedded"], indirect=True)
def test_what_a_worker_had_found_when_it_was_killed_is_kept_by_a_press(stack: Stack) -> None:
    script = SCRIPTS / "plan_killed.py"
    assert stack.python(script, "ask") == ["asked", None, []]
    worker = stack.start_worker()
    state, first, plans = stack.python(script, "wait")
    assert (state, plans) == ("running", [])
    assert first > 0
    worker.kill()
    state, value, plans = stack.python(script, "keep")
    assert (state, plans) == ("done", [value])
    assert value >= first
