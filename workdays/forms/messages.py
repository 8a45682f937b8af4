"""What an organiser writes to people of a day, and to which part of the list."""

from collections.abc import Sequence
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Layout
from django import forms
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext_lazy as _

from workdays.actions.messages import Draft
from workdays.forms.fields import LineField, ParagraphField
from workdays.queries.day_people import ListPart, PersonRow
from workdays.queries.messages import EVERYBODY, GUARDIANS, TICKED
from workdays.rules.messages import MOST_IN_SUBJECT, MOST_IN_TEXT

GONE = _("Nobody is in this part of the list any more: choose again.")
LEFT = _("Somebody you ticked is no longer on the list: look at the ticks again.")
OPEN = """{% load i18n %}<details{% if form.people.value %} open{% endif %}>
<summary>{% translate "Tick people one by one" %}</summary>"""


class MessageForm(forms.Form):
    """Subject, text and who gets it; the preview brings ``seen`` and ``press``."""

    helper: FormHelper

    subject = LineField(label=_("Subject"), max_length=MOST_IN_SUBJECT)
    text = ParagraphField(
        label=_("Text"),
        max_length=MOST_IN_TEXT,
        widget=forms.Textarea(attrs={"rows": 8}),
        help_text=_("Plain words. All who get it read the same, so nothing private of anybody."),
    )
    part = forms.ChoiceField(label=_("Who gets it"), error_messages={"invalid_choice": GONE})
    people = forms.MultipleChoiceField(
        label=_("People of the list"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"invalid_choice": LEFT},
    )
    seen = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
    press = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(
        self,
        *args: Any,
        people: Sequence[PersonRow],
        parts: Sequence[ListPart],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        guardians = {row.sign_up.guardian_id for row in people if row.is_minor} - {None}
        named = [(part.key, f"{part.words} ({part.many})") for part in parts]
        if guardians:
            named.append((GUARDIANS, _("guardians of minors (%d)") % len(guardians)))
        every = (EVERYBODY, _("everybody on the list (%d)") % len(people))
        self._choose("part", [every, *named, (TICKED, _("only those ticked below"))])
        self._choose("people", [(str(row.sign_up.pk), row.sign_up.person.name) for row in people])
        self.helper = FormHelper(self)
        self.helper.form_tag = False
        ticks = (HTML(OPEN), Div("people", css_class="plain"), HTML("</details>"))
        self.helper.layout = Layout("subject", "text", "part", *ticks)

    def _choose(self, name: str, choices: list[tuple[str, Any]]) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101  # narrows the type
        field.choices = choices

    def clean(self) -> dict[str, Any]:
        """Want ticks where only the ticked get it, and none where a part was chosen."""
        cleaned = super().clean() or self.cleaned_data
        ticked, part = cleaned.get("people"), cleaned.get("part")
        if part == TICKED and not ticked and "people" not in self.errors:
            self.add_error("people", _("Tick who gets it."))
        if part is not None and part != TICKED and ticked:
            self.add_error("part", _("You ticked people: choose those, or take the ticks away."))
        return cleaned

    def draft(self) -> Draft:
        """Return what was written."""
        said = self.cleaned_data
        return Draft(
            subject=said["subject"],
            text=said["text"],
            part=said["part"],
            sign_ups=[int(pk) for pk in said["people"]],
            seen=said["seen"],
            press=said["press"],
        )

    def again(self) -> SafeString:
        """Return what was written as hidden fields, for the page of the preview."""
        names = ("subject", "text", "part", "people")
        return mark_safe("".join(str(self[name].as_hidden()) for name in names))  # noqa: S308  # each is escaped by its widget
