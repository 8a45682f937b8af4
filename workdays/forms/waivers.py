"""The form that publishes a text to sign."""

from typing import Any

from crispy_forms.layout import HTML
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField, ParagraphField
from workdays.forms.layout import laid_out
from workdays.models import Cemetery, Waiver
from workdays.rules.publishing import WaiverText

MOST_LETTERS = 40_000
CAUTION = """{% load i18n %}<p class="caution">{% blocktranslate %}A text that was published is
never changed or taken away: what somebody signed can be shown as it was for ever. Have a lawyer of
the place read it first; what a waiver can do differs from state to state. Whoever signed “until a
new version” signs anew before the next day, and so does everybody where a place gets its first text
of its own.{% endblocktranslate %}</p>"""


LOOK = """{% load i18n %}<p class="actions"><button class="btn" name="look" value="yes"
formnovalidate>{% translate "Show how it will look" %}</button></p>"""


class WaiverForm(forms.Form):
    """A heading, the text, how long a signature holds; a tick that it was read."""

    refusal_fields = {"text": "text", "meanwhile": "text"}

    title = LineField(label=gettext_lazy("Heading"), max_length=120)
    text = ParagraphField(
        label=gettext_lazy("The text"),
        max_length=MOST_LETTERS,
        widget=forms.Textarea(attrs={"rows": 18}),
        help_text=gettext_lazy(
            "An empty line begins a new paragraph; Markdown makes ## headings, - lists and "
            "**bold** words. What is kept and signed is the text as you type it."
        ),
    )
    validity = forms.ChoiceField(
        label=gettext_lazy("A signature holds"), choices=Waiver.Validity.choices
    )
    read = forms.BooleanField(
        label=gettext_lazy("I have read it once more, and it may be signed from now on."),
        error_messages={"required": gettext_lazy("Read it once more and say so here.")},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.only_looks:
            self.fields["read"].required = False
        parts = ("title", "text", HTML(LOOK), "validity", HTML(CAUTION), "read")
        self.helper = laid_out(*parts, submit=_("Publish this text"))

    @property
    def only_looks(self) -> bool:
        """Return whether the text is to be shown as it will look, and not published yet."""
        return "look" in self.data

    def preview(self) -> str:
        """Return the text to be looked at; empty when there is none."""
        return str(self.cleaned_data.get("text", "")) if self.only_looks else ""

    def words(self) -> WaiverText:
        """Return what was typed, cleaned."""
        cleaned = self.cleaned_data
        return WaiverText(cleaned["title"], cleaned["text"], cleaned["validity"])


def waiver_initial(row: Waiver | None) -> dict[str, Any]:
    """Return what the form begins with: the text that is signed now."""
    if row is None:
        return {"validity": Waiver.Validity.SEASON}
    return {"title": row.title, "text": row.text, "validity": row.validity}


def place_words(place: Cemetery | None) -> str:
    """Return for which place a text is."""
    return place.name if place else _("every place without a text of its own")
