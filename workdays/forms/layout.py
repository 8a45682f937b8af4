"""What the forms of the ground have in common: one column, one button, half a place refused."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Layout, Submit
from django import forms
from django.db.models import Model
from django.utils.html import format_html
from django.utils.translation import gettext as _

ROWS = forms.Textarea(attrs={"rows": 4})


def initial_of(row: Model, form: type[forms.Form]) -> dict[str, Any]:
    """Return what a form shows of a stored row."""
    return {name: getattr(row, name) for name in form.base_fields if hasattr(row, name)}


def laid_out(*parts: Any, submit: str, multipart: bool = False) -> FormHelper:
    """Return a helper with the parts in one column and the button below."""
    helper = FormHelper()
    helper.layout = Layout(*parts, Submit("keep", submit))
    if multipart:
        helper.attrs = {"enctype": "multipart/form-data"}
    return helper


def folded(words: Any, *parts: Any, is_open: bool) -> tuple[Any, ...]:
    """Return parts of a page folded behind a line of words."""
    head = format_html("<details{}><summary>{}</summary>", " open" if is_open else "", words)
    return HTML(head), *parts, HTML("</details>")


def note(words: Any) -> HTML:
    """Return a sentence that stands between fields."""
    return HTML(format_html('<p class="note">{}</p>', words))


def both_or_none(form: forms.Form, one: str, other: str) -> dict[str, Any]:
    """Return the cleaned values; half a place gets a sentence beside the missing half."""
    cleaned = form.cleaned_data
    if {one, other} & set(form.errors):
        return cleaned
    given = {name: cleaned.get(name) is not None for name in (one, other)}
    if given[one] != given[other]:
        missing = other if given[one] else one
        form.add_error(missing, _("Give both halves of the place, or neither."))
    return cleaned
