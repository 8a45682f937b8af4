"""The page at the gate: one person, what they can do, what they sign on the device."""

import uuid
from collections.abc import Sequence
from typing import Any

from crispy_forms.bootstrap import InlineRadios
from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Fieldset, Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from training.models import Skill
from workdays.actions.gate import WalkUp, Ward
from workdays.actions.sign_ups import Contact, Wishes
from workdays.forms.fields import LineField, MailboxField, TelephoneField
from workdays.forms.layout import folded, laid_out, note
from workdays.forms.reading import ReadingForm, said_in
from workdays.forms.wishes import EXPERIENCE, LIMITS, language_choices
from workdays.models import Waiver, Workday
from workdays.rules.affirming import affirmed_for_either
from workdays.rules.young_people import rules_in

OFF = {"autocomplete": "off"}
MINOR = ("born_on", "guardian", "relation", "agrees")
SIGNED = _("What they signed before holds on this day: it is not asked again.")


def _over() -> Any:
    return LineField(
        label=_("The day is full: why does this person come all the same?"),
        max_length=250,
        required=False,
        help_text=_("Kept with your name, and shown to those who run the day."),
    )


YOUNG = """<ul lang="{{ young_rules.language }}">
{% for rule in young_rules.shown %}<li>{{ rule }}</li>{% endfor %}</ul>"""


