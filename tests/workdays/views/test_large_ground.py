"""The plan of a cemetery with 5,000 stones stays small enough for a phone on a slow line."""

import gzip

import pytest
from django.test import Client

from bench.many import make_ground
from tests import factories
from tests.pages import log_in


@pytest.mark.django_db
@pytest.mark.usefixtures("at_now")
def test_the_plan_of_five_thousand_stones_is_at_most_150_kb_compressed(client: Client) -> None:
    visitor = factories.make_staff()
    place = make_ground("Large hill", stones=5000)
    log_in(client, visitor)
    section = place.sections.earliest("pk").pk
    for query in ("", f"?section={section}"):
        page = client.get(f"/ground/large-hill/{query}")
        assert page.status_code == 200
        assert b"<svg" in page.content
        assert len(gzip.compress(page.content)) < 150_000
