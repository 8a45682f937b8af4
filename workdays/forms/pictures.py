"""Pictures in forms: several at once, judged and made small before anything is kept."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.forms.utils import flatatt
from django.utils.datastructures import MultiValueDict
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField, printable
from workdays.forms.layout import laid_out
from workdays.forms.measures import DayField
from workdays.models import Photograph
from workdays.pictures import NotAPicture, Picture, reduced

MOST_PICTURES = 12
ACCEPT = "image/jpeg,image/png,image/webp"
LONGEST_NAME = 40


class PicturesInput(forms.Widget):
    """Two ways for the same pictures: those that the phone holds, and its camera.

    A browser opens the camera only for an input of its own, and then shows nothing else. Neither
    is required by itself: the field asks that one of them brings a picture.
    """

    needs_multipart_form = True

    def value_from_datadict(self, data: Any, files: Any, name: str) -> list[Any]:
        """Return all files that came under this name."""
        if isinstance(files, MultiValueDict):
            return list(files.getlist(name))
        return [files[name]] if name in files else []

    def value_omitted_from_data(self, data: Any, files: Any, name: str) -> bool:
        """Return whether nothing came under this name."""
        return name not in files

    def use_required_attribute(self, initial: Any) -> bool:
        """Return that no browser may ask for both inputs to be filled."""
        return False

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        """Return the two inputs; the label of the field belongs to the first."""
        given = self.build_attrs(self.attrs, attrs)
        both = {**given, "type": "file", "name": name, "accept": ACCEPT}
        camera = f"{given.get('id', name)}_camera"
        return format_html(
            '<input{}><label class="form-label camera" for="{}">{}</label><input{}>',
            flatatt({**both, "multiple": True}),
            camera,
            _("Or take one now"),
            flatatt({**both, "id": camera, "capture": "environment"}),
        )


class PicturesField(forms.FileField):
    """Up to twelve pictures; gives a list of them in three sizes, empty when none was chosen.

    One bad file refuses all, with a sentence that names each: a page cannot fill in files again.
    """

    widget = PicturesInput

    def __init__(self, *, most: int = MOST_PICTURES, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.most = most

    def clean(self, data: Any, initial: Any = None) -> Any:
        """Return what was chosen as pictures without anything that the camera wrote."""
        files = [one for one in data if one] if isinstance(data, Sequence) else [data]
        chosen = [one for one in files if isinstance(one, UploadedFile)]
        if not chosen:
            super().clean(None)
            return []
        if len(chosen) > self.most:
            raise ValidationError(
                _("Send at most %(most)s pictures at once.") % {"most": self.most}
                if self.most > 1
                else _("Send one picture."),
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


class PhotographsForm(forms.Form):
    """Pictures of one place that were taken together, and what is said of them."""

    refusal_fields = {"future": "taken_on", "too-old": "taken_on"}

    pictures = PicturesField(
        label=gettext_lazy("Pictures"),
        help_text=gettext_lazy(
            "JPEG, PNG or WebP, up to 15 MB each and 12 at once. Where and with what they were "
            "taken is not kept."
        ),
    )
    moment = forms.ChoiceField(
        label=gettext_lazy("They show it"),
        choices=Photograph.Moment.choices,
        initial=Photograph.Moment.OTHER,
        widget=forms.RadioSelect,
    )
    taken_on = DayField(gettext_lazy("Day they were taken"))
    caption = LineField(label=gettext_lazy("What one sees"), max_length=160, required=False)
    shows_people = forms.BooleanField(
        label=gettext_lazy("Somebody can be recognised on them"), required=False
    )

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["taken_on"].initial = today
        self.helper = laid_out(
            *("pictures", "moment", "taken_on", "caption", "shows_people"),
            submit=_("Keep these pictures"),
            multipart=True,
        )


class PairForm(forms.Form):
    """Which two pictures of one place show it before and after work."""

    refusal_fields = {"order": "before", "same-picture": "after"}

    before = forms.ModelChoiceField(
        Photograph.objects.none(), label=gettext_lazy("Before work"), empty_label=None
    )
    after = forms.ModelChoiceField(
        Photograph.objects.none(), label=gettext_lazy("After work"), empty_label=None
    )

    def __init__(self, *args: Any, rows: Sequence[Any], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        found = Photograph.objects.filter(pk__in=[row.picture.pk for row in rows])
        for name in ("before", "after"):
            field = self.fields[name]
            field.queryset = found  # type: ignore[attr-defined]  # its class
            field.choices = [(row.picture.pk, row.words) for row in rows]  # type: ignore[attr-defined]
        self.helper = laid_out("before", "after", submit=_("Make them a pair"))
        self.helper.form_tag = False  # the page has another form, which it must not answer to


class RemoveForm(forms.Form):
    """Why a picture goes for good."""

    refusal_fields = {"no-reason": "reason"}

    reason = LineField(label=gettext_lazy("Why it goes"), max_length=250, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out("reason", submit=_("Take it away for good"))
