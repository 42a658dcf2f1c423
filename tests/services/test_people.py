"""Opening a household, inviting, signing in, and what each role may do."""

from datetime import date, time, timedelta
from uuid import uuid4

import pytest
from django.contrib.auth import authenticate

from fillmark.core.errors import BadPlan, NotAllowed
from fillmark.core.people import CAPABILITIES, Capability, Role, check_may, may
from fillmark.records import models
from fillmark.services import households, plans, sign_in
from tests.support.builders import NOON, Home

pytestmark = pytest.mark.django_db


def test_a_household_opens_with_its_first_lead() -> None:
    """Who may do everything."""
    lead = households.open_household(name="x", time_zone="Europe/Dublin", day_starts=time(4), lead_name="Noor")

    assert lead.role is Role.LEAD
    assert households.find_people(household_id=lead.household_id) == (lead,)
    assert households.find_household(household_id=lead.household_id).day_starts == time(4)


def test_an_unknown_time_zone_is_refused() -> None:
    """The whole message, word for word."""
    with pytest.raises(BadPlan) as refused:
        households.open_household(name="x", time_zone="Dublin", day_starts=time(4), lead_name="Noor")

    assert str(refused.value) == (
        '"Dublin" for a time zone. Allowed: a name from the time zone database, such as "Europe/Dublin". '
        "Look at the time zone that your phone or computer names."
    )
    assert not models.Household.objects.exists()


@pytest.mark.hazard("H25")
@pytest.mark.parametrize("who", ["sam", "ilse"])
def test_only_a_lead_invites_changes_the_plan_or_makes_links_for_others(home: Home, who: str) -> None:
    """Helpers and sitters are refused by the service."""
    by = getattr(home, who)
    tries = (
        lambda: households.add_person(household_id=home.id, by=by, name="x", role=Role.LEAD, now=NOON),
        lambda: households.add_animal(household_id=home.id, by=by, name="x", now=NOON),
        lambda: plans.adopt_plan(
            household_id=home.id,
            animal_id=home.animal_id,
            document="{}",
            effective_from=NOON,
            confirmed_by=by,
            vet_words="As discussed.",
            vet_said_on=NOON.date(),
            now=NOON,
        ),
        lambda: sign_in.make_link(
            household_id=home.id, by=by, person_id=home.noor, now=NOON, valid_for=timedelta(days=1)
        ),
    )
    before = len(households.find_people(household_id=home.id)), len(households.find_animals(household_id=home.id))

    for attempt in tries:
        with pytest.raises(NotAllowed):
            attempt()

    assert before == (3, 1)
    assert len(households.find_people(household_id=home.id)) == 3
    assert len(households.find_animals(household_id=home.id)) == 1
    assert plans.current_plan(household_id=home.id, animal_id=home.animal_id, at=NOON) is None


@pytest.mark.hazard("H25")
def test_each_role_holds_what_the_one_below_it_holds() -> None:
    """Lead over helper over sitter; and each capability is somebody's."""
    assert CAPABILITIES[Role.SITTER] < CAPABILITIES[Role.HELPER] < CAPABILITIES[Role.LEAD] == frozenset(Capability)


@pytest.mark.hazard("H25")
def test_a_pass_holds_on_its_days_and_no_other(home: Home) -> None:
    """From the 24th to the 26th, both included."""
    ilse = next(one for one in households.find_people(household_id=home.id) if one.name == "Ilse")

    days = [date(2026, 11, number) for number in range(22, 29)]

    assert [day.day for day in days if may(ilse, what=Capability.SEE_TODAY, on=day)] == [24, 25, 26]
    with pytest.raises(NotAllowed) as refused:
        check_may(ilse, what=Capability.SEE_TODAY, on=date(2026, 11, 27))
    assert str(refused.value) == (
        "Ilse's pass on 2026-11-27. Allowed: 2026-11-24 to 2026-11-26. Ask a lead of this household for a new pass."
    )


def test_a_sitter_without_dates_is_refused(home: Home) -> None:
    """A pass that never ends is none."""
    with pytest.raises(NotAllowed, match="a first day, and a last day"):
        households.add_person(household_id=home.id, by=home.noor, name="x", role=Role.SITTER, now=NOON)

    assert len(households.find_people(household_id=home.id)) == 3


def a_link(home: Home, **changed: object) -> str:
    values = {"household_id": home.id, "by": home.noor, "person_id": home.sam, "now": NOON}
    return sign_in.make_link(**{**values, "valid_for": timedelta(days=1), **changed})  # type: ignore[arg-type]


@pytest.mark.hazard("H34")
def test_a_link_signs_in_its_person_once(home: Home) -> None:
    """The second time it is refused, as is a made-up one."""
    token = a_link(home)

    caregiver, user = sign_in.use_link(token=token, now=NOON)

    assert (caregiver.name, households.find_caregiver_of_user(user.pk)) == ("Sam", caregiver)
    for wrong in (token, "made-up"):
        with pytest.raises(NotAllowed, match="A sign-in link that was used before"):
            sign_in.use_link(token=wrong, now=NOON)


@pytest.mark.hazard("H34")
def test_a_link_expires_and_only_its_hash_is_kept(home: Home) -> None:
    """Who reads the database cannot sign in with it."""
    token = a_link(home)

    assert token not in str(list(models.SignInLink.objects.values()))
    with pytest.raises(NotAllowed):
        sign_in.use_link(token=token, now=NOON + timedelta(days=1))


def test_a_link_for_someone_of_another_household_is_refused(home: Home) -> None:
    """As is one for nobody."""
    with pytest.raises(NotAllowed):
        a_link(home, person_id=uuid4())


def test_a_password_signs_in_and_is_kept_by_argon2(home: Home) -> None:
    """The name and the password that were chosen, and no others."""
    sign_in.choose_password(person_id=home.sam, user_name="sam", password="warm water first")

    assert sign_in.user_of(home.sam).password.startswith("argon2$argon2id$")
    assert authenticate(username="sam", password="warm water first") == sign_in.user_of(home.sam)
    assert authenticate(username="sam", password="warm water last") is None


@pytest.mark.parametrize(
    ("name", "password", "message"),
    [("sam", "short", "A password that is easy to guess"), ("noor", "warm water first", "which someone has")],
)
def test_an_easy_password_or_a_taken_name_is_refused(home: Home, name: str, password: str, message: str) -> None:
    """And the one before still holds."""
    sign_in.choose_password(person_id=home.noor, user_name="noor", password="warm water first")

    with pytest.raises(NotAllowed, match=message):
        sign_in.choose_password(person_id=home.sam, user_name=name, password=password)
    assert authenticate(username="noor", password="warm water first") == sign_in.user_of(home.noor)
