"""A form with a text to sign, which can be read in another language before it is signed."""

from typing import Any

from django import forms
from django.forms.utils import ErrorDict
from django.http import QueryDict
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField
from workdays.models import Waiver
from workdays.rules.signed_text import sha256

READ_IN = "read_in"
PAGES = "en"


class AnsweringForm(forms.Form):
    """A form that can come back with another value than the one sent, the rest as typed."""

    def answer_again(self, name: str, value: str | None) -> None:
        """Show another value than the one sent, or None for none; the rest stays as typed."""
        kept = QueryDict(mutable=True)
        for key in self.data:
            values = self.data.getlist(key) if isinstance(self.data, QueryDict) else []
            kept.setlist(key, values or [self.data[key]])
        kept.pop(name, None)
        if value is not None:
            kept[name] = value
        self.data = kept


class ReadingForm(AnsweringForm):
    """A form with a text to sign. A press on another language shows the text in that language;
    what was typed comes back, nothing is judged, and the yes to the other text is taken off.
    """

    text_sha256: str

    def shows(self, waiver: Waiver) -> None:
        """Take the text that stands on the page; only a yes to this one counts."""
        self.text_sha256 = sha256(waiver.text)
        if self.only_reads:
            self.answer_again("affirm", None)

    def clean_affirm(self) -> bool:
        """Refuse a yes to another text than the one that stands on the page."""
        if self.data.get("text_sha256") != self.text_sha256:
            self.answer_again("affirm", None)
            raise forms.ValidationError(
                _("The text has changed since you opened this page. Please read it once more.")
            )
        return True

    @property
    def only_reads(self) -> bool:
        """Return whether the text is wanted in another language, and nothing is sent yet."""
        return READ_IN in self.data

    def is_valid(self) -> bool:
        """Return whether the form was sent to be kept, and may be."""
        return not self.only_reads and super().is_valid()

    def full_clean(self) -> None:
        """Judge what was sent, unless only another language was asked for."""
        if not self.only_reads:
            super().full_clean()
            return
        self._errors: Any = ErrorDict()
        self.cleaned_data = {}


class SignedForm(ReadingForm):
    """A text that somebody signs for themselves: the yes to it, and the name typed under it."""

    affirm = forms.BooleanField(
        error_messages={"required": gettext_lazy("Without this nobody can come.")}
    )
    typed_name = LineField(
        label=gettext_lazy("Your full name, typed, is your signature"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )


def said_in(language: str, words: str) -> str:
    """Return words marked as of a language, unless it is that of the pages."""
    if language == PAGES:
        return words
    return format_html('<span lang="{}">{}</span>', language, words)
