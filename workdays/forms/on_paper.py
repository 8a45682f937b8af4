"""The form by which the staff notes a waiver that was signed on paper."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.actions.on_paper import Noted
from workdays.forms.fields import LineField
from workdays.forms.layout import laid_out
from workdays.forms.measures import DayField
from workdays.forms.pictures import PicturesField
from workdays.models import SignUp, Waiver
from workdays.queries.signatures import is_minor
from workdays.queries.waivers import Language, texts_on_paper
from workdays.rules.on_paper import Paper

ROLES = [
    ("self", gettext_lazy("the person, for themselves")),
    ("guardian", gettext_lazy("the guardian, for the minor")),
]


class TextField(forms.ModelChoiceField[Any]):
    """One of the texts of a place, told by what stands at the foot of its printed sheet."""

    def label_from_instance(self, obj: Any) -> str:
        """Return version, language and the first signs of the hash."""
        language = Language(obj.language).name
        return f"{_('Version')} {obj.version}, {language}, {obj.text_sha256[:12]}"

    def clean(self, value: Any) -> Any:
        """Return the text; a number too large for the database is refused like any other."""
        return super().clean(value if len(str(value)) < 19 else "0")


class PaperForm(forms.Form):
    """Which text, whose name, which date; a picture of the paper."""

    refusal_fields = {
        "signed_on": "signed_on",
        "role": "role",
        "relation": "relation",
        "agrees": "agrees",
        "waiver": "waiver",
    }
    waiver = TextField(
        Waiver.objects.none(),
        label=gettext_lazy("Which text is on the paper"),
        empty_label=None,
        help_text=gettext_lazy("Version, language and hash stand at the foot of the sheet."),
    )
    signed_on = DayField(gettext_lazy("Date on the paper"))
    role = forms.ChoiceField(
        label=gettext_lazy("Who signed"), choices=ROLES, widget=forms.RadioSelect
    )
    name = LineField(label=gettext_lazy("Name as it was signed"), max_length=120)
    relation = LineField(label=gettext_lazy("Is to the child"), max_length=40, required=False)
    agrees = forms.BooleanField(
        label=gettext_lazy("The child's own name stands under the rules"), required=False
    )
    picture = PicturesField(
        most=1,
        label=gettext_lazy("Picture of the paper"),
        help_text=gettext_lazy(
            "JPEG, PNG or WebP, up to 15 MB: the whole sheet, readable. Where and with what it "
            "was taken is not kept."
        ),
    )

    def __init__(self, *args: Any, row: SignUp, **kwargs: Any) -> None:
        minor = is_minor(row)
        signer = row.guardian if minor and row.guardian else row.person
        initial = {"role": "guardian" if minor else "self", "name": signer.name}
        super().__init__(*args, **{"initial": initial, **kwargs})
        field = self.fields["waiver"]
        assert isinstance(field, forms.ModelChoiceField)  # noqa: S101  # narrows the type
        field.queryset = texts_on_paper(row.day.cemetery)
        for name in () if minor else ("relation", "agrees"):
            del self.fields[name]
        parts = [name for name in PaperForm.base_fields if name in self.fields]
        self.helper = laid_out(*parts, submit=_("Note this paper"), multipart=True)

    def noted(self) -> Noted:
        """Return what was typed."""
        said = self.cleaned_data
        paper = Paper(
            signed_on=said["signed_on"],
            by_guardian=said["role"] == "guardian",
            relation=said.get("relation", ""),
            agrees=said.get("agrees", False),
        )
        return Noted(paper, said["name"], said["waiver"], said["picture"][0])
