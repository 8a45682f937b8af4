"""Fields and forms for pictures: several at once, judged and made small before anything is kept."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.forms.utils import flatatt
from django.utils.datastructures import MultiValueDict
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from workdays.forms.fields import printable
from workdays.pictures import NotAPicture, Picture, reduced

MOST_PICTURES = 12
ACCEPT = "image/jpeg,image/png,image/webp"
LONGEST_NAME = 40


class PicturesInput(forms.FileInput):
    """Two ways for the same pictures: those that the phone holds, and its camera.

    A browser opens the camera only for an input of its own, and then shows nothing else.
    """

    def value_from_datadict(self, data: Any, files: Any, name: str) -> list[Any]:
        """Return all files that came under this name."""
        return list(files.getlist(name)) if isinstance(files, MultiValueDict) else files.get(name)

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        """Return the two inputs; the label of the field belongs to the first."""
        given = self.build_attrs(self.attrs, attrs)
        chosen = {**given, "type": "file", "name": name, "accept": ACCEPT, "multiple": True}
        camera = f"{given.get('id', name)}_camera"
        taken = {**chosen, "id": camera, "capture": "environment"}
        taken = {key: value for key, value in taken.items() if key != "multiple"}
        return format_html(
            '<input{}><label class="form-label" for="{}">{}</label><input{}>',
            *(flatatt(chosen), camera, _("Or take one now"), flatatt(taken)),
        )


class PicturesField(forms.FileField):
    """Up to twelve pictures; gives a list of them in three sizes, empty when none was chosen.

    One bad file refuses all, with a sentence that names each: a page cannot fill in files again.
    """

    widget = PicturesInput

    def clean(self, data: Any, initial: Any = None) -> Any:
        """Return what was chosen as pictures without anything that the camera wrote."""
        files = [one for one in data if one] if isinstance(data, Sequence) else [data]
        chosen = [one for one in files if isinstance(one, UploadedFile)]
        if not chosen:
            super().clean(None)
            return []
        if len(chosen) > MOST_PICTURES:
            raise ValidationError(
                _("Send at most %(most)s pictures at once.") % {"most": MOST_PICTURES},
                code="too-many",
            )
        return _pictures(chosen)


def _pictures(chosen: list[UploadedFile[Any]]) -> list[Picture]:
    found, refused = [], []
    for upload in chosen:
        try:
            found.append(reduced(upload))
        except NotAPicture as said:
            words = f"{_name(upload)}: {said.sentence}" if len(chosen) > 1 else said.sentence
            refused.append(ValidationError(words, code=said.code))
    if refused:
        if len(chosen) > 1:
            refused.append(ValidationError(_("None is kept. Choose the others again.")))
        raise ValidationError(refused)
    return found


def _name(upload: "UploadedFile[Any]") -> str:
    return printable(upload.name or _("A picture"))[:LONGEST_NAME]
