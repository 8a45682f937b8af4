"""The form by which an organiser says that two rows are one person."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField
from workdays.forms.layout import laid_out


class JoinForm(forms.Form):
    """Why they are one person; wanted where something speaks against it."""

    refusal_fields = {"reason": "why"}

    why = LineField(
        label=gettext_lazy("How do you know that they are one person?"),
        max_length=250,
        required=False,
        help_text=gettext_lazy("Kept with your name. Nothing private, please."),
    )

    def __init__(self, *args: Any, doubtful: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["why"].required = doubtful
        self.fields["why"].error_messages["required"] = _(
            "Say why they are one person all the same."
        )
        self.helper = laid_out("why", submit=_("They are one person: join them"))
