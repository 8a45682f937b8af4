"""The public form by which one adult signs up for a day and signs the waiver."""

from dataclasses import replace
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Field, Fieldset, Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from workdays.actions.sign_ups import Application
from workdays.forms.companions import CompanionsForm
from workdays.forms.fields import LineField, MailboxField
from workdays.forms.guard import GuardedForm
from workdays.forms.layout import folded, note
from workdays.forms.reading import SignedForm, said_in
from workdays.forms.seats import REFUSED_BESIDE, seats_layout
from workdays.forms.wishes import LIMITS, ContactForm, WishesForm
from workdays.models import SignUp, Waiver, Workday
from workdays.rules.affirming import affirmed
from workdays.rules.signed_text import same_name

SIGNATURE = ("affirm", "typed_name")
SIGNED = _("What you signed before holds on this day: you need not sign again.")


class SigningForm(SignedForm, WishesForm, ContactForm, GuardedForm):
    """Contact, what one can do, the waiver and the name typed under it.

    ``known``: somebody who came by the own link, whose name and mailbox are not asked again.
    ``signed``: what they signed before holds on the day, and is not asked again.
    """

    helper: FormHelper
    refusal_fields = {"minor": "is_adult", "waiver": "affirm"}

    name = LineField(
        label=_("Your name"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    email = MailboxField(
        label=_("E-mail"),
        help_text=_("We send a link there: only once you press it does this count."),
    )
    is_adult = forms.BooleanField(
        help_text=_("A guardian signs up and brings minors along."),
        error_messages={
            "required": _("This form is for adults; a guardian signs up and brings minors along.")
        },
    )

    def __init__(
        self,
        *args: Any,
        day: Workday,
        waiver: Waiver,
        known: Person | None = None,
        signed: bool = False,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, day=day, **kwargs)
        self.known, self.signed = known, signed
        self.fields["is_adult"].label = _("I am %(age)s or older") % {"age": day.cemetery.adult_age}
        if known:
            del self.fields["name"], self.fields["email"]
        for name in SIGNATURE if signed else ():
            self.fields[name].required = False
        self.shows(waiver)
        self.fields["affirm"].label = said_in(*affirmed(waiver.language))
        self.helper = FormHelper(self)
        self.helper.form_tag = False
        self.helper.layout = self._layout()
        self.order_fields(["name", "email", "telephone", "is_adult", *ContactForm.base_fields])

    def _layout(self) -> Layout:
        trap_is_sprung = bool(self.data.get("trap"))
        return Layout(
            Fieldset(
                _("You"),
                *(name for name in ("name", "email") if name in self.fields),
                "telephone",
                "is_adult",
                "emergency_name",
                "emergency_telephone",
            ),
            *self.between(),
            *wishes_layout(self),
            Fieldset(_("What you sign"), *self._signing()),
            Div("trap", css_class="" if trap_is_sprung else "visually-hidden"),
            "age",
        )

    def _signing(self) -> tuple[Any, ...]:
        parts = (HTML("{% include 'workdays/public/_waiver.html' %}"), *SIGNATURE)
        if not self.signed:
            return parts
        words = _("A child comes with me: I read it and sign")
        return note(SIGNED), *folded(words, *parts, is_open=self.is_bound)

    def clean_affirm(self) -> bool:
        """Refuse a yes to another text, unless no yes is wanted."""
        return bool(self.cleaned_data["affirm"] or not self.signed) and super().clean_affirm()

    def between(self) -> list[Fieldset]:
        """Return parts of the page that stand after the person's own."""
        return []

    def clean(self) -> dict[str, Any]:
        """Refuse a signature under another name."""
        cleaned = super().clean()
        name = self.known.name if self.known else cleaned.get("name")
        typed = cleaned.get("typed_name")
        if name and typed and not same_name(name, typed):
            self.add_error("typed_name", _("Type the same name as at the top of the page."))
        return cleaned

    def application(self) -> Application:
        """Return what was typed, cleaned."""
        cleaned = self.cleaned_data
        return Application(
            name=self.known.name if self.known else cleaned["name"],
            email=self.known.email if self.known else cleaned["email"],
            contact=self.contact(),
            wishes=self.said(),
            is_adult=cleaned["is_adult"],
            typed_name=cleaned["typed_name"],
            text_sha256=self.text_sha256,
        )


class SignUpForm(CompanionsForm, SigningForm):
    """The public form: an adult, and whom they bring along."""

    def __init__(self, *args: Any, known: Person | None = None, **kwargs: Any) -> None:
        super().__init__(*args, known=known, **kwargs)
        self.own_mailbox = known.email if known else ""
        self.helper.layout = self._layout()
        names = [name for name in self.fields if name.startswith("with")]
        self.refusal_fields = {**self.refusal_fields, **{name: name for name in names}}

    def between(self) -> list[Fieldset]:
        """Return the part "who else comes", once its fields are there."""
        has_lines = any(name.startswith("with") for name in self.fields)
        return [self.companions_layout()] if has_lines else []

    def clean(self) -> dict[str, Any]:
        """Want the signature of whoever brings a child, also if their own holds."""
        cleaned = super().clean()
        brings_a_child = any(one.is_minor for one in self.companions())
        for name in SIGNATURE if self.signed and brings_a_child else ():
            if not cleaned.get(name) and name not in self.errors:
                self.add_error(name, _("You sign for the child, so it is wanted."))
        return cleaned

    def application(self) -> Application:
        """Return what was typed, with whom they bring along."""
        return replace(super().application(), companions=self.companions())


class AnswerForm(SigningForm):
    """The page of an adult whom somebody named: they sign for themselves, under their own name."""

    def __init__(self, *args: Any, row: SignUp, **kwargs: Any) -> None:
        super().__init__(*args, initial={"name": row.person.name}, **kwargs)
        self.row = row
        del self.fields["email"]
        self.helper.layout = self._layout()

    def application(self) -> Application:
        """Return what was typed; the mailbox is the one that the link was sent to."""
        self.cleaned_data["email"] = self.row.person.email
        return super().application()


class ChangeForm(WishesForm, ContactForm):
    """What a person changes on the own page: everything but name, mailbox and signature."""

    helper: FormHelper
    refusal_fields = REFUSED_BESIDE

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper(self)
        self.helper.form_tag = False
        self.helper.layout = Layout(
            Fieldset(_("You"), "telephone", "emergency_name", "emergency_telephone"),
            *wishes_layout(self),
        )


def wishes_layout(form: WishesForm) -> list[Fieldset]:
    """Return the parts of the page that both forms share."""
    return [
        Fieldset(_("When you come"), Div("comes_at", "leaves_at", css_class="halves")),
        Fieldset(
            _("What you can do"),
            HTML("{% load i18n %}<p>{% translate 'How much have you done of this before?' %}</p>"),
            Div(*form.experience_names, css_class="plain beside"),
            "wishes",
            Div(*LIMITS, css_class="close"),
            Field("languages"),
            "words",
        ),
        brought_layout(form),
        seats_layout(),
    ]


def brought_layout(form: WishesForm) -> Fieldset:
    """Return the part about what somebody brings, folded until it holds something."""
    return Fieldset(
        _("What you bring"),
        HTML("{% include 'workdays/public/_brought.html' %}"),
        Div(*form.brought, css_class="row"),
        HTML("</details>"),
    )
