"""The two halves of each WebAuthn ceremony: what the browser is asked, what its answer proves.

A passkey stands beside the mailed code, so it must be discoverable and verify its user itself.
"""

import json
from typing import Any

from allauth.mfa.models import Authenticator
from allauth.mfa.webauthn.internal import auth

from coordinator.models import User


class NotProven(Exception):  # noqa: N818  # an answer of a browser, not an error of the program
    """What a browser sent proves nothing: another challenge, another site, or nonsense."""


def options_to_add(user: User) -> str:
    """Return as JSON what a browser makes a passkey from; the session keeps the challenge."""
    return _plain(auth.begin_registration(user, passwordless=True))


def options_to_sign_in() -> str:
    """Return as JSON what a browser is asked to prove; the same whoever asks."""
    return _plain(auth.begin_authentication(user=None))


def proven_new(credential: Any) -> None:
    """Raise NotProven unless this is a new passkey made for the challenge of this session."""
    try:
        auth.parse_registration_response(credential)
        made = auth.complete_registration(credential)
    except Exception as problem:  # the library names no common error for what strangers send
        raise NotProven from problem
    if not made.is_user_verified():
        raise NotProven


def proven_owner(credential: Any) -> Authenticator:
    """Return the passkey that answered the challenge of this session. Raises NotProven."""
    try:
        user = auth.extract_user_from_response(credential)
        auth.parse_authentication_response(credential)
        return auth.complete_authentication(user, credential)
    except Exception as problem:  # the library names no common error for what strangers send
        raise NotProven from problem


def _plain(options: Any) -> str:
    return json.dumps(options, default=dict)
