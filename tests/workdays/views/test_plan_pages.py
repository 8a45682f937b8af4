"""The pages of the crew plan, the roll and the hours, as staff open them."""

from dataclasses import asdict, replace
from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from coordinator.models import AuditEntry, Person
from tests import factories
from tests.factories import NOW, START
from tests.pages import log_in
from tests.workdays.test_drafting import ROUNDS, workable_day
from training.models import HoursEntry
from workdays import drafting
from workdays.actions.hands import keep_apart, move_person
from workdays.actions.plans import publish_plan
from workdays.models import CrewPlan, Membership, PlanRun, RollEntry, Workday
from workdays.queries.planning import planning_facts
from workdays.rules.plan_weights import USUAL

pytestmark = pytest.mark.django_db


def staff(day: Workday, role: str = Membership.Role.ORGANISER) -> tuple[Client, Person]:
    person = factories.make_staff(role, day.cemetery)
    client = Client()
    log_in(client, person)
    return client, person


def test_a_day_without_a_plan_offers_to_plan_and_asks_the_worker_once() -> None:
    day, _, _ = workable_day()
    client, _ = staff(day)
    address = reverse("plan", args=[day.pk])
    assert "no crew plan yet" in client.get(address).content.decode()
    for _ in range(2):
        assert client.post(reverse("plan_run", args=[day.pk])).status_code == 302
    assert PlanRun.objects.count() == 1
    assert "Planning: waiting for the worker" in client.get(address).content.decode()


@pytest.mark.parametrize("name", ["plan_hand", "plan_undo", "plan_publish"])
def test_a_button_of_a_plan_that_is_gone_is_answered_in_words(name: str) -> None:
    day, _, _ = workable_day()
    client, _ = staff(day)
    answer = client.post(reverse(name, args=[day.pk]), follow=True)
    assert answer.status_code == 200
    assert "There is no plan" in answer.content.decode()


def test_a_draft_is_shown_moved_and_published() -> None:
    day, people, _ = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    client, _ = staff(day)
    page = client.get(reverse("plan", args=[day.pk])).content.decode()
    assert "Publish to" in page
    assert "checked" in page
    move = {"take": f"p{people[1].pk}.0", "act": "out", "version": draft.version}
    assert client.post(reverse("plan_hand", args=[day.pk]), move).status_code == 302
    stale = client.post(reverse("plan_hand", args=[day.pk]), move)
    assert stale.status_code == 422
    assert "in the meantime" in stale.content.decode()
    undone = client.post(reverse("plan_undo", args=[day.pk]), {"version": draft.version + 1})
    assert undone.status_code == 302
    assert "Taken back: somebody was moved." in client.get(undone["Location"]).content.decode()
    assert client.post(reverse("plan_publish", args=[day.pk])).status_code == 302
    assert day.plans.filter(state=CrewPlan.State.PUBLISHED).count() == 1


def test_one_crew_and_one_job_are_counted_as_one() -> None:
    day, _, _ = workable_day(jobs=1)
    drafting.redraft(day, rounds=ROUNDS)
    client, _ = staff(day)
    plan, sheet = (client.get(reverse(name, args=[day.pk])) for name in ("plan", "day_sheet"))
    assert " in 1 crew finish 1 job</h1>" in plan.content.decode()
    assert " people, 1 crew, 1 job</h1>" in sheet.content.decode()


def test_a_plan_for_nobody_says_so() -> None:
    day, _, _ = workable_day()
    day.sign_ups.all().delete()
    day.jobs.clear()
    drafting.redraft(day, rounds=ROUNDS)
    client, _ = staff(day)
    page = client.get(reverse("plan", args=[day.pk])).content.decode()
    assert "Nobody is coming yet." in page
    assert "No job is chosen for this day yet." in page
    assert "Everybody has a place" not in page


