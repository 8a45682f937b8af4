"""What pages about a place show: its settings, who gave leave, its stones."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count, Q, QuerySet

from workdays.models import Cemetery, CemeterySetting, KindOfWork, Permission, Section, Stone
from workdays.rules.counting import joined
from workdays.rules.settings import SETTINGS, Setting, Value


@dataclass(frozen=True)
class SettingRow:
    """One setting as a cemetery has it; ``own`` is None while the default holds."""

    setting: Setting
    value: Value
    source: str
    own: CemeterySetting | None

    @property
    def words(self) -> str:
        """Return the value as people say it, with its unit."""
        return setting_words(self.setting, self.value)

    @property
    def default_words(self) -> str:
        """Return the default as people say it, with its unit."""
        return setting_words(self.setting, self.setting.default)


def setting_words(setting: Setting, value: Value) -> str:
    """Return a value of a setting in words: "yes", "40 F", "hose or hand sprayer only"."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    number = f"{value:g}" if isinstance(value, int | float) else str(value)
    return f"{number} {setting.unit}".strip()


def today_at(cemetery: Cemetery, *, now: datetime) -> date:
    """Return the date on which a cemetery's clocks are."""
    return now.astimezone(cemetery.zone).date()


def settings_of(cemetery: Cemetery) -> dict[str, Value]:
    """Return every setting of a cemetery by key: its own value, else the default."""
    own = dict(CemeterySetting.objects.filter(cemetery=cemetery).values_list("key", "value"))
    return {setting.key: own.get(setting.key, setting.default) for setting in SETTINGS}


def setting_rows(cemetery: Cemetery) -> list[SettingRow]:
    """Return every setting with its value and source, in the order of the page."""
    rows = cemetery.settings.select_related("changed_by")
    own = {row.key: row for row in rows}
    return [_setting_row(setting, own.get(setting.key)) for setting in SETTINGS]


def _setting_row(setting: Setting, own: CemeterySetting | None) -> SettingRow:
    if own is None:
        return SettingRow(setting, setting.default, setting.source, None)
    return SettingRow(setting, own.value, own.source, own)


def permissions_of(cemetery: Cemetery) -> "QuerySet[Permission]":
    """Return every permission of a cemetery with its kinds, newest first."""
    return cemetery.permissions.prefetch_related("kinds").order_by("-ends_on", "-starts_on", "-pk")


def leave_words(permissions: Iterable[Permission], *, on: date) -> str:
    """Return one sentence on what the owner allows on a date, and until when.

    "Permission for gentle cleaning until 31 October 2026; resetting until 30 June 2026."
    """
    ends: dict[KindOfWork, date] = {}
    for permission in permissions:
        if permission.starts_on <= on <= permission.ends_on:
            for kind in permission.kinds.all():
                ends[kind] = max(permission.ends_on, ends.get(kind, permission.ends_on))
    if not ends:
        return "No permission of the owner covers this date: no work at all."
    parts = [
        f"{joined(_named(ends, until))} until {date_words(until)}"
        for until in sorted(set(ends.values()), reverse=True)
    ]
    return f"Permission for {'; '.join(parts)}."


def _named(ends: dict[KindOfWork, date], until: date) -> list[str]:
    kinds = sorted((kind for kind in ends if ends[kind] == until), key=lambda k: (k.order, k.pk))
    return [kind.name.lower() for kind in kinds]


def date_words(on: date) -> str:
    """Return a date with its year: "31 October 2026"."""
    return f"{on.day} {on:%B %Y}"


def cemeteries_listed(seen: "QuerySet[Cemetery]", *, on: date) -> "QuerySet[Cemetery]":
    """Return cemeteries with ``stone_count``, ``to_see`` and whether a permission holds."""
    valid = Permission.objects.filter(starts_on__lte=on, ends_on__gte=on)
    return seen.annotate(
        stone_count=Count("stones", distinct=True),
        to_see=Count("stones", filter=Q(stones__conclusion__isnull=True), distinct=True),
        permission_count=Count(
            "permissions", filter=Q(permissions__in=valid.values("pk")), distinct=True
        ),
    ).order_by("name")


def sections_of(cemetery: Cemetery) -> "QuerySet[Section]":
    """Return the sections of a cemetery in their order, each with ``stone_count``."""
    return cemetery.sections.annotate(stone_count=Count("stones")).order_by("order", "pk")


def stones_of(cemetery: Cemetery) -> "QuerySet[Stone]":
    """Return the stones of a cemetery with section and conclusion, in the order of a walk."""
    return cemetery.stones.select_related("section", "conclusion").order_by(
        "section__order", "section", "row", "position", "pk"
    )


def kinds_of_work() -> "QuerySet[KindOfWork]":
    """Return every kind of work with its skill."""
    return KindOfWork.objects.select_related("skill")
