"""Forms by which people come into the staff."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from coordinator.models import Person
from training.models import Skill
from workdays.actions.staff import Acceptance, InvitationWish
from workdays.forms.fields import LineField, MailboxField, RowsField
from workdays.forms.layout import laid_out
from workdays.models import Cemetery, Membership

TICKS = forms.CheckboxSelectMultiple


class InviteForm(forms.Form):
    """Whom, as what, where, for which skills."""

    refusal_fields = {"skills": "skills"}

    email = MailboxField(label=gettext_lazy("Their e-mail address"))
    role = forms.ChoiceField(
        label=gettext_lazy("What they are asked to be"),
        choices=Membership.Role.choices,
        initial=Membership.Role.SUPERVISOR,
        help_text=gettext_lazy(
            "An organiser opens days, publishes plans and makes calls. "
            "A supervisor leads crews, takes the roll and countersigns hours."
        ),
    )
    cemeteries = RowsField(
        Cemetery.objects.order_by("name"),
        label=gettext_lazy("Where"),
        required=False,
        widget=TICKS,
        help_text=gettext_lazy("None ticked: everywhere, also at cemeteries added later."),
    )
    skills = RowsField(
        Skill.objects.all(),
        label=gettext_lazy("Skills they supervise"),
        required=False,
        widget=TICKS,
        help_text=gettext_lazy(
            "This signs them off as supervisor by your judgement: tick only what you have seen."
        ),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out(*self.fields, submit=_("Mail the invitation"))

    def wish(self) -> InvitationWish:
        """Return what was asked, cleaned."""
        cleaned = self.cleaned_data
        places, skills = list(cleaned["cemeteries"]), list(cleaned["skills"])
        return InvitationWish(cleaned["email"], cleaned["role"], places, skills)


NAMELESS = gettext_lazy("Write your name: others of the staff see it.")


class AcceptForm(forms.Form):
    """The name of who accepts; or which of those known by the mailbox they are."""

    person = forms.TypedChoiceField(
        label=gettext_lazy("Who are you?"),
        coerce=int,
        empty_value=None,
        required=False,
        widget=forms.RadioSelect,
    )
    name = LineField(
        label=gettext_lazy("Your name"),
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )

    def __init__(self, *args: Any, known: list[Person], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if known:
            names = [(one.pk, one.name) for one in known]
            field = self.fields["person"]
            assert isinstance(field, forms.TypedChoiceField)  # noqa: S101  # for the types
            field.choices = [*names, ("", _("somebody else, named below"))]
        else:
            del self.fields["person"]
            self.fields["name"].required = True
            self.fields["name"].error_messages["required"] = NAMELESS
        self.helper = laid_out(*self.fields, submit=_("I accept"))

    def clean(self) -> dict[str, Any]:
        """Ask for a name where nobody was chosen."""
        cleaned = super().clean() or self.cleaned_data
        if not cleaned.get("person") and not cleaned.get("name") and not self.errors:
            self.add_error("name", NAMELESS)
        return cleaned

    def answer(self) -> Acceptance:
        """Return who accepts."""
        cleaned = self.cleaned_data
        return Acceptance(cleaned["name"], cleaned.get("person") or None)
