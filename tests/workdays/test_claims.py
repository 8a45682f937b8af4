"""Names under what was signed go when no claim can need them, and not a day before."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.apps import apps
from django.core.files.base import ContentFile

from coordinator.models import AuditEntry
from coordinator.personal import Keep
from tests import factories
from tests.workdays.records import see_that_all_is_recorded
from training.models import Countersign, HoursEntry, Revocation
from workdays.claims import SWEPT_FOR_AUDITS, SWEPT_FOR_CLAIMS, blank_over
from workdays.models import Permission, Signature, SignUp

pytestmark = pytest.mark.django_db
DAY = date(2026, 5, 9)


def last_moment_of(on: date) -> datetime:
    """Return the last second at which it is still that date somewhere on earth."""
    return datetime(on.year, on.month, on.day, tzinfo=UTC) + timedelta(hours=36, seconds=-1)


def names() -> list[str]:
    return list(Signature.objects.order_by("pk").values_list("typed_name", flat=True))


@pytest.mark.parametrize(
    ("keep", "swept"),
    [(Keep.UNTIL_CLAIMS_END, SWEPT_FOR_CLAIMS), (Keep.UNTIL_AUDITED, SWEPT_FOR_AUDITS)],
)
def test_every_model_that_keeps_words_for_years_is_swept(keep: Keep, swept: Any) -> None:
    declared = {m for m in apps.get_models() if keep in getattr(m, "PERSONAL", {}).values()}
    assert declared == set(swept)


def test_a_signature_loses_its_name_the_day_after_claims_end_and_the_audit_says_so(
    django_capture_on_commit_callbacks: Any,
) -> None:
    person = factories.make_person(name="Ana Costa")
    slip = ContentFile(b"x", name="slip.jpg")
    row = factories.sign(person, relation="mother", paper=slip)
    factories.make_sign_up(factories.make_day(), person)
    kept, last = str(row.paper.name), last_moment_of(date(2032, 5, 9))
    with django_capture_on_commit_callbacks(execute=True):
        blank_over(last)
    see_that_all_is_recorded(row)
    assert row.paper.storage.exists(kept)
    for seconds in (1, 2):
        with django_capture_on_commit_callbacks(execute=True):
            blank_over(last + timedelta(seconds=seconds))
    assert not row.paper.storage.exists(kept)
    row.refresh_from_db()
    assert (row.typed_name, row.relation, row.paper.name) == ("", "", "")
    assert (row.text, row.signed_at) == (factories.WAIVER_TEXT, factories.NOW)
    [entry] = AuditEntry.objects.filter(verb="blanked")
    assert (entry.rule, entry.thing_id) == ("claims-end", str(row.pk))
    assert entry.detail == {"fields": ["typed_name", "relation", "paper"]}


def test_a_minors_signatures_are_kept_from_majority_on_by_the_state_of_the_day() -> None:
    alabama = factories.make_cemetery(us_state="AL")
    child = factories.make_person(is_adult=False, born_on=date(2016, 3, 1), email="")
    guardian = factories.make_person()
    factories.make_sign_up(factories.make_day(alabama), child, guardian=guardian)
    factories.sign(child, signed_by=guardian, role="guardian", typed_name="Ana Costa")
    last = last_moment_of(date(2041, 3, 1))  # nineteen in 2035, and six years
    blank_over(last)
    assert names() == ["Ana Costa"]
    blank_over(last + timedelta(seconds=1))
    assert names() == [""]


def test_a_minor_without_a_birth_date_counts_as_just_born() -> None:
    child = factories.make_person(is_adult=False)
    factories.make_sign_up(factories.make_day(), child)
    factories.sign(child, typed_name="Ana Costa")
    blank_over(last_moment_of(date(2050, 5, 9)))
    assert names() == ["Ana Costa"]
    blank_over(last_moment_of(date(2050, 5, 10)))
    assert names() == [""]


def test_a_day_to_come_keeps_what_covers_it_and_only_that() -> None:
    person = factories.make_person()
    far = factories.START + timedelta(days=7 * 365)
    factories.sign(person, typed_name="for the season", valid_until=date(2026, 12, 31))
    factories.sign(person, typed_name="for ever")
    later = factories.make_sign_up(factories.make_day(starts_at=far), person)
    after_six_years = last_moment_of(DAY.replace(year=2032)) + timedelta(days=1)
    blank_over(after_six_years)
    assert names() == ["", "for ever"]
    SignUp.objects.filter(pk=later.pk).update(state="withdrawn")
    blank_over(after_six_years)
    assert names() == ["", ""]


def test_the_years_are_a_setting(settings: Any) -> None:
    factories.sign(factories.make_person(), typed_name="Ana Costa")
    settings.CLAIM_YEARS = 2
    blank_over(last_moment_of(date(2028, 5, 6)))
    assert names() == ["Ana Costa"]
    blank_over(last_moment_of(date(2028, 5, 7)))
    assert names() == [""]


def test_who_gave_leave_goes_with_its_last_claim() -> None:
    factories.make_permission(factories.make_cemetery(), ends_on=date(2026, 12, 31))
    blank_over(last_moment_of(date(2032, 12, 31)))
    assert Permission.objects.get().given_by == "Alder Township"
    blank_over(last_moment_of(date(2033, 1, 1)))
    assert Permission.objects.get().given_by == ""


def test_words_on_hours_go_when_no_audit_needs_them_and_a_sign_off_that_stands_stays() -> None:
    person, judge = factories.make_person(), factories.make_person()
    entry = HoursEntry.objects.create(
        person=person,
        skill=factories.skill("cleaning"),
        day_number=1,
        block_number=1,
        cemetery_number=1,
        place="Alder Hill",
        on=DAY,
        minutes=180,
    )
    Countersign.objects.create(
        entry=entry, decision="corrected", minutes=60, why="left early", by=judge
    )
    stands = factories.sign_off(person, "raking", words="steady hands", on=DAY)
    ended = factories.sign_off(person, "cleaning", words="careful", on=DAY)
    Revocation.objects.create(sign_off=ended, on=DAY, by=judge, why="moved away")

    def words() -> list[str]:
        for row in (stands, ended, ended.revocation):
            row.refresh_from_db()
        return [Countersign.objects.get().why, stands.words, ended.words, ended.revocation.why]

    blank_over(last_moment_of(date(2030, 5, 9)))
    assert words() == ["left early", "steady hands", "careful", "moved away"]
    blank_over(last_moment_of(date(2030, 5, 10)))
    assert words() == ["", "steady hands", "", ""]
    assert Countersign.objects.get().minutes == 60
