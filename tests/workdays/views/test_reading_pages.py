"""Pages of readings."""

from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from tests import factories
from tests.pages import log_in
from workdays.models import Recording, Stone, Survey

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def stone(client: Client) -> Stone:
    person = factories.make_staff()
    log_in(client, person)
    return factories.make_stone()


def test_a_reading_is_kept_and_shown_with_its_doubts(client: Client, stone: Stone) -> None:
    typed = {
        "lines": "IN MEMORY OF\r\nMAR[Y] <b>",
        "subject_0": "name",
        "words_0": "Mar[y]",
        "certainty_0": "likely",
        "origin_0": "stone",
        "on": "2026-05-06",
    }
    answer = client.post(reverse("reading_new", args=[stone.pk]), typed)
    assert answer.status_code == 302
    assert Recording.objects.get().lines == ["IN MEMORY OF", "MAR[Y] <b>"]
    page = client.get(stone.get_absolute_url()).content.decode()
    assert "MAR<u>Y</u> &lt;b&gt;" in page


def test_what_was_typed_stays_when_it_is_refused(client: Client, stone: Stone) -> None:
    typed = {
        "lines": "MAR[Y",
        "subject_3": "born",
        "words_3": "1801",
        "origin_3": "told",
        "on": "2026-05-06",
    }
    page = client.post(reverse("reading_new", args=[stone.pk]), typed).content.decode()
    assert "Line 1: each [ needs its ]" in page
    assert "Say which register and page, or who told it." in page
    assert "MAR[Y" in page
    assert 'value="1801"' in page
    assert "<details open>" in page
    assert not Recording.objects.exists()


@pytest.mark.parametrize("lines", ["", "\x00", "x" * 20_000, "[" * 300, "עברית\u202e🪦"])
def test_absurd_lines_are_answered_with_a_sentence(
    client: Client, stone: Stone, lines: str
) -> None:
    answer = client.post(reverse("reading_new", args=[stone.pk]), {"lines": lines, "on": "never"})
    assert answer.status_code == 200
    assert "invalid-feedback" in answer.content.decode()


def test_words_without_a_subject_are_asked_about(client: Client, stone: Stone) -> None:
    typed = {"lines": "A", "words_1": "1801", "on": "2026-05-06"}
    page = client.post(reverse("reading_new", args=[stone.pk]), typed).content.decode()
    assert "Say what this is" in page


def test_stones_that_lose_their_face_come_first(client: Client, stone: Stone) -> None:
    losing = factories.make_stone(stone.section)
    Survey.objects.create(stone=losing, on=date(2026, 4, 1), signs=["sugaring"])
    read = factories.make_stone(stone.section)
    Survey.objects.create(stone=read, on=date(2026, 4, 1), signs=["flaking"])
    Recording.objects.create(stone=read, on=date(2026, 4, 2), lines=["A"])
    page = client.get(reverse("readings", args=[stone.cemetery.slug])).content.decode()
    assert "1 stone loses its face and nobody has read it" in page
    assert page.index(f">{losing.number}<") < page.index(f">{stone.number}<")
    assert f">{read.number}<" not in page


def test_a_mended_stone_no_longer_loses_its_face(client: Client, stone: Stone) -> None:
    Survey.objects.create(stone=stone, on=date(2026, 3, 1), signs=["sugaring"])
    Survey.objects.create(stone=stone, on=date(2026, 4, 1), signs=[])
    page = client.get(reverse("readings", args=[stone.cemetery.slug])).content.decode()
    assert "1 stone is still to be read" in page
