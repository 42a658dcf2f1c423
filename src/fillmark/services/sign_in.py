"""Links that sign a person in once, and passwords."""

import hashlib
import secrets
from datetime import datetime, timedelta
from uuid import UUID

from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from fillmark.core.values.errors import NotAllowed
from fillmark.core.values.people import Capability, Caregiver
from fillmark.records import homes, links, passkeys
from fillmark.services import visits
from fillmark.services.household import check_may_end, check_person
from fillmark.services.visits import NOBODY_SEEN, Happened, Visit


@transaction.atomic
def make_link(*, household_id: UUID, by: UUID, person_id: UUID, now: datetime, valid_for: timedelta) -> str:
    """A token that signs `person_id` in once, until it expires. It is shown now and never again: only its hash is kept.

    Whose sign-in was ended is let in again by it.

    Raises:
        NotAllowed: `by` may not invite, or the person belongs elsewhere.
    """
    if by != person_id:
        check_person(household_id=household_id, by=by, what=Capability.INVITE, now=now)
    homes.find_caregiver(household_id=household_id, person_id=person_id)
    User.objects.filter(pk=homes.user_of(person_id)).update(is_active=True)
    token = secrets.token_urlsafe(32)
    links.add_link(household_id=household_id, person_id=person_id, token_hash=_hash(token), expires_at=now + valid_for)
    visits.note(Happened.LINK_MADE, household_id=household_id, person_id=person_id, by=by, now=now)
    return token


@transaction.atomic
def use_link(*, token: str, now: datetime, visit: Visit = NOBODY_SEEN) -> tuple[Caregiver, User]:
    """The person whom the link signs in, and their user. Call it on a pressed button: mail programs open links unasked.

    Args:
        token: What the link holds.
        now: The present instant.
        visit: From where it is used.
    Raises:
        NotAllowed: the link is unknown, used, or expired.
    """
    caregiver = links.use_link(token_hash=_hash(token), now=now)
    if caregiver is None:
        raise NotAllowed(
            field="token",
            got="A sign-in link that was used before, has expired or was never made",
            allowed="a new link, once",
            remedy="Ask a lead of this household for a new one.",
        )
    visits.note(
        Happened.LINK,
        household_id=caregiver.household_id,
        person_id=caregiver.id,
        now=now,
        words=visit.words,
    )
    return caregiver, user_of(caregiver.id)


@transaction.atomic
def sign_out_everywhere(*, household_id: UUID, by: UUID, person_id: UUID, now: datetime) -> User:
    """Sign a person out on every phone, and drop their unused links, passkeys and password: for a phone that is lost.

    Raises:
        NotAllowed: `by` may not invite, or the person belongs elsewhere.
    """
    if by != person_id:
        check_person(household_id=household_id, by=by, what=Capability.INVITE, now=now)
    homes.find_caregiver(household_id=household_id, person_id=person_id)
    links.drop_links(household_id=household_id, person_id=person_id)
    passkeys.drop(person_id=person_id)
    user = user_of(person_id)
    user.set_unusable_password()  # anew each time: every session is bound to the one before
    user.save()
    visits.note(Happened.SIGNED_OUT, household_id=household_id, person_id=person_id, by=by, now=now)
    return user


@transaction.atomic
def end_sign_in(*, household_id: UUID, by: UUID, person_id: UUID, now: datetime) -> Caregiver:
    """Let a person in no more, on any phone. What they wrote stays; a new link lets them in again.

    Raises:
        NotAllowed: `by` may not invite, or the person belongs elsewhere.
        BadHousehold: nobody would be left who can lead.
    """
    person = check_may_end(household_id=household_id, by=by, person_id=person_id, now=now)
    user = sign_out_everywhere(household_id=household_id, by=by, person_id=person_id, now=now)
    user.is_active = False
    user.save()
    visits.note(Happened.ENDED, household_id=household_id, person_id=person_id, by=by, now=now)
    return person


def user_of(person_id: UUID) -> User:
    """The user as whom this person signs in."""
    return User.objects.get(pk=homes.user_of(person_id))


@transaction.atomic
def choose_password(*, household_id: UUID, person_id: UUID, user_name: str, password: str, now: datetime) -> None:
    """Let a person sign in with a name and a password from now on.

    Args:
        household_id: Where.
        person_id: Whom.
        user_name: What they type to say who they are.
        password: What nobody else knows.
        now: The present instant.
    Raises:
        NotAllowed: the name is none or taken, or the password is too easy to guess.
    """
    if not user_name.strip():
        raise NotAllowed(
            field="user_name",
            got="No name to sign in with",
            allowed="a name nobody has",
            remedy="Choose one.",
        )
    user = user_of(person_id)
    user.username = user_name
    try:
        validate_password(password, user)
    except ValidationError as error:
        raise NotAllowed(
            field="password",
            got="A password that is easy to guess",
            allowed="10 characters or more, and not a common one",
            remedy=" ".join(error.messages),
        ) from None
    user.set_password(password)
    try:
        with transaction.atomic():
            user.save()
    except IntegrityError:
        raise NotAllowed(
            field="user_name",
            got=f'The name "{user_name[:40]}", which someone has',
            allowed="a name nobody has",
            remedy="Choose another one.",
        ) from None
    visits.note(Happened.CHOSEN, household_id=household_id, person_id=person_id, now=now)


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
