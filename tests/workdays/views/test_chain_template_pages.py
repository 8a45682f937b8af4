"""The chains as rows: listed for the staff, changed by an organiser of the whole programme."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from coordinator.models import AuditEntry
from tests.factories import NOW, conclude, make_cemetery, make_staff, make_stone
from tests.pages import log_in, words
from workdays.actions.chains import add_chain
from workdays.models import ChainStep, ChainTemplate, Job, Membership, MixedMaterial, Stone

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def ruth(client: Client) -> Client:
    """Log an organiser of the whole programme in."""
    log_in(client, make_staff())
    return client


def step(part: str) -> ChainStep:
    return ChainStep.objects.get(words__icontains=part)


def figures(**overrides: Any) -> dict[str, Any]:
    """Return a valid step of mending as a browser sends it."""
    mending = step("Bond it").kind
    mortar = MixedMaterial.objects.get(key="lime-mortar")
    return {
        "kind": mending.pk,
        "words": "Fill the gap",
        "after": [step("Bond it").pk],
        "wait_hours": "24",
        "season_first": "1 May",
        "season_last": "September 30",
        "small": "30",
        "medium": "60",
        "large": "90",
        "fewest": "2",
        "most": "3",
        "lifters": "1",
        "material": mortar.pk,
        "material_litres": "2.5",
        "source": "common practice, no source",
        "equipment_clamp": "1",
    } | overrides


def send_new(client: Client, key: str = "conservator", **overrides: Any) -> str:
    address = reverse("chain_step_new", args=[key])
    return words(client.post(address, figures(**overrides), follow=True))


def test_the_list_says_each_step_with_its_waits_season_minutes_material_and_source(
    ruth: Client,
) -> None:
    shown = words(ruth.get(reverse("chain_templates")))
    assert "6 chains say which jobs a stone gets" in shown
    assert "After: Bond it and clamp it; then 24 hours of rest; only 1 May to 30 September" in shown
    assert "then a whole winter" in shown
    assert "60 / 120 / 300 person-minutes, 2 to 5 people, 2 of them able to lift" in shown
    assert "3 litres of Lime mortar" in shown
    assert "no frost for 48 h after placing" in shown
    assert "12 litres in one batch, workable for 4 hours." in shown


def test_a_supervisor_reads_the_chains_and_changes_none(client: Client) -> None:
    staff = make_staff(Membership.Role.SUPERVISOR, make_cemetery())
    log_in(client, staff)
    shown = words(client.get(reverse("chain_templates")))
    assert "Change the chain" not in shown
    address = reverse("chain_step_remove", args=[step("Bond it").pk])
    assert client.post(address).status_code == 403
    assert step("Bond it")


def test_a_step_is_added_last_and_the_next_stone_gets_its_job(ruth: Client) -> None:
    assert "The step is added." in send_new(ruth)
    new = step("Fill the gap")
    assert (new.season_first, new.season_last, new.wait_hours) == (501, 930, 24)
    assert new.minutes_by_size == {"small": 30, "medium": 60, "large": 90}
    assert new.equipment == {"clamp": 1}
    assert list(new.after.all()) == [step("Bond it")]
    assert new.template.steps.last() == new
    stone = make_stone()
    conclude(stone, "conservator", needs=[])
    jobs = add_chain(Stone.objects.get(pk=stone.pk), by=make_staff(), now=NOW)
    (job,) = [job for job in jobs if job.step == new]
    assert job.material_litres == 2.5
    assert AuditEntry.objects.filter(verb="added", thing_id=str(new.pk)).exists()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"wait_hours": "-1"}, "Give a number from 0 to 17520 hours."),
        ({"wait_hours": "9" * 40}, "Give a number from 0 to 17520 hours."),
        ({"after": []}, "Say after which step these hours are counted."),
        ({"after": [], "wait_hours": "", "after_winter": "on"}, "a winter is counted from"),
        ({"season_last": ""}, "Give both ends of the season, or neither."),
        ({"season_first": "30 February"}, "Write a day and a month, like 1 May."),
        ({"season_first": "\x00"}, "Null characters are not allowed."),
        ({"large": "100000"}, "Give a number from 5 to 6000 person-minutes."),
        ({"small": "four"}, "Give a whole number, in digits."),
        ({"most": "99"}, "Give a number from 2 to 12 people."),
        ({"fewest": "4"}, "the most not below the fewest"),
        ({"lifters": "0"}, "This kind of work lifts: say how many must be able to."),
        ({"material_litres": ""}, "Give both the material and how many litres, or neither."),
        ({"material_litres": "nan"}, "Give a number, for example 2.5."),
        ({"material": "9" * 30}, "Select a valid choice."),
        ({"kind": "x"}, "Select a valid choice."),
        ({"after": ["9" * 30]}, "is not a valid value."),
        ({"words": "\x00"}, "This field is required."),
    ],
)
def test_what_does_not_fit_is_answered_and_nothing_typed_is_lost(
    ruth: Client, typed: dict[str, Any], said: str
) -> None:
    before = ChainStep.objects.count()
    shown = send_new(ruth, **{"words": "Fill the gap"} | typed)
    assert said in shown
    assert "is-invalid" in shown
    assert typed.get("words") or 'value="Fill the gap"' in shown
    assert ChainStep.objects.count() == before


def test_a_step_of_another_chain_is_no_choice(ruth: Client) -> None:
    shown = send_new(ruth, after=[step("Dig it free").pk])
    assert "One of them is no step of this chain." in shown


def test_a_circle_is_told_with_the_names_of_all_in_it(ruth: Client) -> None:
    bond, level = step("Bond it"), step("Level the lower part")
    address = reverse("chain_step_edit", args=[level.pk])
    sent = figures(words=level.words, after=[bond.pk], wait_hours="0", material="")
    shown = words(ruth.post(address, sent | {"material_litres": ""}))
    assert "they would wait for each other for ever" in shown or "cannot wait for itself" in shown
    assert bond.words in shown
    assert list(step("Level the lower part").after.all()) == [step("Photograph the break")]


def test_a_step_is_changed_and_what_it_was_is_shown_first(ruth: Client) -> None:
    point = step("point the seam")
    address = reverse("chain_step_edit", args=[point.pk])
    shown = words(ruth.get(address))
    assert 'value="1 May"' in shown
    assert 'value="24"' in shown
    assert "The step is kept." in words(ruth.post(address, figures(wait_hours="48"), follow=True))
    point.refresh_from_db()
    assert (point.wait_hours, point.words) == (48, "Fill the gap")


def test_a_step_goes_out_and_its_jobs_stay(ruth: Client) -> None:
    stone = make_stone()
    conclude(stone, "conservator", needs=[])
    jobs = add_chain(Stone.objects.get(pk=stone.pk), by=make_staff(), now=NOW)
    point = step("point the seam")
    address = reverse("chain_step_remove", args=[point.pk])
    assert "Jobs that were made from it stay" in words(ruth.get(address))
    assert "The step is taken out." in words(ruth.post(address, follow=True))
    assert Job.objects.count() == len(jobs)
    assert list(step("damp cover").after.all()) == [step("Bond it")]
    assert ruth.post(address).status_code == 404


def test_a_chain_out_of_use_says_so_and_asks_for_nothing(ruth: Client) -> None:
    address = reverse("chain_edit", args=["clean"])
    sent = {"name": "Wash it", "source": "our own book, 2026"}
    assert "The chain is kept." in words(ruth.post(address, sent, follow=True))
    chain = ChainTemplate.objects.get(key="clean")
    assert (chain.name, chain.in_use) == ("Wash it", False)
    shown = words(ruth.get(reverse("chain_templates")))
    assert "5 chains say" in shown
    assert "not in use" in shown
    refused = words(ruth.post(address, {"name": "", "source": "x" * 300, "in_use": "on"}))
    assert "This field is required." in refused
    assert "at most 250 characters" in refused
    assert not ChainTemplate.objects.get(key="clean").in_use


def test_the_size_of_a_batch_is_changed(ruth: Client) -> None:
    address = reverse("material_edit", args=["lime-mortar"])
    sent = {"name": "Lime mortar", "batch_litres": "0", "workable_hours": "6", "source": "label"}
    assert "Give a number from 0.1 to 500 litres." in words(ruth.post(address, sent))
    kept = words(ruth.post(address, sent | {"batch_litres": "9.5"}, follow=True))
    assert "9.5 litres in one batch, workable for 6 hours." in kept
    one = {"batch_litres": "1", "workable_hours": "1"}
    kept = words(ruth.post(address, sent | one, follow=True))
    assert "1 litre in one batch, workable for 1 hour." in kept
    assert AuditEntry.objects.filter(verb="changed", thing_type="mixedmaterial").exists()
    assert ruth.get(reverse("material_edit", args=["no-such"])).status_code == 404
