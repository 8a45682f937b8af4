"""Forms about passkeys."""

from typing import Any

from allauth.mfa.models import Authenticator
from django import forms
from django.utils.translation import gettext_lazy as _

from coordinator.log_ins import ceremony
from coordinator.log_ins.actions import NewPasskey

LONGEST_NAME = 60
NOT_TAKEN = _("This passkey was not taken. Try again, or sign in by the mailed code.")


class NameForm(forms.Form):
    """What a person calls a passkey."""

    name = forms.CharField(
        label=_("A name for it"),
        max_length=LONGEST_NAME,
        help_text=_("For example: my phone, the office computer."),
    )

    def clean_name(self) -> str:
        """Return the name with single blanks; what cannot be printed is left out."""
        kept = "".join(c for c in self.cleaned_data["name"] if c.isprintable())
        name = " ".join(kept.split())
        if not name:
            raise forms.ValidationError(_("Give it a name that can be read."))
        return name


class CredentialField(forms.JSONField):
    """What a script wrote: an object, of a depth that can be read."""

    def to_python(self, value: Any) -> Any:
        """Return the object; anything else is no answer of a browser."""
        try:
            found = super().to_python(value)
        except RecursionError:
            found = None
        if not isinstance(found, dict):
            raise forms.ValidationError(NOT_TAKEN)
        return found

    def bound_data(self, data: Any, initial: Any) -> Any:
        """Return nothing to show again: an answer is good for one challenge only."""
        return None


class CredentialForm(forms.Form):
    """What the browser answered, told of above the form, because the field is hidden."""

    credential = CredentialField(widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        """Say once what is wrong with the answer."""
        cleaned = super().clean() or self.cleaned_data
        if self.errors.pop("credential", None):
            self.add_error(None, NOT_TAKEN)
        return cleaned


class AddForm(NameForm, CredentialForm):
    """A new passkey with its name; an unproven one is told of above the form."""

    def clean(self) -> dict[str, Any]:
        """Refuse a passkey that was not made for this page."""
        cleaned = super().clean() or self.cleaned_data
        if not self.errors:
            try:
                ceremony.proven_new(cleaned["credential"])
            except ceremony.NotProven:
                raise forms.ValidationError(NOT_TAKEN) from None
        return cleaned

    def passkey(self) -> NewPasskey:
        """Return what was proven, with its name."""
        return NewPasskey(self.cleaned_data["name"], self.cleaned_data["credential"])


class SignInForm(CredentialForm):
    """Asks a browser for a passkey, whosever it is."""

    def owner(self) -> Authenticator | None:
        """Return the passkey that was proven, or None."""
        if not self.is_valid():
            return None
        try:
            return ceremony.proven_owner(self.cleaned_data["credential"])
        except ceremony.NotProven:
            return None
