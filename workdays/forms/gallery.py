"""The owner's leave to show pictures of a cemetery to the public."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField
from workdays.forms.layout import laid_out
from workdays.forms.measures import DayField


class GalleryLeaveForm(forms.Form):
    """Since when the owner allows it, and where that is written."""

    refusal_fields = {"no-date": "gallery_on", "no-words": "gallery_words"}

    gallery_on = DayField(gettext_lazy("The owner allows it since"), required=False)
    gallery_words = LineField(
        label=gettext_lazy("Who gave this leave"),
        max_length=250,
        required=False,
        help_text=gettext_lazy("Name, office, letter, date. Empty both fields to end the leave."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out("gallery_on", "gallery_words", submit=_("Keep this leave"))
