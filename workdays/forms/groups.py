"""The form by which the leader of a group asks for places, and the one that gives some back."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from workdays.actions.groups import GroupWishes
from workdays.forms.fields import LineField, MailboxField, TelephoneField
from workdays.forms.guard import GuardedForm

MOST = 500


class GroupForm(GuardedForm):
    """Group, number of places, leader and how to reach them."""

    helper: FormHelper
    refusal_fields = {"places": "places"}

    group = LineField(label=_("Name of the group"), max_length=120)
    places = forms.IntegerField(
        label=_("How many places"),
        min_value=2,
        max_value=MOST,
        help_text=_("Count yourself and the other adults: at least two adults come with minors."),
    )
    name = LineField(
        label=_("Your name"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    email = MailboxField(label=_("E-mail"), help_text=_("We send a link there; press it."))
    telephone = TelephoneField(label=_("Telephone"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        trap_is_sprung = bool(self.data.get("trap"))
        self.helper = FormHelper(self)
        self.helper.form_tag = False
        self.helper.layout = Layout(
            "group",
            "places",
            "name",
            "email",
            "telephone",
            Div("trap", css_class="" if trap_is_sprung else "visually-hidden"),
            "age",
        )

    def wishes(self) -> GroupWishes:
        """Return what was typed."""
        names = ("group", "places", "name", "email", "telephone")
        return GroupWishes(**{name: self.cleaned_data[name] for name in names})


class GiveBackForm(forms.Form):
    """How many held places are given back."""

    helper: FormHelper
    refusal_fields = {"give": "given"}

    given = forms.IntegerField(label=_("Places we do not need"), min_value=1, max_value=MOST)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper(self)
        self.helper.form_tag = False
        self.helper.layout = Layout("given")
