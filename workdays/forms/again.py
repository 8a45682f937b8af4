"""The public form of somebody who has been here before: one mailbox, nothing else."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Div, Layout, Submit
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workdays.forms.fields import MailboxField
from workdays.forms.guard import GuardedForm


class AgainForm(GuardedForm):
    """Asks where the links go."""

    email = MailboxField(label=gettext_lazy("The e-mail address you gave us"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper(self)
        self.helper.layout = Layout(
            "email",
            Div("trap", css_class="" if self.data.get("trap") else "visually-hidden"),
            "age",
            Submit("send", _("Mail me my link")),
        )
