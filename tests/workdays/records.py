"""The check of a signature's record that every way of signing is put to."""

from workdays.models import Signature
from workdays.queries.signatures import record_of
from workdays.rules.signature_facts import missing_facts
from workdays.rules.young_people import rules_in


def see_that_all_is_recorded(row: Signature) -> None:
    """Fail if the stored record lacks a fact, or names another text than the one shown.

    That is the version's in the language read; of a minor, the rules in that language.
    """
    kept = Signature.objects.select_related("waiver", "person", "signed_by").get(pk=row.pk)
    assert missing_facts(record_of(kept)) == []
    assert kept.version == kept.waiver.version
    if kept.role == Signature.Role.MINOR:
        rules = rules_in(kept.waiver.language)
        said = (kept.language, kept.text, kept.affirmed)
        assert said == (rules.language, rules.text, rules.agreed)
        return
    assert kept.text == kept.waiver.text
    assert kept.text_sha256 == kept.waiver.text_sha256
    assert kept.language == kept.waiver.language
