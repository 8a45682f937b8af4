"""The form by which an organiser says that a claim needs what is kept of somebody erased."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.layout import laid_out


class ClaimForm(forms.Form):
    """A tick and no words, so that the audit names nobody."""

    claim = forms.BooleanField(
        label=gettext_lazy(
            "I need it to answer a claim, or because a court or the law asks for it"
        ),
        error_messages={"required": gettext_lazy("It is kept for this alone, and stays shut.")},
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out("claim", submit=_("Open it; the record says that I did"))
