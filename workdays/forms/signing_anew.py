"""The page by which somebody signs anew for a day they are on, and for their children."""

from collections.abc import Mapping, Sequence
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Field, Fieldset, Layout
from django import forms
from django.utils.translation import gettext as _

from workdays.actions.signing_anew import Anew
from workdays.forms.fields import LineField
from workdays.forms.reading import SignedForm, said_in
from workdays.models import SignUp, Waiver
from workdays.rules.affirming import affirmed
from workdays.rules.signed_text import same_name
from workdays.rules.young_people import rules_in

RULES = """{% load i18n %}
<p>{% translate "The rules for children, to be read with the child:" %}</p>
<ul lang="{{ young_rules.language }}">
{% for rule in young_rules.shown %}<li>{{ rule }}</li>{% endfor %}</ul>"""
OF_CHILD = ("relation", "signs", "agrees")


class AnewForm(SignedForm):
    """The text, the yes, the name; for each child the relation, the guardian's yes, the child's.

    ``missing``: the sign-ups for which nothing holds; a child may be left out for now.
    """

    helper: FormHelper
    refusal_fields = {"waiver": "affirm"}

    def __init__(
        self,
        *args: Any,
        waiver: Waiver,
        row: SignUp,
        missing: Sequence[SignUp],
        relations: Mapping[int, str],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.name = row.person.name
        self.children = [other for other in missing if other.pk != row.pk]
        self.signs_self = len(self.children) < len(missing)
        self.shows(waiver)
        self.fields["affirm"].label = said_in(*affirmed(waiver.language))
        rules = rules_in(waiver.language)
        for child in self.children:
            for name, field in _fields_of(child, relations).items():
                self.fields[f"{name}_{child.pk}"] = field
            self.fields[f"agrees_{child.pk}"].label = said_in(rules.language, rules.agreed)
        self.helper = FormHelper(self)
        self.helper.form_tag = False
        self.helper.layout = Layout(
            HTML("{% include 'workdays/public/_waiver.html' %}"),
            *self._parts_of_children(),
            Fieldset(_("Your signature"), "affirm", "typed_name"),
        )

    def _parts_of_children(self) -> list[Any]:
        parts = [
            Fieldset(
                child.person.name,
                # Not asked of who leaves the child out for now, and needed of who signs for it.
                Field(f"relation_{child.pk}", wrapper_class="told"),
                *(f"{name}_{child.pk}" for name in ("signs", "agrees")),
            )
            for child in self.children
        ]
        return [HTML(RULES), *parts] if parts else []

    def clean_typed_name(self) -> str:
        """Refuse a signature under another name."""
        typed = str(self.cleaned_data["typed_name"])
        if not same_name(self.name, typed):
            raise forms.ValidationError(
                _("Type your name as it stands here: %(name)s."), params={"name": self.name}
            )
        return typed

    def clean(self) -> dict[str, Any]:
        """Refuse half of what a child needs, and a form that would sign for nobody."""
        cleaned = super().clean() or self.cleaned_data
        for child in self.children:
            said = {name: cleaned.get(f"{name}_{child.pk}") for name in OF_CHILD}
            if said["signs"] or said["agrees"]:
                for name in (name for name in OF_CHILD if not said[name]):
                    self.add_error(f"{name}_{child.pk}", _("For a child this is needed too."))
        if not self.signs_self and not self.errors and not self._signed_for():
            self.add_error(None, _("Say for which child you sign."))
        return cleaned

    def _signed_for(self) -> dict[int, str]:
        cleaned = self.cleaned_data
        return {
            child.pk: cleaned[f"relation_{child.pk}"]
            for child in self.children
            if cleaned.get(f"signs_{child.pk}")
        }

    def anew(self) -> Anew:
        """Return what was typed, cleaned."""
        return Anew(self.cleaned_data["typed_name"], self.text_sha256, self._signed_for())


def _fields_of(child: SignUp, relations: Mapping[int, str]) -> dict[str, forms.Field]:
    return {
        "relation": LineField(
            label=_("You are the child's (needed to sign for the child)"),
            max_length=40,
            required=False,
            initial=relations.get(child.person_id, ""),
            widget=forms.TextInput(
                attrs={"placeholder": _("mother, father, guardian"), "autocomplete": "off"}
            ),
        ),
        "signs": forms.BooleanField(
            label=_("I am this child's parent or legal guardian and sign below for the child too"),
            required=False,
        ),
        "agrees": forms.BooleanField(required=False),
    }
