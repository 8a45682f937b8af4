"""What somebody says about themselves for a day: contact, experience, limits, hours, languages."""

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from typing import Any

from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from training.models import Skill
from workdays.actions.sign_ups import Contact, Wishes
from workdays.forms.equipment import brought_fields, brought_in, brought_initial
from workdays.forms.fields import LineField, ParagraphField, TelephoneField
from workdays.forms.seats import SEATS, SeatsForm, seats_initial
from workdays.models import SignUp, Workday
from workdays.queries.languages import language_name
from workdays.rules.wall_clock import hour, quarters

EXPERIENCE = [("none", _("none")), ("some", _("some")), ("lots", _("a lot"))]
NOT_ON_THE_DAY = {"invalid_choice": _("The hours of the day have changed: choose a time again.")}
LIMITS = ("cannot_lift", "cannot_kneel", "cannot_stand_long")


def language_choices() -> list[tuple[str, str]]:
    """Return the languages that the form asks about, by code, named in English."""
    return [(code, language_name(code)) for code in settings.LANGUAGES_SPOKEN]


class ContactForm(forms.Form):
    """How to reach a person, and whom to call."""

    telephone = TelephoneField(
        label=_("Telephone"), help_text=_("If the weather turns we may have to ring you.")
    )
    emergency_name = LineField(label=_("Whom do we call if something happens?"), max_length=120)
    emergency_telephone = TelephoneField(label=_("Their telephone"))

    def contact(self) -> Contact:
        """Return what was typed."""
        cleaned = self.cleaned_data
        return Contact(**{name: cleaned[name] for name in ContactForm.base_fields})


class WishesForm(SeatsForm):
    """What a person can and wants to do on one day."""

    wishes = forms.ChoiceField(label=_("A skill you want to learn"), required=False)
    cannot_lift = forms.BooleanField(label=_("I cannot lift"), required=False)
    cannot_kneel = forms.BooleanField(label=_("I cannot kneel"), required=False)
    cannot_stand_long = forms.BooleanField(label=_("I cannot stand for long"), required=False)
    languages = forms.MultipleChoiceField(
        label=_("Languages you speak"), widget=forms.CheckboxSelectMultiple, required=False
    )
    comes_at = forms.ChoiceField(label=_("I come at"), error_messages=NOT_ON_THE_DAY)
    leaves_at = forms.ChoiceField(label=_("I leave at"), error_messages=NOT_ON_THE_DAY)
    words = ParagraphField(
        label=_("Anything we should know"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("The organiser and the lead of your crew read this."),
    )

    def __init__(self, *args: Any, day: Workday, skills: Sequence[Skill], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.skills = skills
        self.starts_at = day.starts_at.astimezone(UTC)
        self.ends_at = day.ends_at.astimezone(UTC)
        for skill in skills:
            self.fields[f"experience_{skill.key}"] = forms.ChoiceField(
                label=skill.name.capitalize(), choices=EXPERIENCE, required=False, initial="none"
            )
        self.brought = brought_fields()
        self.fields.update(self.brought)
        self._choose("wishes", [("", _("none in particular")), *_keys(skills)], "")
        self._choose("languages", language_choices(), ["en"])
        moments = quarters(self.starts_at, self.ends_at)
        shown = [(_value(at), hour(at.astimezone(day.cemetery.zone))) for at in moments]
        self._choose("comes_at", shown[:-1], shown[0][0])
        self._choose("leaves_at", shown[1:], shown[-1][0])

    def _choose(self, name: str, choices: Iterable[tuple[str, Any]], initial: Any) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101  # narrows the type
        field.choices, field.initial = list(choices), initial

    @property
    def experience_names(self) -> list[str]:
        """Return the names of the fields that ask for experience, in the order of the skills."""
        return [f"experience_{skill.key}" for skill in self.skills]

    @property
    def shows_brought(self) -> bool:
        """Return whether the fields for what is brought hold something and are not folded."""
        return any(self[name].value() or self[name].errors for name in self.brought)

    def clean(self) -> dict[str, Any]:
        """Refuse to leave before coming."""
        cleaned = super().clean() or self.cleaned_data
        comes, leaves = cleaned.get("comes_at"), cleaned.get("leaves_at")
        if comes and leaves and _moment(leaves) <= _moment(comes):
            self.add_error("leaves_at", _("This is not after the time you come."))
        return cleaned

    def said(self) -> Wishes:
        """Return what was typed; the whole day is kept as None, so that it moves with the day."""
        cleaned = self.cleaned_data
        by_key = {skill.key: skill for skill in self.skills}
        comes, leaves = _moment(cleaned["comes_at"]), _moment(cleaned["leaves_at"])
        wish = by_key.get(cleaned["wishes"])
        return Wishes(
            experience={key: cleaned[f"experience_{key}"] or "none" for key in by_key},
            wishes_id=wish.pk if wish else None,
            languages=cleaned["languages"],
            comes_at=None if comes <= self.starts_at else comes,
            leaves_at=None if leaves >= self.ends_at else leaves,
            brings=brought_in(cleaned),
            **self.seats(),
            words=cleaned["words"],
            **{name: cleaned[name] for name in LIMITS},
        )


def said_before(row: SignUp, skills: Sequence[Skill]) -> dict[str, Any]:
    """Return what stands in the form when somebody changes what they said."""
    wish = next((skill.key for skill in skills if skill.pk == row.wishes_id), "")
    limits = {name: getattr(row, name) for name in LIMITS}
    experience = {f"experience_{key}": value for key, value in row.experience.items()}
    contact = {name: getattr(row.person, name) for name in ContactForm.base_fields}
    return {
        **contact,
        **experience,
        **limits,
        **brought_initial(row),
        **seats_initial(row),
        "wishes": wish,
        "languages": row.languages,
        "comes_at": _value((row.comes_at or row.day.starts_at).astimezone(UTC)),
        "leaves_at": _value((row.leaves_at or row.day.ends_at).astimezone(UTC)),
        "words": row.words,
    }


def said_last(person: Person, row: SignUp | None, skills: Sequence[Skill]) -> dict[str, Any]:
    """Return what stands in the form when a known person signs up for another day."""
    contact = {name: getattr(person, name) for name in ContactForm.base_fields}
    if row is None:
        return contact
    of_that_day = {"words", "comes_at", "leaves_at", *SEATS, *brought_initial(row)}
    before = said_before(row, skills).items()
    return {name: value for name, value in before if name not in of_that_day} | contact


def _keys(skills: Sequence[Skill]) -> list[tuple[str, str]]:
    return [(skill.key, skill.name) for skill in skills]


def _value(at: datetime) -> str:
    return f"{at:%Y%m%dT%H%M}Z"


def _moment(value: str) -> datetime:
    return datetime.strptime(value, "%Y%m%dT%H%MZ").replace(tzinfo=UTC)
