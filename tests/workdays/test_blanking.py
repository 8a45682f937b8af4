"""What is kept for a day or with a message goes when its time has come, and nothing else."""

from datetime import timedelta

import pytest
from django.apps import apps

from coordinator import outbox
from coordinator.models import SentMessage
from coordinator.personal import Keep
from tests import factories
from workdays.blanking import OF_DAYS, blank_due, blank_values
from workdays.models import CrewPlan, Party, SignUp

END = factories.START + timedelta(hours=6)
SWEPT = {*OF_DAYS, SentMessage}


@pytest.mark.parametrize("keep", [Keep.AFTER_THE_DAY, Keep.WITH_THE_MESSAGE])
def test_every_model_with_words_that_go_by_the_clock_is_swept(keep: Keep) -> None:
    declared = {m for m in apps.get_models() if keep in getattr(m, "PERSONAL", {}).values()}
    assert declared
    assert declared <= SWEPT


@pytest.mark.django_db
def test_words_for_a_day_go_thirty_days_after_it() -> None:
    day = factories.make_day()
    row = factories.make_sign_up(day, words="bad back", languages=["pt"])
    party = Party.objects.create(day=day, name="The Costas")
    plan = CrewPlan.objects.create(day=day, left_out=[{"person": 1}])
    blank_due(END + timedelta(days=30, seconds=-1))
    assert SignUp.objects.get().words == "bad back"
    for _ in range(2):
        blank_due(END + timedelta(days=30))
        for kept in (row, party, plan):
            kept.refresh_from_db()
            blanks = blank_values(type(kept), Keep.AFTER_THE_DAY)
            assert {name: getattr(kept, name) for name in blanks} == blanks
    assert row.languages == ["pt"]


@pytest.mark.django_db
def test_a_message_goes_ninety_days_after_it_was_sent_and_its_row_stays() -> None:
    for key in ("sent", "waits", "late"):
        letter = outbox.Letter("x", "a@b.example", key, "words", "<p>", calendar=b"BEGIN")
        outbox.queue(letter, key=key)
    queued_at = SentMessage.objects.latest("queued_at").queued_at
    SentMessage.objects.filter(key="sent").update(state="sent", sent_at=queued_at)
    late = queued_at + timedelta(days=1)
    SentMessage.objects.filter(key="late").update(state="sent", sent_at=late)
    blank_due(queued_at + timedelta(days=90, seconds=-1))
    assert SentMessage.objects.filter(text="words").count() == 3
    blank_due(queued_at + timedelta(days=90))
    assert set(SentMessage.objects.filter(text="words").values_list("key", flat=True)) == {
        "waits",
        "late",
    }
    gone = SentMessage.objects.get(key="sent")
    assert (gone.to_address, gone.subject, gone.html, gone.calendar) == ("", "", "", None)
    assert (gone.reason, gone.state, gone.sent_at) == ("x", "sent", queued_at)
