"""Refusals as an exception at the edge: what the rules said, carried to the form."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Protocol, TypeVar

from django.contrib import messages
from django.forms import BaseForm
from django.http import HttpRequest

Done = TypeVar("Done")


class RefusalLike(Protocol):
    """What a rule gives when it refuses."""

    @property
    def code(self) -> str: ...

    @property
    def sentence(self) -> str: ...


class Refused(Exception):  # noqa: N818  # an answer, not an error
    """An action was not done; ``refusals`` says why, in sentences."""

    def __init__(self, refusals: Sequence[RefusalLike]) -> None:
        super().__init__(" ".join(r.sentence for r in refusals))
        self.refusals = list(refusals)


def refuse(refusals: Sequence[RefusalLike]) -> None:
    """Raise Refused if there is any reason not to act."""
    if refusals:
        raise Refused(refusals)


def refuse_into(form: BaseForm, refused: Refused) -> None:
    """Show refusals beside the field that a form names for their code, else above the form.

    A form says it in ``refusal_fields``: code to the name of a field.
    """
    fields: dict[str, str] = getattr(form, "refusal_fields", {})
    for refusal in refused.refusals:
        name = fields.get(refusal.code)
        form.add_error(name if name in form.fields else None, refusal.sentence)


@contextmanager
def refusals_told(request: HttpRequest) -> Iterator[None]:
    """Tell whoever pressed a button why nothing was done, on the page that comes next."""
    try:
        yield
    except Refused as refused:
        messages.error(request, str(refused))


def attempt(form: BaseForm, act: Callable[[], Done]) -> Done | None:
    """Return what an action gives; None when it refused, and then the form says why."""
    try:
        return act()
    except Refused as refused:
        refuse_into(form, refused)
        return None


def carried_out(form: BaseForm, act: Callable[[], object]) -> bool:
    """Return whether an action that gives nothing was done; else the form says why not."""
    return attempt(form, lambda: [act()]) is not None
