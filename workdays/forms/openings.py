"""The form by which somebody says where they want to hear of new days."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import RowsField
from workdays.forms.layout import laid_out
from workdays.models import Cemetery
from workdays.queries.openings import places_with_days


class MailsForm(forms.Form):
    """Cemeteries to tick; none is ticked before somebody asks for it."""

    places = RowsField(
        Cemetery.objects.none(),
        label=gettext_lazy("Mail me when a day opens at"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("One mail for each day. Untick to end them, or press in a mail."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["places"]
        field.queryset = places_with_days()
        self.helper = laid_out("places", submit=_("Keep it so"))
