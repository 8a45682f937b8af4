"""No page puts work that touches on a day, at a stone that is left alone.

Every address of the resolver is posted to as an organiser, none exempt; the tables are asked after
each post. Pages that write are shown to have taken some of what was posted.
"""

import pytest
import time_machine
from django.urls import URLPattern

from coordinator.models import User
from tests.guards.attacks.pages import Posted, attack, patterns
from tests.guards.attacks.rows import NOW
from tests.guards.attacks.world import World
from workdays.models import Job, Workday

pytestmark = pytest.mark.django_db
FOUND = list(patterns())
ENTERED = {
    *("survey_new", "stone_edit", "stone_override", "stone_chain_add", "cemetery_chains_add"),
    *("job_edit", "job_new", "job_done", "day_jobs", "day_edit", "day_open", "day_new"),
    *(
        "plan_hand",
        "plan_publish",
        "plan_run",
        "plan_let_go",
        "plan_what_if",
        "call_decide",
        "kind_of_work_edit",
    ),
    *("setting_edit", "permission_edit", "priorities", "minutes", "batches_put"),
    *("sheet_columns", "sheet_import", "sheet_undo", "sheet_discard"),
}


def attempt(pattern: URLPattern, world: World) -> Posted:
    """Post to one address as the organiser of the world."""
    user = world.organiser.user
    assert isinstance(user, User)
    with time_machine.travel(NOW, tick=False):
        return attack(pattern, user)


@pytest.mark.parametrize("pattern", FOUND, ids=lambda one: f"{one.name} {one.pattern}")
def test_no_page_puts_a_hand_on_a_stone_left_alone(
    pattern: URLPattern, barred_world: World
) -> None:
    report = attempt(pattern, barred_world)
    assert report.holes == []
    assert report.crashes == []
    assert report.answers, "nothing was posted"
    assert report.done or report.name not in ENTERED, "all that was posted was refused"


def test_every_page_that_must_be_entered_is_an_address() -> None:
    assert {str(pattern.name) for pattern in FOUND} >= ENTERED


def test_a_planted_page_is_reported(barred_world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    def by_hand(day: Workday, *args: object, **kwargs: object) -> None:
        day.jobs.set(Job.objects.all())

    monkeypatch.setattr("workdays.views.jobs_of_day.put_jobs_on_day", by_hand)
    [pattern] = [one for one in FOUND if one.name == "day_jobs"]
    assert attempt(pattern, barred_world).holes