@pytest.mark.parametrize("bad", ["", "x", "-1", "99999999999999999999", "\x00", "<b>", "p1.0x"])
def test_a_hand_that_names_nothing_real_is_told_so(bad: str) -> None:
    day, people, _ = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    client, _ = staff(day)
    good = {"take": f"p{people[1].pk}.0", "act": "swap", "other": people[2].pk}
    good["version"] = draft.version
    for name in ("take", "other", "version"):
        answer = client.post(reverse("plan_hand", args=[day.pk]), {**good, name: bad})
        assert answer.status_code == 422, name
        assert "nothing was changed" in answer.content.decode()
    for changed in ({"act": bad or "put", "to": bad}, {"act": "lock"}, {"act": "earlier"}):
        answer = client.post(reverse("plan_hand", args=[day.pk]), {**good, **changed})
        assert answer.status_code == 422
    assert client.get(reverse("plan", args=[day.pk]), {"take": bad}).status_code == 200
    assert day.plans.count() == 1


def test_each_thing_that_a_hand_does_is_a_press_on_the_page() -> None:
    day, people, work = workable_day()
    drafting.redraft(day, rounds=ROUNDS)
    client, _ = staff(day)
    crew, person, job = f"c{people[0].pk}.0", f"p{people[1].pk}.0", f"j{work[0].pk}"
    for take, act, more in (
        (person, "pin", {}),
        (person, "unpin", {}),
        (person, "out", {}),
        (person, "put", {"to": crew[1:]}),
        (person, "swap", {"other": people[2].pk}),
        (person, "apart", {"other": people[2].pk}),
        (person, "together", {"other": people[2].pk}),
        (job, "out", {}),
        (job, "put", {"to": crew[1:]}),
        (job, "earlier", {}),
        (job, "later", {}),
        (job, "unpin", {}),
        (job, "pin", {}),
        (crew, "lock", {}),
        (crew, "unlock", {}),
    ):
        held = client.get(reverse("plan", args=[day.pk]), {"take": take}).content.decode()
        assert "Nothing has changed yet." in held
        assert more.get("to") or f'value="{act}"' in held or act == "together"
        version = day.plans.get(state=CrewPlan.State.DRAFT).version
        sent = {"take": take, "act": act, "version": version, **more}
        answer = client.post(reverse("plan_hand", args=[day.pk]), sent)
        assert answer.status_code == 302, (act, answer.content.decode())
        assert day.plans.get(state=CrewPlan.State.DRAFT).version == version + 1


def test_a_plan_with_somebody_who_withdrew_says_who_on_page_sheet_and_press() -> None:
    day, people, work = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    lead = people[0]
    [helper, *_] = Person.objects.filter(placements__crew__plan=draft).exclude(pk=lead.pk)
    client, _ = staff(day)
    said = [f"{one.name}{leads} does not come to this day any more."
            for one, leads in ((lead, ", who leads Crew 1,"), (helper, ""))]  # fmt: skip
    for name in ("plan", "day_sheet"):
        page = client.get(reverse(name, args=[day.pk])).content.decode()
        assert not any(sentence in page for sentence in said)
    assert "Publish to " in client.get(reverse("plan", args=[day.pk])).content.decode()
    day.sign_ups.filter(person__in=[lead, helper]).update(state="withdrawn")
    day.jobs.remove(work[0])
    for name in ("plan", "day_sheet"):
        page = client.get(reverse(name, args=[day.pk])).content.decode()
        assert all(page.count(sentence) == 1 for sentence in said)
        assert "Publish to" not in page
    answer = client.post(reverse("plan_publish", args=[day.pk]), follow=True).content.decode()
    for one in (lead, helper):
        assert f"{one.name} does not come to this day any more." in answer
    assert f"{work[0].label} is not to be done on this day any more." in answer
    assert f"p{lead.pk} comes" not in answer


