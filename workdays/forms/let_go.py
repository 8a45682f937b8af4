"""Which pin is let go, as its button sends it."""

from django import forms

LARGEST = 2**31 - 1


class LetGoForm(forms.Form):
    """A person in a block, or a job."""

    what = forms.ChoiceField(choices=[("person", "person"), ("job", "job")])
    number = forms.IntegerField(min_value=1, max_value=LARGEST)
    block = forms.IntegerField(min_value=0, max_value=100)
