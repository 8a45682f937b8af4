"""How long personal data is kept, declared by each model beside its fields.

A model with text names each text field either in ``PERSONAL`` (field to the class of keeping)
or in ``PLAIN``; a test fails on an undeclared one, so that erasing a person cannot miss a field.
"""

from enum import Enum


class Keep(Enum):
    """When a personal value goes."""

    UNTIL_ERASED = "blanked when the person asks to be erased, or leaves the programme"
    AFTER_THE_DAY = "blanked thirty days after the day it was given for"
    UNTIL_CLAIMS_END = "kept with what was signed until the limitation period has passed"
    UNTIL_AUDITED = "kept with the hours until three years after the report they stand in"
    WITH_THE_MESSAGE = "blanked with the message, ninety days after it was sent"