def test_a_supervisor_reads_a_plan_without_what_only_an_organiser_asks() -> None:
    day, _, _ = workable_day()
    drafting.redraft(day, rounds=ROUNDS)
    pages = []
    for role in (Membership.Role.ORGANISER, Membership.Role.SUPERVISOR):
        client, _ = staff(day, role)
        pages.append(client.get(reverse("plan", args=[day.pk])).content.decode())
    assert ["What would change it" in page for page in pages] == [True, False]


def test_a_pair_is_let_together_again_where_one_comes_after_the_first_break() -> None:
    day, people, _ = workable_day()
    late = {"comes_at": day.starts_at + timedelta(hours=3, minutes=30)}
    day.sign_ups.filter(person=people[1]).update(**late)
    draft = drafting.redraft(day, rounds=ROUNDS)
    client, by = staff(day)
    draft = keep_apart(draft, *people[1:3], apart=True, version=draft.version, by=by)
    page = client.get(reverse("plan", args=[day.pk])).content.decode()
    take = f"p{people[1].pk}.1"
    assert f'name="take" value="{take}"' in page
    sent = {"take": take, "act": "together", "other": people[2].pk, "version": draft.version}
    assert client.post(reverse("plan_hand", args=[day.pk]), sent).status_code == 302
    assert not day.plans.get(state=CrewPlan.State.DRAFT).kept_apart.exists()


def test_a_draft_beside_a_published_plan_has_its_own_crews_on_the_ground() -> None:
    day, people, _ = workable_day()
    plan = drafting.redraft(day, rounds=ROUNDS)
    client, organiser = staff(day)
    with time_machine.travel(NOW, tick=False):
        publish_plan(plan, by=organiser, now=NOW)
        plan.refresh_from_db()
        version = plan.version
        move_person(plan, people[1], block=0, to=None, version=version, by=organiser)
        ground = f"{reverse('cemetery', args=[day.cemetery.slug])}?crew={day.pk}"
        assert f'{ground}d"' in client.get(reverse("plan", args=[day.pk])).content.decode()
        for value in (str(day.pk), f"{day.pk}d", f"{day.pk}d:Crew 1"):
            page = client.get(ground.replace(f"crew={day.pk}", f"crew={value}")).content.decode()
            assert f'<option value="{value}" selected>' in page
            assert "crew-tone-0" in page


def test_the_points_of_a_day_are_set_judge_the_plan_anew_and_go_back() -> None:
    day, _, _ = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    client, _ = staff(day)
    address, usual = reverse("plan_weights", args=[day.pk]), asdict(USUAL)
    assert client.get(address).status_code == 200
    idle = draft.terms["idle"]
    assert idle < 0
    for bad in ("", "x", "-1", "1001", "9" * 30, "\x00", "1.5"):
        assert client.post(address, {**usual, "idle": bad}).status_code == 422, bad
    assert client.post(address, {**usual, "idle": 1000}).status_code == 302
    draft.refresh_from_db()
    assert (draft.terms["idle"], draft.bound, draft.proved) == (1000 * idle, None, False)
    assert planning_facts(Workday.objects.get(pk=day.pk)).weights == replace(USUAL, idle=1000)
    assert AuditEntry.objects.get(verb="set the points").detail["to"] == {"idle": 1000}
    assert client.post(address, {"idle": "x", "reset": "1"}).status_code == 302
    draft.refresh_from_db()
    assert draft.terms["idle"] == idle


def test_sheets_show_each_crew_and_give_a_pdf() -> None:
    day, people, _ = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    client, _ = staff(day, Membership.Role.SUPERVISOR)
    crew = draft.crews.all()[0]
    for name, args in (("day_sheet", [day.pk]), ("crew_sheet", [day.pk, crew.pk])):
        page = client.get(reverse(name, args=args)).content.decode()
        assert people[0].name in page
        assert "Stones are heavy" in page
    sheet = client.get(reverse("crew_sheet_pdf", args=[day.pk, crew.pk]))
    assert sheet["Content-Type"] == "application/pdf"
    assert sheet.content.startswith(b"%PDF")
    assert client.get(reverse("crew_sheet", args=[day.pk, 999999])).status_code == 404


