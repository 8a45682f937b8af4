"""The form of a hand move."""

from django import forms
from django.utils.translation import gettext_lazy as _

from coordinator.models import Person
from workdays.models import Block, CrewPlan
from workdays.queries.crews import CrewView


class MoveForm(forms.Form):
    """Who goes where: a person, a block of the day, the crew of a lead or none."""

    person = forms.ModelChoiceField(label=_("Who"), queryset=Person.objects.none())
    block = forms.TypedChoiceField(label=_("When"), coerce=int)
    to = forms.ChoiceField(label=_("To which crew"), required=False)
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(
        self, plan: CrewPlan, crews: list[CrewView], *args: object, **kwargs: object
    ) -> None:
        kwargs.setdefault("initial", {"version": plan.version})
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]  # passed on as they came
        people = Person.objects.filter(sign_ups__day=plan.day, sign_ups__state="coming")
        person = self.fields["person"]
        assert isinstance(person, forms.ModelChoiceField)  # noqa: S101  # for the type checker
        person.queryset = people.order_by("name", "pk")
        blocks = plan.day.blocks.filter(kind=Block.Kind.WORK).order_by("starts_at")
        when = self.fields["block"]
        assert isinstance(when, forms.ChoiceField)  # noqa: S101  # for the type checker
        when.choices = [(number, block.name) for number, block in enumerate(blocks)]
        leads = {crew.lead.pk: f"{crew.name}, led by {crew.lead.name}" for crew in crews}
        to = self.fields["to"]
        assert isinstance(to, forms.ChoiceField)  # noqa: S101  # for the type checker
        to.choices = [("", _("no crew")), *((str(pk), words) for pk, words in leads.items())]

    def lead(self) -> Person | None:
        """Return the lead of the chosen crew; None for no crew."""
        chosen = self.cleaned_data["to"]
        return Person.objects.get(pk=int(chosen)) if chosen else None
