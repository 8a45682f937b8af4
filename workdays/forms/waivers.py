"""The form that publishes a text to sign."""

from collections.abc import Iterable
from typing import Any, ClassVar

from crispy_forms.layout import HTML
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField, ParagraphField
from workdays.forms.layout import laid_out
from workdays.forms.wishes import language_choices
from workdays.models import Cemetery, Waiver
from workdays.queries.waivers import Language
from workdays.rules.publishing import OtherText, WaiverText

Choices = list[tuple[str, str]]
MOST_LETTERS = 40_000
CAUTION = """{% load i18n %}<p class="caution">{% blocktranslate %}A text that was published is
never changed or taken away: what somebody signed can be shown as it was for ever. Have a lawyer of
the place read it first; what a waiver can do differs from state to state. Whoever signed “until a
new version” signs anew before the next day, and so does everybody where a place gets its first text
of its own.{% endblocktranslate %}</p>"""


LOOK = """{% load i18n %}<p class="actions"><button class="btn" name="look" value="yes"
formnovalidate>{% translate "Show how it will look" %}</button></p>"""


OF_OTHERS = """{% load i18n %}<p class="caution">{% blocktranslate %}A translation is your own
responsibility: have a lawyer of the place who reads this language check that it says what the first
text says, no more and no less. Once published it is never changed or taken away, and whoever reads
it may sign it in place of the first one.{% endblocktranslate %}</p>"""


class TextForm(forms.Form):
    """A heading and a text in one language; a tick that it was read; looked at before it counts."""

    refusal_fields: ClassVar[dict[str, str]] = {
        "text": "text",
        "meanwhile": "text",
        "language": "language",
    }
    submit: ClassVar[Any] = ""
    parts: ClassVar[tuple[Any, ...]] = ()

    language = forms.ChoiceField(label=gettext_lazy("Written in"))
    title = LineField(label=gettext_lazy("Heading"), max_length=120)
    text = ParagraphField(
        label=gettext_lazy("The text"),
        max_length=MOST_LETTERS,
        widget=forms.Textarea(attrs={"rows": 18, "dir": "auto"}),
        help_text=gettext_lazy(
            "An empty line begins a new paragraph; Markdown makes ## headings, - lists and "
            "**bold** words. What is kept and signed is the text as you type it."
        ),
    )
    read = forms.BooleanField(
        label=gettext_lazy("I have read it once more, and it may be signed from now on."),
        error_messages={"required": gettext_lazy("Read it once more and say so here.")},
    )

    def __init__(self, *args: Any, languages: Choices | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.only_looks:
            self.fields["read"].required = False
        field = self.fields["language"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101  # narrows the type
        field.choices = language_choices() if languages is None else languages
        self.helper = laid_out(*self.parts, submit=self.submit)

    @property
    def only_looks(self) -> bool:
        """Return whether the text is to be shown as it will look, and not published yet."""
        return "look" in self.data

    def preview(self) -> dict[str, Any]:
        """Return the text to be looked at, and its language; empty when there is none."""
        text = self.cleaned_data.get("text") if self.only_looks else ""
        if not text:
            return {}
        language = Language(str(self.cleaned_data.get("language", "")))
        return {"text": text, "language": language}


class WaiverForm(TextForm):
    """A new version: a text, and how long a signature holds."""

    submit = gettext_lazy("Publish this text")
    parts = ("language", "title", "text", HTML(LOOK), "validity", HTML(CAUTION), "read")

    validity = forms.ChoiceField(
        label=gettext_lazy("A signature holds"), choices=Waiver.Validity.choices
    )

    def words(self) -> WaiverText:
        """Return what was typed, cleaned."""
        cleaned = self.cleaned_data
        return WaiverText(
            cleaned["title"], cleaned["text"], cleaned["validity"], cleaned["language"]
        )


class OtherTextForm(TextForm):
    """What a version says in another language; a signature under it holds as long."""

    submit = gettext_lazy("Publish it in this language")
    parts = ("language", "title", "text", HTML(LOOK), HTML(OF_OTHERS), "read")

    read = forms.BooleanField(
        label=gettext_lazy(
            "Somebody who reads this language has checked it, and it may be signed from now on."
        ),
        error_messages={"required": gettext_lazy("Have it checked and say so here.")},
    )

    def words(self) -> OtherText:
        """Return what was typed, cleaned."""
        cleaned = self.cleaned_data
        return OtherText(cleaned["title"], cleaned["text"], cleaned["language"])


def waiver_initial(row: Waiver | None) -> dict[str, Any]:
    """Return what the form begins with: the text that is signed now."""
    if row is None:
        return {"validity": Waiver.Validity.SEASON}
    return {
        "title": row.title,
        "text": row.text,
        "validity": row.validity,
        "language": row.language,
    }


def choices_to_add(languages: Iterable[Language]) -> Choices:
    """Return languages as choices, named as in the other forms."""
    names = dict(language_choices())
    return [(one.code, names.get(one.code, one.code)) for one in languages]


def place_words(place: Cemetery | None) -> str:
    """Return for which place a text is."""
    return place.name if place else _("every place without a text of its own")
