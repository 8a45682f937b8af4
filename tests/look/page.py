"""The style page: every component on one page, for ourselves; not served by the product."""

from pathlib import Path
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.contrib.auth.models import AnonymousUser
from django.template import engines
from django.test import RequestFactory

from workdays.drawing import signs

HERE = Path(__file__).parent
WORKS = [
    ("rake", "Raking and debris", "Anyone, from 8 years with a guardian"),
    ("clean", "Gentle cleaning", "We teach you in the first half hour"),
    ("reset", "Setting leaning stones upright", "Adults, beside a supervisor"),
    ("survey", "Survey", "Adults and minors who took part in a teaching day"),
    ("record", "Recording", "Anyone who was shown how"),
    ("mend", "Mending", "Adults, led by a conservator"),
]
CHOICES = [("a", "Cleaning"), ("b", "Resetting")]


class EveryWidget(forms.Form):
    """One field of each widget that the product uses."""

    helper: FormHelper
    name = forms.CharField(help_text="As your friends say it.")
    mail = forms.EmailField(label="E-mail")
    people = forms.IntegerField(required=False)
    born = forms.DateField(widget=forms.DateInput(attrs={"type": "date"}))
    begins = forms.TimeField(widget=forms.TimeInput(attrs={"type": "time"}))
    skill = forms.ChoiceField(choices=CHOICES)
    skills = forms.MultipleChoiceField(choices=CHOICES)
    learn = forms.ChoiceField(choices=CHOICES, widget=forms.RadioSelect, help_text="One only.")
    cannot = forms.MultipleChoiceField(
        choices=CHOICES, widget=forms.CheckboxSelectMultiple, required=False
    )
    read = forms.BooleanField(label="I have read this page", help_text="All of it.")
    notes = forms.CharField(widget=forms.Textarea, required=False)
    paper = forms.FileField()
    picture = forms.ImageField(required=False)
    word = forms.CharField(widget=forms.PasswordInput)
    site = forms.URLField(required=False, assume_scheme="https")

    def clean(self) -> dict[str, Any]:
        """Refuse, so that the sum of errors shows one that belongs to no field."""
        raise forms.ValidationError("The day is full by now.")


def every_form(*, answered: bool) -> EveryWidget:
    """Return the form, empty or sent with nothing in it."""
    form = EveryWidget({}) if answered else EveryWidget()
    form.helper = FormHelper(form)
    form.helper.add_input(Submit("go", "I want to come"))
    return form


def render(**context: object) -> str:
    """Return the style page as HTML, as a stranger sees it."""
    request = RequestFactory().get("/")
    request.user = AnonymousUser()
    values: dict[str, object] = {
        "form": every_form(answered=True),
        "works": WORKS,
        "types": signs.STONE_WORDS.items(),
        "states": signs.STATE_WORDS.items(),
    }
    page = engines["django"].from_string((HERE / "style.html").read_text())
    return str(page.render({**values, **context}, request))
