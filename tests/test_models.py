"""The models as a whole: declared personal fields, seeded rows."""

import pytest
from django.apps import apps
from django.db import models

from tests import factories

OWN = ("coordinator", "workdays", "training")
TEXTS = (models.CharField, models.TextField, models.JSONField, models.BinaryField, models.FileField)


def own_models() -> list[type[models.Model]]:
    return [m for label in OWN for m in apps.get_app_config(label).get_models()]


@pytest.mark.parametrize("model", own_models(), ids=lambda m: m.__name__)
def test_every_text_field_says_whether_it_is_personal(model: type[models.Model]) -> None:
    texts = {
        field.name
        for field in model._meta.local_fields
        if isinstance(field, TEXTS) and not field.choices
    }
    personal = set(getattr(model, "PERSONAL", {}))
    plain = set(getattr(model, "PLAIN", ()))
    assert texts == personal | plain
    assert not personal & plain


@pytest.mark.django_db
def test_the_kinds_of_work_are_seeded_with_cautions() -> None:
    assert factories.kind("resetting").needs_supervisor
    assert factories.kind("resetting").adults_only
    assert "hollow" in factories.kind("cleaning").caution
    assert not factories.kind("recording").touches