class GateForm(ReadingForm):
    """Somebody at the gate; a guardian signs for a minor. ``known``: chosen from known people."""

    helper: FormHelper
    refusal_fields = {
        "minor": "age_group", "born_on": "born_on", "guardian": "guardian", "full": "reason",
        "relation": "relation", "agrees": "agrees", "typed_name": "typed_name", "waiver": "affirm",
    }  # fmt: skip

    name = LineField(label=_("Name"), max_length=120, widget=forms.TextInput(attrs=OFF))
    age_group = forms.ChoiceField(label=_("Age"), widget=forms.RadioSelect, initial="adult")
    emergency_name = LineField(
        label=_("Whom do we call if something happens?"),
        max_length=120,
        widget=forms.TextInput(attrs=OFF),
    )
    emergency_telephone = TelephoneField(label=_("Their telephone"))
    level = forms.ChoiceField(
        label=_("How much of this work done before?"),
        choices=EXPERIENCE,
        widget=forms.RadioSelect,
        initial="none",
    )
    cannot_lift = forms.BooleanField(label=_("Cannot lift"), required=False)
    cannot_kneel = forms.BooleanField(label=_("Cannot kneel"), required=False)
    cannot_stand_long = forms.BooleanField(label=_("Cannot stand for long"), required=False)
    languages = forms.MultipleChoiceField(
        label=_("Languages"),
        widget=forms.CheckboxSelectMultiple,
        initial=["en"],
        required=False,
    )
    telephone = TelephoneField(label=_("Telephone"), required=False)
    email = MailboxField(
        label=_("E-mail"),
        required=False,
        help_text=_("A copy of what is signed goes there."),
    )
    born_on = forms.DateField(
        label=_("Born on"),
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
    )
    guardian = forms.ChoiceField(label=_("Guardian"), required=False)
    relation = LineField(
        label=_("Is to the child"),
        max_length=40,
        required=False,
        help_text=_("Mother, grandfather, legal guardian."),
    )
    agrees = forms.BooleanField(required=False)
    reason = _over()
    affirm = forms.BooleanField(error_messages={"required": _("Without this nobody can come.")})
    typed_name = LineField(
        label=_("Full name of who signs, typed by themselves"),
        max_length=120,
        widget=forms.TextInput(attrs=OFF),
    )
    press = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(
        self,
        *args: Any,
        day: Workday,
        waiver: Waiver,
        skills: Sequence[Skill],
        guardians: Sequence[Person],
        known: Person | None = None,
        signed: bool = False,
        is_full: bool = False,
        **kwargs: Any,
    ) -> None:
        initial = {"press": uuid.uuid4(), **_of(known)}
        super().__init__(*args, **{"initial": initial, **kwargs})
        self.shows(waiver)
        self.known, self.skills, self.signed = known, skills, signed
        self.guardians = {str(person.pk): person for person in guardians}
        age = day.cemetery.adult_age
        self._choose(
            "age_group",
            [("adult", _("%d or older") % age), ("minor", _("under %d, with a guardian") % age)],
        )
        named = [(pk, person.name) for pk, person in self.guardians.items()]
        self._choose("guardian", [("", _("choose an adult who is on the list")), *named])
        self._choose("languages", language_choices())
        self.fields["affirm"].label = said_in(*affirmed_for_either(waiver.language))
        rules = rules_in(waiver.language)
        self.fields["agrees"].label = said_in(rules.language, rules.agreed)
        for name in ("name", "email") if known else ():
            del self.fields[name]
        for name in ("affirm", "typed_name") if signed else ():
            del self.fields[name]
        if not is_full:
            del self.fields["reason"]
        self.helper = FormHelper(self)
        self.helper.form_tag = False
        self.helper.layout = self._layout()

    def _choose(self, name: str, choices: list[tuple[str, Any]]) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101  # narrows the type
        field.choices = choices

    def _layout(self) -> Layout:
        text = HTML("{% include 'workdays/public/_waiver.html' %}")
        signing = (note(SIGNED),) if self.signed else (text, "affirm", "typed_name")
        return Layout(
            Fieldset(
                _("Who"),
                *(() if self.known else ("name",)),
                Div("emergency_name", "emergency_telephone", css_class="row"),
                InlineRadios("age_group"),
                *folded(
                    _("A child: who signs, and the rules for children"),
                    Div("born_on", "guardian", css_class="row"), "relation", HTML(YOUNG), "agrees",
                    is_open=self._is_of_minor(),
                ),
            ),
            Fieldset(
                _("What they can do"), InlineRadios("level"), Div(*LIMITS, css_class="close"),
                *folded(
                    _("Languages, telephone, e-mail"),
                    "languages", *(name for name in ("telephone", "email") if name in self.fields),
                    is_open=self.is_bound,
                ),
            ),
            Fieldset(_("What is signed"), *signing),
            *(name for name in ("reason",) if name in self.fields),
            "press",
        )  # fmt: skip

    def _is_of_minor(self) -> bool:
        said = self.data if self.is_bound else self.initial
        return said.get("age_group") == "minor" or any(self.data.get(name) for name in MINOR)

    def clean(self) -> dict[str, Any]:
        """Want the birth date of a minor."""
        cleaned = super().clean() or self.cleaned_data
        undated = "born_on" not in self.errors and cleaned.get("born_on") is None
        if cleaned.get("age_group") == "minor" and undated:
            self.add_error("born_on", _("Give the birth date of the child."))
        return cleaned

    def walk_up(self) -> WalkUp:
        """Return what was typed."""
        said = self.cleaned_data
        return WalkUp(
            name=self.known.name if self.known else said["name"],
            email=self.known.email if self.known else said["email"],
            contact=Contact(said["telephone"], said["emergency_name"], said["emergency_telephone"]),
            wishes=Wishes(
                experience={skill.key: said["level"] for skill in self.skills},
                languages=said["languages"] or ["en"],
                **{name: said[name] for name in LIMITS},
            ),
            typed_name=said.get("typed_name", ""),
            text_sha256=str(self.data.get("text_sha256", "")),
            press=str(said["press"]),
            reason=said.get("reason", ""),
            known=self.known,
            ward=self._ward(),
        )

    def _ward(self) -> Ward | None:
        said = self.cleaned_data
        if said["age_group"] != "minor":
            return None
        guardian = self.guardians.get(said["guardian"])
        return Ward(said["born_on"], guardian, said["relation"], said["agrees"])


class PlaceForm(forms.Form):
    """Why somebody gets a place that the day does not have."""

    refusal_fields = {"full": "reason"}
    reason = _over()

    def __init__(self, *args: Any, is_full: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not is_full:
            del self.fields["reason"]
        self.helper = laid_out(*self.fields, submit=str(_("Give the place")))


class FindForm(forms.Form):
    """A part of a name, to find somebody who was there before."""

    name = LineField(label=_("Part of the name"), max_length=120, required=False)


def _of(known: Person | None) -> dict[str, Any]:
    if known is None:
        return {}
    names = ("emergency_name", "emergency_telephone", "telephone", "languages", "born_on")
    group = "adult" if known.is_adult else "minor"
    return {name: getattr(known, name) for name in names} | {"age_group": group}
