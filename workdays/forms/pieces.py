"""Forms of loose pieces: what is known of one, a word on where it belongs, a word taken back."""

from typing import Any

from crispy_forms.bootstrap import StrictButton
from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Fieldset, Layout
from django import forms
from django.core.exceptions import NON_FIELD_ERRORS
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import LineField, ParagraphField, is_number
from workdays.forms.layout import ROWS, both_or_none, laid_out
from workdays.forms.measures import DayField, FineLengthField, MetresField
from workdays.forms.pictures import PicturesField
from workdays.models import Cemetery, LoosePiece, Section, Stone

KNOWN = (
    *("tag", "found_on", "section", "place", "east_m", "north_m", "material", "thickness_cm"),
    *("width_cm", "height_cm", "edges", "letters", "notes"),
)


class PieceForm(forms.Form):
    """One loose piece, filled in on a phone where it lies."""

    refusal_fields = {
        "taken": "tag",
        "future": "found_on",
        "too-old": "found_on",
        "brackets": "letters",
        "elsewhere": "section",
    }

    place = LineField(
        label=gettext_lazy("Where it lies"),
        max_length=250,
        help_text=gettext_lazy("Also where it is kept, if the owner had it moved."),
    )
    section = forms.ModelChoiceField(
        Section.objects.none(),
        label=gettext_lazy("Section"),
        required=False,
        empty_label=gettext_lazy("not known"),
    )
    pictures = PicturesField(
        label=gettext_lazy("Pictures"),
        required=False,
        help_text=gettext_lazy(
            "In place, before anybody moves it; then its face and its broken edges. Up to 12."
        ),
    )
    shows_people = forms.BooleanField(
        label=gettext_lazy("Somebody can be recognised on them"), required=False
    )
    thickness_cm = FineLengthField(
        gettext_lazy("Thickness"),
        *(0.5, 120),
        required=False,
        help_text=gettext_lazy("It tells most. A bare number is cm; 2 1/4 in is read too."),
    )
    width_cm = FineLengthField(
        gettext_lazy("Greatest width"), *(0.5, 300), required=False, help_text=""
    )
    height_cm = FineLengthField(
        gettext_lazy("Greatest height"), *(0.5, 300), required=False, help_text=""
    )
    material = forms.ChoiceField(
        label=gettext_lazy("Material"),
        choices=Stone.Material.choices,
        initial=Stone.Material.UNKNOWN,
    )
    letters = LineField(
        label=gettext_lazy("Letters on it"),
        max_length=250,
        required=False,
        help_text=gettext_lazy(
            "As they are cut, / between lines. Not sure: MAR[Y]. Lost letters: [..]."
        ),
        widget=forms.TextInput(attrs={"spellcheck": "false", "autocapitalize": "off"}),
    )
    edges = LineField(
        label=gettext_lazy("Edges"),
        max_length=160,
        required=False,
        help_text=gettext_lazy("Which are finished, which are broken: left and top finished."),
    )
    notes = ParagraphField(
        label=gettext_lazy("Notes"), max_length=4000, required=False, widget=ROWS
    )
    east_m = MetresField(gettext_lazy("Metres east of the cemetery's origin"), required=False)
    north_m = MetresField(gettext_lazy("Metres north of the cemetery's origin"), required=False)
    tag = LineField(
        label=gettext_lazy("Tag"),
        max_length=40,
        help_text=gettext_lazy("Write it on a tag beside the piece, not on the stone."),
    )
    found_on = DayField(gettext_lazy("Day it was found"))

    def __init__(self, *args: Any, cemetery: Cemetery, submit: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sections = cemetery.sections.order_by("order", "pk")
        self.fields["section"].queryset = sections  # type: ignore[attr-defined]  # its class
        self.helper = laid_out(
            Fieldset(_("Where it lies"), "place", "section"),
            Fieldset(_("Pictures"), "pictures", "shows_people"),
            Fieldset(
                _("What you see and measure"),
                *("thickness_cm", "width_cm", "height_cm", "material", "letters", "edges"),
                "notes",
            ),
            Fieldset(_("Tag and day"), "tag", "found_on"),
            Fieldset(_("If somebody measured its place"), "east_m", "north_m"),
            submit=submit,
            multipart=True,
        )
        self.helper.form_class = "plain"

    def clean(self) -> dict[str, Any]:
        """Ask for both halves of a measured place."""
        return both_or_none(self, "east_m", "north_m")

    def known(self) -> dict[str, Any]:
        """Return what is known of the piece, as it is stored."""
        return {name: self.cleaned_data[name] for name in KNOWN}

    def tell_lost_pictures(self) -> None:
        """Say that the pictures of a refused form are to be chosen again, if there were any."""
        if self.errors and self.cleaned_data.get("pictures"):
            said = _("Choose the pictures again as well: a page cannot send them back.")
            self.add_error("pictures", said)


class JudgeForm(forms.Form):
    """A person's word on whether a piece belongs to a stone; the pressed button says which."""

    refusal_fields = {"no-why": "why"}

    stone = forms.CharField(widget=forms.HiddenInput)
    fits = forms.ChoiceField(
        choices=[("yes", "yes"), ("no", "no")],
        error_messages={"required": gettext_lazy("Press one of the two buttons.")},
    )
    why = LineField(
        label=gettext_lazy("What you saw when you compared them"),
        max_length=250,
        required=False,
        help_text=gettext_lazy("Needed for “It does not”."),
    )

    def __init__(
        self, data: Any = None, *, piece: LoosePiece, address: str, stone: int | None = None
    ) -> None:
        super().__init__(data, initial={"stone": stone})
        self.piece = piece
        # Several of these stand on one page: each needs ids of its own.
        self.auto_id = f"id_{stone or 'sent'}_%s"
        self.helper = FormHelper()
        self.helper.form_action = address
        self.helper.form_class = "plain"
        self.helper.layout = Layout(
            "stone",
            "why",
            Div(
                _button("yes", _("It belongs here"), "btn-primary"),
                _button("no", _("It does not"), ""),
                css_class="actions",
            ),
        )

    def clean_stone(self) -> Stone:
        """Return the stone; one of another cemetery is not told from one that is not there."""
        typed = self.cleaned_data["stone"]
        stones = self.piece.cemetery.stones
        found = stones.filter(pk=int(typed)).first() if is_number(typed) else None
        if found is None:
            raise forms.ValidationError(
                _("There is no such stone at %(place)s.") % {"place": self.piece.cemetery},
                code="no-stone",
            )
        return found

    def said(self) -> dict[str, Any]:
        """Return the word, as the action takes it."""
        return {"fits": self.cleaned_data["fits"] == "yes", "why": self.cleaned_data["why"]}

    def is_about(self, stone: int) -> bool:
        """Return whether this form was sent about a stone, by its id."""
        return self.is_bound and self.data.get("stone") == str(stone)

    def sentences(self, *, beside: bool) -> list[str]:
        """Return the errors for the top of a page; ``beside``: the form itself shows its own."""
        shown = {"why", NON_FIELD_ERRORS} if beside else set()
        return [str(said) for name in self.errors.keys() - shown for said in self.errors[name]]


def _button(value: str, words: str, classes: str) -> StrictButton:
    return StrictButton(words, name="fits", value=value, type="submit", css_class=classes)


class TakeBackForm(forms.Form):
    """Why a word on a piece and a stone is taken back."""

    refusal_fields = {"no-why": "why"}

    why = LineField(label=gettext_lazy("Why you take it back"), max_length=250, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = laid_out("why", submit=_("Take it back"))