def test_a_supervisor_keeps_the_roll_and_closes_the_day_on_pages() -> None:
    day, people, work = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    CrewPlan.objects.filter(pk=draft.pk).update(state=CrewPlan.State.PUBLISHED)
    client, _ = staff(day, Membership.Role.SUPERVISOR)
    with time_machine.travel(START + timedelta(hours=5), tick=False):
        for person in people:
            note = {"person": person.pk, "time": "09:00"}
            assert client.post(reverse("roll_arrive", args=[day.pk]), note).status_code == 302
        wrong = client.post(
            reverse("roll_leave", args=[day.pk]), {"person": people[0].pk, "time": "25:99"}
        )
        assert wrong.status_code == 422
        page = client.get(reverse("roll", args=[day.pk])).content.decode()
        assert "4 people on the ground" in page
        closing = reverse("day_close", args=[day.pk])
        assert client.get(closing).status_code == 200
        bad = client.post(closing, {f"left_{work[0].pk}": "a lot"})
        assert bad.status_code in {302, 422}
        if bad.status_code == 422:
            assert client.post(closing, {}).status_code == 302
    assert RollEntry.objects.filter(left_at__isnull=True).count() == 0
    assert HoursEntry.objects.exists()


def test_hours_are_countersigned_on_the_page() -> None:
    day, people, _ = workable_day()
    client, judge = staff(day, Membership.Role.SUPERVISOR)
    factories.sign_off(judge, "cleaning", "supervisor")
    entry = HoursEntry.objects.create(
        person=people[1],
        skill=factories.skill("cleaning"),
        day_number=day.pk,
        block_number=1,
        cemetery_number=day.cemetery_id,
        place=day.cemetery.name,
        on=NOW.date(),
        minutes=90,
    )
    address = reverse("countersign", args=[entry.pk])
    said = {f"e{entry.pk}-decision": "corrected", f"e{entry.pk}-minutes": "60"}
    said |= {f"e{entry.pk}-stones": "1", f"e{entry.pk}-why": ""}
    refused = client.post(address, said)
    assert refused.status_code == 422
    assert "Say in a few words why" in refused.content.decode()
    assert client.post(address, {**said, f"e{entry.pk}-why": "late"}).status_code == 302
    page = client.get(reverse("training")).content.decode()
    assert "0 hours entries wait" in page
    # A word on hours that left the page is answered with what was typed, not with an empty page.
    late = client.post(address, {**said, f"e{entry.pk}-minutes": "1441"})
    assert late.status_code == 422
    assert "1441" in late.content.decode()
    elsewhere, _ = staff(factories.make_day(), Membership.Role.SUPERVISOR)
    assert elsewhere.post(address, said).status_code == 404


def test_a_person_is_signed_off_on_the_page_by_a_supervisor_only() -> None:
    day, people, _ = workable_day()
    client, judge = staff(day, Membership.Role.SUPERVISOR)
    skill = factories.skill("cleaning")
    said = {"skill": skill.pk, "level": "signed_off", "on": "2026-05-01", "words": "steady"}
    address = reverse("sign_off_new", args=[people[1].pk])
    assert client.post(address, said).status_code == 422
    factories.sign_off(judge, "cleaning", "supervisor")
    with time_machine.travel(NOW, tick=False):
        nowhere = client.post(address, {**said, "cemeteries": ["9" * 20]})
        assert nowhere.status_code == 422
        assert "steady" in nowhere.content.decode()
        assert client.post(address, said).status_code == 302
    row = people[1].sign_offs.get()
    long = client.post(reverse("sign_off_revoke", args=[row.pk]), {"why": "x" * 251}, follow=True)
    assert "250 characters at most" in long.content.decode()
    ended = client.post(reverse("sign_off_revoke", args=[row.pk]), {"why": "moved away"})
    assert ended.status_code == 302
    row.refresh_from_db()
    assert row.revocation.why == "moved away"
