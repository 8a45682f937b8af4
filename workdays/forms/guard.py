"""Three hurdles for machines that fill public forms: a trap, the age of the page, the network."""

from datetime import timedelta
from typing import Any

from django import forms
from django.conf import settings
from django.core import signing
from django.utils.translation import gettext_lazy as _

from workdays.forms.reading import AnsweringForm

SALT = "form-age"
OLDEST = timedelta(hours=24)


def stamp() -> str:
    """Return the signed moment at which a page was made."""
    return signing.dumps("", salt=SALT)


class GuardedForm(AnsweringForm):
    """A public form: ``trap`` stays empty, ``age`` says when the page was made.

    A person caught by mistake is told what to do, and keeps what was typed.
    """

    trap = forms.CharField(
        required=False,
        label=_("Leave this empty"),
        widget=forms.TextInput(attrs={"autocomplete": "off", "tabindex": "-1"}),
    )
    age = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["age"] = stamp()

    def clean(self) -> dict[str, Any]:
        """Refuse what a machine would send."""
        cleaned = super().clean() or self.cleaned_data
        if self.data.get("trap"):
            self.add_error("trap", _("This must stay empty. Clear it and send again."))
        problem = _problem_with(str(self.data.get("age", "")))
        if problem:
            self.add_error(None, problem)
            self.answer_again("age", stamp())
        return cleaned


def _problem_with(age: str) -> Any:
    try:
        signing.loads(age, salt=SALT, max_age=OLDEST)
    except signing.SignatureExpired:
        return _("This page was open for more than a day. Look through it and send it again.")
    except signing.BadSignature:
        return _("This page came back without its date. Please send it again.")
    if not settings.FORM_LEAST_SECONDS:
        return None
    try:
        signing.loads(age, salt=SALT, max_age=settings.FORM_LEAST_SECONDS)
    except signing.SignatureExpired:
        return None
    return _("That was very quick. Look through it once more and send it again.")
