"""The host's form for a clinic, and the organiser's words when there will be none."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Fieldset, Layout, Submit
from django import forms
from django.utils.translation import gettext_lazy as _

from training.models import Skill
from workdays.actions.bookings import BookingWishes
from workdays.forms.days import DayForm
from workdays.forms.fields import LineField, MailboxField, ParagraphField, TelephoneField
from workdays.forms.guard import GuardedForm
from workdays.models import Booking, Cemetery
from workdays.rules.booking import MOST_PEOPLE

DAY = {"type": "date"}


class AskForm(GuardedForm):
    """What a host writes who asks for a day of teaching."""

    name = LineField(
        label=_("Your society, church, school or township"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "organization"}),
    )
    contact_name = LineField(
        label=_("Your name"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    email = MailboxField(label=_("E-mail"), help_text=_("We send one link there first."))
    telephone = TelephoneField(label=_("Telephone"), required=False)
    skill = forms.ModelChoiceField(
        Skill.objects.all(), label=_("What would you like to learn?"), empty_label=_("Choose")
    )
    cemetery = forms.ModelChoiceField(
        Cemetery.objects.all(),
        required=False,
        label=_("Cemetery"),
        empty_label=_("another place, named below"),
    )
    place = LineField(
        label=_("Another place"),
        max_length=160,
        required=False,
        help_text=_("Its owner must give written leave before anything is done there."),
    )
    wished_on = forms.DateField(
        label=_("Date you would like"), widget=forms.DateInput(format="%Y-%m-%d", attrs=DAY)
    )
    or_on = forms.DateField(
        label=_("Second date"),
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs=DAY),
    )
    people = forms.IntegerField(
        label=_("People you expect"),
        min_value=2,
        max_value=MOST_PEOPLE,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    words = ParagraphField(
        label=_("Anything we should know"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    refusal_fields = {
        "wished_on_past": "wished_on",
        "wished_on_far": "wished_on",
        "or_on_past": "or_on",
        "or_on_far": "or_on",
        "or_on_same": "or_on",
        "people": "people",
        "no_place": "place",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.layout = Layout(
            Fieldset(_("Who asks"), "name", "contact_name", "email", "telephone"),
            Fieldset(_("What and where"), "skill", "cemetery", "place"),
            Fieldset(_("When and how many"), "wished_on", "or_on", "people", "words"),
            Div("trap", css_class="" if self.data.get("trap") else "visually-hidden"),
            "age",
            Submit("ask", _("Ask for this clinic")),
        )

    def wishes(self) -> BookingWishes:
        """Return what was asked for; only for a valid form."""
        names = self.fields.keys() - GuardedForm.base_fields.keys()
        return BookingWishes(**{name: self.cleaned_data[name] for name in names})


class AcceptForm(DayForm):
    """The form of a day, with the question whether it opens at once."""

    open_now = forms.BooleanField(
        required=False,
        initial=True,
        label=_("Open it for sign-up at once"),
        help_text=_("Needs the owner's permission for the date and a published waiver."),
    )
    refusal_fields = {**DayForm.refusal_fields, "not_a_clinic": "purpose"}

    def layout(self, submit: str) -> Layout:
        """Return the layout of a day with the question before the button."""
        whole = super().layout(submit)
        whole.fields.insert(-1, "open_now")
        return whole


class NoForm(forms.Form):
    """Why there will be no clinic, in words that the host reads."""

    answer = ParagraphField(
        label=_("Your words to the host"),
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Kind and exact: why not, and what would be possible instead."),
    )


def accept_initial(booking: Booking) -> dict[str, Any]:
    """Return what of a clinic follows from the request: skill, place, date, people."""
    return {
        "cemetery": booking.cemetery_id,
        "purpose": "clinic",
        "teaches": booking.skill_id,
        "on": booking.wished_on,
        "capacity": booking.people,
        "fewest": min(4, booking.people),
        "meeting_point": booking.place,
        "words": "",
    }
