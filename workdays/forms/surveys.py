"""The form of one look at one stone, filled in on a phone beside it, pictures included."""

from datetime import date
from typing import Any

from crispy_forms.layout import Fieldset
from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.actions.looks import PicturesOfLook
from workdays.actions.photographs import Taken
from workdays.forms.fields import LineField, ParagraphField, is_number
from workdays.forms.layout import ROWS, laid_out
from workdays.forms.measures import DayField, LengthField, WholeField
from workdays.forms.pictures import PicturesField
from workdays.models import Photograph, Stone, Survey
from workdays.rules.triage import SIGN_WORDS, Lean, Sign

# A hollow sound is asked for by tapping, not among the signs that one sees.
SIGNS = [(sign.value, words) for sign, words in SIGN_WORDS.items() if sign is not Sign.HOLLOW]
LEANS = [
    (Lean.FRONT_OR_BACK.value, gettext_lazy("to the front or back")),
    (Lean.SIDE.value, gettext_lazy("to the side only")),
]
SEEN = (
    *("signs", "sound", "lean_degrees", "lean_direction", "height_above_cm", "depth_sunk_cm"),
    *("pieces", "previous_repair", "notes", "on"),
)
MOST_KEPT = 50


class SurveyForm(forms.Form):
    """One look at one stone."""

    refusal_fields = {
        "future": "on",
        "too-old": "on",
        "pieces": "pieces",
        "too-high": "height_above_cm",
        "too-deep": "depth_sunk_cm",
    }

    signs = forms.MultipleChoiceField(
        label=gettext_lazy("What do you see?"),
        choices=SIGNS,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("Look all round. Do not push or pull to find out."),
    )
    sound = forms.ChoiceField(
        label=gettext_lazy("Tap it with a finger: how does it sound?"),
        choices=Survey.Sound.choices,
        initial=Survey.Sound.UNKNOWN,
        widget=forms.RadioSelect,
    )
    lean_degrees = WholeField(
        gettext_lazy("Lean in degrees"),
        *(0, 90, "degrees"),
        required=False,
        help_text=gettext_lazy("0 is upright. Empty: not measured; look again before any work."),
    )
    lean_direction = forms.ChoiceField(
        label=gettext_lazy("It leans"),
        choices=[*LEANS, ("", gettext_lazy("not at all, or not noted"))],
        required=False,
        widget=forms.RadioSelect,
    )
    height_above_cm = LengthField(gettext_lazy("Height above ground"), *(0, 1500), required=False)
    depth_sunk_cm = LengthField(
        gettext_lazy("How deep it has sunk, if known"),
        *(0, 300),
        required=False,
        help_text=gettext_lazy("From a line of moss or an old record. Do not dig or probe."),
    )
    pieces = WholeField(
        gettext_lazy("Pieces you can see"),
        *(1, 200),
        required=False,
        help_text=gettext_lazy("A whole stone is 1; a base is not counted."),
    )
    previous_repair = LineField(
        label=gettext_lazy("Earlier repair"), max_length=250, required=False
    )
    notes = ParagraphField(
        label=gettext_lazy("Notes"), max_length=4000, required=False, widget=ROWS
    )
    pictures = PicturesField(
        label=gettext_lazy("Pictures"),
        required=False,
        help_text=gettext_lazy("Up to 12. Where and with what they were taken is not kept."),
    )
    shows_people = forms.BooleanField(
        label=gettext_lazy("Somebody can be recognised on them"), required=False
    )
    on = DayField(gettext_lazy("Day of the look"))
    kept = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, stone: Stone, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stone, self.today = stone, today
        self.fields["on"].initial = today
        self.helper = laid_out(
            Fieldset(_("What you see and hear"), "signs", "sound"),
            Fieldset(_("How it stands"), "lean_degrees", "lean_direction"),
            Fieldset(_("Measures"), "height_above_cm", "depth_sunk_cm", "pieces"),
            Fieldset(_("What else there is to say"), "previous_repair", "notes"),
            Fieldset(_("Pictures"), "pictures", "shows_people"),
            *("on", "kept"),
            submit=_("Keep this look"),
            multipart=True,
        )
        # Nearly everything may be left out here: the word beside each label would only be noise.
        self.helper.form_class = "plain"

    def seen(self) -> dict[str, Any]:
        """Return what was seen, as a survey stores it."""
        return {name: self.cleaned_data[name] for name in SEEN}

    def kept_pictures(self) -> list[Photograph]:
        """Return the pictures that an earlier try of this form has kept already."""
        numbers = str(self.data.get("kept", "")).split()[:MOST_KEPT]
        kept = [int(number) for number in numbers if is_number(number)]
        return list(self.stone.photographs.filter(pk__in=kept, survey__isnull=True))

    def of_look(self) -> PicturesOfLook:
        """Return the pictures that belong to this look."""
        return PicturesOfLook(
            new=self.cleaned_data.get("pictures") or [],
            kept=self.kept_pictures(),
            shows_people=bool(self.cleaned_data.get("shows_people")),
        )

    def taken(self) -> Taken:
        """Return what is said of the pictures alone, when the look itself is not kept yet."""
        on = self.cleaned_data.get("on")
        return Taken(
            on=min(on, self.today) if on else self.today,
            shows_people=bool(self.cleaned_data.get("shows_people")),
        )

    def show_kept(self, kept: list[Photograph]) -> None:
        """Carry pictures that are kept already to the next try."""
        data = QueryDict(mutable=True)
        data.update(self.data)
        data["kept"] = " ".join(str(one.pk) for one in kept)
        self.data = data
