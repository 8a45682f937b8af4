"""Ask for a plan, and end a request that is at work, as their buttons send it."""

from typing import Any

from crispy_forms.bootstrap import StrictButton
from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Layout
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.let_go import LARGEST
from workdays.models import PlanRun


class AskForm(forms.Form):
    """How long is searched; a press without a word is quick."""

    effort = forms.ChoiceField(
        label=gettext_lazy("How long to search"),
        choices=PlanRun.Effort.choices,
        initial=PlanRun.Effort.QUICK,
        required=False,
        help_text=gettext_lazy(
            "Stop when you like: the best plan found is kept. Quick and thorough count tries, so "
            "the same day and start number give the same plan; long goes by the clock."
        ),
    )

    def __init__(self, *args: Any, again: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper(self)
        self.helper.form_tag = False
        self.helper.disable_csrf = True
        words = _("Plan the rest again") if again else _("Plan the crews")
        css = "btn-secondary" if again else "btn-primary"
        button = StrictButton(words, type="submit", css_class=css)
        self.helper.layout = Layout(Div("effort", css_class="plain"), Div(button, css_class="mb-3"))

    def clean_effort(self) -> PlanRun.Effort:
        """Return the choice; nothing chosen is quick."""
        return PlanRun.Effort(self.cleaned_data["effort"] or PlanRun.Effort.QUICK)


class RunForm(forms.Form):
    """Which request is ended."""

    run = forms.IntegerField(min_value=1, max_value=LARGEST)
