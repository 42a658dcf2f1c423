"""Passkeys: a person's device signs them in by a key that never leaves it (Web Authentication, W3C, level 2)."""

import json
from datetime import datetime
from uuid import UUID

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from webauthn import (
    generate_authentication_options,
    generate_registration_options,
    options_to_json,
    verify_authentication_response,
    verify_registration_response,
)
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url
from webauthn.helpers.exceptions import WebAuthnException
from webauthn.helpers.structs import (
    AuthenticatorSelectionCriteria,
    PublicKeyCredentialDescriptor,
    ResidentKeyRequirement,
    UserVerificationRequirement,
)

from fillmark.core.values.errors import NotAllowed
from fillmark.core.values.people import Caregiver
from fillmark.records import homes, passkeys
from fillmark.records.passkeys import Passkey
from fillmark.services.visits import Happened, Visit, note

__all__ = ["Passkey"]

_LONGEST = 20_000
"""Many times what a device answers [characters]."""


def ask_to_make(person: Caregiver, *, host: str) -> tuple[str, bytes]:
    """What a device is asked to make a key with, as JSON, and the challenge that it must sign.

    Args:
        person: Whose it will be.
        host: The name under which the app is asked.
    """
    options = generate_registration_options(
        rp_id=host,
        rp_name="Fillmark",
        user_name=person.name,
        user_id=person.id.bytes,
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED, user_verification=UserVerificationRequirement.REQUIRED
        ),
        exclude_credentials=[
            PublicKeyCredentialDescriptor(id=base64url_to_bytes(one.credential))
            for one in passkeys.of_person(person.id)
        ],
    )
    return options_to_json(options), options.challenge


@transaction.atomic
def keep(
    answer: str, *, person: Caregiver, challenge: bytes, host: str, origin: str, visit: Visit, now: datetime
) -> None:
    """Let a person sign in by the key that their device has made.

    Args:
        answer: What the device said, as JSON.
        person: Who.
        challenge: What it was asked to sign.
        host: The name under which the app is asked.
        origin: The same with its scheme and port.
        visit: From where.
        now: The present instant.
    Raises:
        NotAllowed: it does not answer what was asked.
    """
    try:
        found = verify_registration_response(
            credential=_read(answer),
            expected_challenge=challenge,
            expected_rp_id=host,
            expected_origin=origin,
            require_user_verification=True,
        )
        made = Passkey(
            credential=bytes_to_base64url(found.credential_id),
            person=person,
            public_key=bytes_to_base64url(found.credential_public_key),
            uses=found.sign_count,
            made_at=now,
            device=visit.device,
        )
        with transaction.atomic():
            passkeys.add(made)
    except (WebAuthnException, ValueError, TypeError, KeyError, IntegrityError):
        raise _not_allowed() from None
    _note(Happened.PASSKEY_MADE, person, visit=visit, now=now)


def ask_to_sign_in(*, host: str) -> tuple[str, bytes]:
    """What a device is asked to sign in with, as JSON, and the challenge that it must sign."""
    options = generate_authentication_options(rp_id=host, user_verification=UserVerificationRequirement.REQUIRED)
    return options_to_json(options), options.challenge


@transaction.atomic
def check(answer: str, *, challenge: bytes, host: str, origin: str, visit: Visit, now: datetime) -> User:
    """The user whom a device signs in.

    Args:
        answer: What the device said, as JSON.
        challenge: What it was asked to sign.
        host: The name under which the app is asked.
        origin: The same with its scheme and port.
        visit: From where.
        now: The present instant.
    Raises:
        NotAllowed: nobody has such a key, their sign-in was ended, or it does not answer what was asked.
    """
    try:
        said = _read(answer)
        known = passkeys.find(str(said["id"]))
        if known is None:
            raise _not_allowed()
        found = verify_authentication_response(
            credential=said,
            expected_challenge=challenge,
            expected_rp_id=host,
            expected_origin=origin,
            credential_public_key=base64url_to_bytes(known.public_key),
            credential_current_sign_count=known.uses,
            require_user_verification=True,
        )
    except (WebAuthnException, ValueError, TypeError, KeyError):
        raise _not_allowed() from None
    user = User.objects.get(pk=homes.user_of(known.person.id))
    if not user.is_active:
        raise _not_allowed()
    passkeys.note_use(known.credential, uses=found.new_sign_count)
    _note(Happened.PASSKEY, known.person, visit=visit, now=now)
    return user


def find_passkeys(person_id: UUID) -> tuple[Passkey, ...]:
    """A person's own, the oldest first."""
    return passkeys.of_person(person_id)


@transaction.atomic
def end(credential: str, *, person: Caregiver, now: datetime) -> None:
    """One of a person's own passkeys signs in no more."""
    if passkeys.drop(person_id=person.id, credential=credential):
        _note(Happened.PASSKEY_ENDED, person, visit=Visit(), now=now)


def _note(happened: Happened, person: Caregiver, *, visit: Visit, now: datetime) -> None:
    note(happened, household_id=person.household_id, person_id=person.id, now=now, words=visit.words)


def _read(answer: str) -> dict[str, object]:
    if len(answer) > _LONGEST:
        raise ValueError
    found = json.loads(answer)
    if not isinstance(found, dict):
        raise TypeError
    return found


def _not_allowed() -> NotAllowed:
    return NotAllowed(
        field="passkey",
        got="A passkey that is not known here, or that did not answer what was asked",
        allowed="a passkey that was made here, by this person, on this device",
        remedy="Try once more, or sign in by a link or a password, and make a new passkey.",
    )
