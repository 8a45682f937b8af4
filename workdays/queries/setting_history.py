"""How the settings of a cemetery came to be what they are: read from the audit."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from coordinator.models import AuditEntry
from workdays.models import Cemetery, CemeterySetting
from workdays.queries.ground import setting_words
from workdays.rules.settings import BY_KEY


@dataclass(frozen=True)
class SettingChange:
    """One decision over a setting: who, when (on the clock of the place), from what to what."""

    at: datetime
    who: str
    before: str
    after: str
    source: str


def setting_history(cemetery: Cemetery) -> dict[str, list[SettingChange]]:
    """Return every change of every setting of a cemetery by key, newest first; two statements."""
    rows = CemeterySetting.objects.filter(cemetery=cemetery).values_list("pk", "key")
    keys = {str(pk): key for pk, key in rows}
    entries = AuditEntry.objects.filter(thing_type="cemeterysetting", thing_id__in=keys)
    found: dict[str, list[SettingChange]] = defaultdict(list)
    for entry in entries.select_related("actor").order_by("-at", "-pk"):
        found[keys[entry.thing_id]].append(_change(entry, cemetery))
    return dict(found)


def labelled_history(cemetery: Cemetery) -> list[tuple[str, list[SettingChange]]]:
    """Return the changes of those settings that were changed, by label, in the page's order."""
    found = setting_history(cemetery)
    return [(setting.label, found[key]) for key, setting in BY_KEY.items() if key in found]


def _change(entry: AuditEntry, cemetery: Cemetery) -> SettingChange:
    setting = BY_KEY[entry.detail["key"]]
    before, after = entry.detail["value"]
    return SettingChange(
        at=entry.at.astimezone(cemetery.zone),
        who=entry.actor.name if entry.actor else "",
        before=setting_words(setting, before),
        after=setting_words(setting, after),
        source=entry.detail["source"],
    )
