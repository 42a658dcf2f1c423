"""Opening a household, inviting, signing in, and what each role may do."""

from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID, uuid4

import pytest
from django.contrib.auth import authenticate

from fillmark.core.record.care_entries import Note
from fillmark.core.values.errors import BadHousehold, BadPlan, NotAllowed
from fillmark.core.values.people import CAPABILITIES, Capability, Caregiver, Role, check_may, may
from fillmark.records import models
from fillmark.services import household, plans, record, sign_in
from tests.support.builders import NOON, Home, adopt, an_entry

pytestmark = pytest.mark.django_db


def test_a_household_opens_with_its_first_lead() -> None:
    """Who may do everything."""
    lead = household.open_household(name="x", time_zone="Europe/Dublin", day_starts=time(4), lead_name="Noor")

    assert lead.role is Role.LEAD
    assert household.find_people(household_id=lead.household_id) == (lead,)
    assert household.find_household(household_id=lead.household_id).day_starts == time(4)


def test_an_unknown_time_zone_is_refused() -> None:
    """The whole message, word for word."""
    with pytest.raises(BadPlan) as refused:
        household.open_household(name="x", time_zone="Dublin", day_starts=time(4), lead_name="Noor")

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
        lambda: household.add_person(household_id=home.id, by=by, name="x", role=Role.LEAD, now=NOON),
        lambda: household.add_animal(household_id=home.id, by=by, name="x", now=NOON),
        lambda: adopt(home, "{}", from_at=NOON, by=by),
        lambda: sign_in.make_link(
            household_id=home.id, by=by, person_id=home.noor, now=NOON, valid_for=timedelta(days=1)
        ),
    )
    before = len(household.find_people(household_id=home.id)), len(household.find_animals(household_id=home.id))

    for attempt in tries:
        with pytest.raises(NotAllowed):
            attempt()

    assert before == (3, 1)
    assert len(household.find_people(household_id=home.id)) == 3
    assert len(household.find_animals(household_id=home.id)) == 1
    assert plans.current_plan(**home.ids, at=NOON) is None


@pytest.mark.hazard("H25")
def test_each_role_holds_what_the_one_below_it_holds() -> None:
    """Lead over helper over sitter; and each capability is somebody's."""
    assert CAPABILITIES[Role.SITTER] < CAPABILITIES[Role.HELPER] < CAPABILITIES[Role.LEAD] == frozenset(Capability)


@pytest.mark.hazard("H25")
def test_a_pass_holds_on_its_days_and_no_other(home: Home) -> None:
    """From the 24th to the 26th, both included."""
    ilse = next(one for one in household.find_people(household_id=home.id) if one.name == "Ilse")

    days = [date(2026, 11, number) for number in range(22, 29)]

    assert [day.day for day in days if may(ilse, what=Capability.SEE_TODAY, on=day)] == [24, 25, 26]
    with pytest.raises(NotAllowed) as refused:
        check_may(ilse, what=Capability.SEE_TODAY, on=date(2026, 11, 27))
    assert str(refused.value) == (
        "Ilse's pass on Friday 27 November. Allowed: Tuesday 24 November to Thursday 26 November 2026. "
        "Ask a lead of this household for a new pass."
    )


def test_a_sitter_without_dates_is_refused(home: Home) -> None:
    """A pass that never ends is none."""
    with pytest.raises(NotAllowed, match="a first day, and a last day"):
        household.add_person(household_id=home.id, by=home.noor, name="x", role=Role.SITTER, now=NOON)

    assert len(household.find_people(household_id=home.id)) == 3


def a_link(home: Home, **changed: object) -> str:
    values = {"household_id": home.id, "by": home.noor, "person_id": home.sam, "now": NOON}
    return sign_in.make_link(**{**values, "valid_for": timedelta(days=1), **changed})  # type: ignore[arg-type]


@pytest.mark.hazard("H34")
def test_a_link_signs_in_its_person_once(home: Home) -> None:
    """The second time it is refused, as is a made-up one."""
    token = a_link(home)

    caregiver, user = sign_in.use_link(token=token, now=NOON)

    assert (caregiver.name, household.find_caregiver_of_user(user.pk)) == ("Sam", caregiver)
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
    sign_in.choose_password(
        household_id=home.id, now=NOON, person_id=home.sam, user_name="sam", password="warm water first"
    )

    assert sign_in.user_of(home.sam).password.startswith("argon2$argon2id$")
    assert authenticate(username="sam", password="warm water first") == sign_in.user_of(home.sam)
    assert authenticate(username="sam", password="warm water last") is None


@pytest.mark.parametrize(
    ("name", "password", "message"),
    [("sam", "short", "A password that is easy to guess"), ("noor", "warm water first", "which someone has")],
)
def test_an_easy_password_or_a_taken_name_is_refused(home: Home, name: str, password: str, message: str) -> None:
    """And the one before still holds."""
    sign_in.choose_password(
        household_id=home.id, now=NOON, person_id=home.noor, user_name="noor", password="warm water first"
    )

    with pytest.raises(NotAllowed, match=message):
        sign_in.choose_password(household_id=home.id, now=NOON, person_id=home.sam, user_name=name, password=password)
    assert authenticate(username="noor", password="warm water first") == sign_in.user_of(home.noor)


def a_second_lead(home: Home, *, has_signed_in: bool = True) -> Caregiver:
    ada = household.add_person(household_id=home.id, by=home.noor, name="Ada", role=Role.LEAD, now=NOON)
    if has_signed_in:
        signed_in(ada.id)
    return ada


def signed_in(person_id: UUID) -> None:
    """As Django notes it down when somebody signs in."""
    user = sign_in.user_of(person_id)
    user.last_login = datetime(2026, 11, 20, tzinfo=UTC)
    user.save()


def members(home: Home) -> dict[str, household.Member]:
    found = household.find_members(household_id=home.id, by=home.noor, now=NOON)
    return {one.caregiver.name: one for one in found}


def test_a_lead_sees_who_may_sign_in_who_has_and_whose_link_is_open(home: Home) -> None:
    """The newest link that still holds; a used or expired one is none."""
    assert [(one.may_sign_in, one.has_signed_in, one.link_until) for one in members(home).values()] == [
        (True, False, None)
    ] * 3
    a_link(home, valid_for=timedelta(days=-1))
    a_link(home, valid_for=timedelta(days=1))
    token = a_link(home, valid_for=timedelta(days=7))

    assert members(home)["Sam"].link_until == NOON + timedelta(days=7)
    sign_in.use_link(token=token, now=NOON)
    assert members(home)["Sam"].link_until == NOON + timedelta(days=1)


@pytest.mark.hazard("H34")
def test_who_is_ended_signs_in_no_more_until_a_new_link_lets_them_in(home: Home) -> None:
    """Not by an old link, not with a password, not on a phone that was signed in; what they wrote stays."""
    sign_in.choose_password(
        household_id=home.id, now=NOON, person_id=home.sam, user_name="sam", password="warm water first"
    )
    entry = an_entry(Note(text="x"), animal_id=home.animal_id)
    record.record_entry(household_id=home.id, by=home.sam, entry=entry, now=NOON)
    token, before = a_link(home), sign_in.user_of(home.sam).get_session_auth_hash()

    sign_in.end_sign_in(household_id=home.id, by=home.noor, person_id=home.sam, now=NOON)

    assert not members(home)["Sam"].may_sign_in
    with pytest.raises(NotAllowed, match="was used before, has expired or was never made"):
        sign_in.use_link(token=token, now=NOON)
    assert authenticate(username="sam", password="warm water first") is None
    assert record.find_entry(household_id=home.id, entry_id=entry.id).by_name == "Sam"

    anew = a_link(home)
    assert sign_in.use_link(token=anew, now=NOON)[0].name == "Sam"
    assert members(home)["Sam"].may_sign_in
    assert sign_in.user_of(home.sam).get_session_auth_hash() != before


@pytest.mark.hazard("H34")
def test_a_lost_phone_is_signed_out_and_its_links_hold_no_more(home: Home) -> None:
    """By a lead, or by the person; the person may still sign in by a new link."""
    for by in (home.noor, home.sam):
        token, before = a_link(home), sign_in.user_of(home.sam).get_session_auth_hash()
        sign_in.sign_out_everywhere(household_id=home.id, by=by, person_id=home.sam, now=NOON)

        assert sign_in.user_of(home.sam).get_session_auth_hash() != before
        with pytest.raises(NotAllowed):
            sign_in.use_link(token=token, now=NOON)
        assert members(home)["Sam"].may_sign_in


def test_a_household_is_never_left_without_a_lead(home: Home) -> None:
    """The whole message, word for word; a lead who was only invited does not count."""
    signed_in(home.noor)
    ada = None
    for _ in range(2):
        with pytest.raises(BadHousehold) as refused:
            sign_in.end_sign_in(household_id=home.id, by=home.noor, person_id=home.noor, now=NOON)
        assert str(refused.value) == (
            "A household in which no lead is left but Noor. Allowed: a household with a lead who has signed in. "
            "Invite another lead first, and wait until they have signed in."
        )
        ada = ada or a_second_lead(home, has_signed_in=False)

    signed_in(ada.id)
    sign_in.end_sign_in(household_id=home.id, by=home.noor, person_id=home.noor, now=NOON)

    assert household.find_first_lead() == ada
    with pytest.raises(BadHousehold):
        sign_in.end_sign_in(household_id=home.id, by=ada.id, person_id=ada.id, now=NOON)


@pytest.mark.hazard("H25")
@pytest.mark.parametrize("who", ["sam", "ilse"])
def test_only_a_lead_sees_ends_renames_and_changes_the_household(home: Home, who: str) -> None:
    """Helpers and sitters are refused by the service; their own name is theirs, the days of a pass are not."""
    by, of = getattr(home, who), {"household_id": home.id, "now": NOON}
    tries = (
        lambda: household.find_members(**of, by=by),
        lambda: sign_in.end_sign_in(**of, by=by, person_id=home.noor),
        lambda: sign_in.sign_out_everywhere(**of, by=by, person_id=home.noor),
        lambda: household.change_person(**of, by=by, person_id=home.noor, name="x"),
        lambda: household.change_person(**of, by=by, person_id=by, name="x", until_on=date(2026, 12, 24)),
        lambda: household.change_household(**of, by=by, name="x", time_zone="Europe/Dublin", day_starts=time(4)),
    )
    before = members(home), household.find_household(household_id=home.id)

    for attempt in tries:
        with pytest.raises(NotAllowed):
            attempt()
    assert (members(home), household.find_household(household_id=home.id)) == before

    assert household.change_person(**of, by=by, person_id=by, name="Robin").name == "Robin"


def test_a_name_is_nobody_elses_and_is_one(home: Home) -> None:
    """The record is signed with it. Whole messages, word for word."""
    of = {"household_id": home.id, "by": home.noor, "now": NOON}
    for name in ("sam", "  SAM "):
        with pytest.raises(BadHousehold) as refused:
            household.add_person(**of, name=name, role=Role.HELPER)
        assert str(refused.value) == (
            f'The name "{name.strip()}", which somebody here has. '
            "Allowed: a name that nobody here has or had: the record is signed with it. "
            "Add an initial, or make a new link for the one who is there."
        )
    for name in ("", "   ", "x" * 81, "a\x00b"):
        with pytest.raises(BadHousehold, match="Allowed: 1 to 80 characters"):
            household.change_person(**of, person_id=home.sam, name=name)

    assert household.change_person(**of, person_id=home.sam, name=" Sam   B. ").name == "Sam B."
    assert household.change_person(**of, person_id=home.sam, name="sam b.").name == "sam b."


def test_a_sitters_pass_gets_other_days(home: Home) -> None:
    """The stay is longer; an end before its beginning is refused."""
    of = {"household_id": home.id, "by": home.noor, "person_id": home.ilse, "name": "Ilse", "now": NOON}
    longer = household.change_person(**of, until_on=date(2026, 12, 1))

    assert (longer.from_on, longer.until_on) == (date(2026, 11, 24), date(2026, 12, 1))
    with pytest.raises(NotAllowed, match="a last day that is not before it"):
        household.change_person(**of, until_on=date(2026, 11, 20))


@pytest.mark.hazard("H26")
def test_the_clock_of_a_household_is_changed_only_while_nothing_is_counted_by_it(home: Home) -> None:
    """An entry holds it; the name may change. The whole message, word for word."""
    of = {"household_id": home.id, "by": home.noor, "now": NOON}
    changed = household.change_household(**of, name="Mill House", time_zone="America/Denver", day_starts=time(5))
    assert (changed.name, changed.time_zone, changed.day_starts) == ("Mill House", "America/Denver", time(5))
    entry = an_entry(Note(text="x"), animal_id=home.animal_id)
    record.record_entry(household_id=home.id, by=home.sam, entry=entry, now=NOON)

    for clock in (("Europe/Dublin", time(5)), ("America/Denver", time(4))):
        with pytest.raises(BadHousehold) as refused:
            household.change_household(**of, name="x", time_zone=clock[0], day_starts=clock[1])
        assert str(refused.value) == (
            f"Another clock ({clock[0]}, day from {clock[1]:%H:%M}) for a household with a plan or a record. "
            "Allowed: America/Denver, day from 05:00: the record's days are counted by it. "
            "On a journey, go on by the clock of home. After moving for good, begin a new record and keep this one."
        )
    with pytest.raises(BadPlan, match="for a time zone"):
        household.change_household(**of, name="x", time_zone="Denver", day_starts=time(5))

    assert household.change_household(**of, name="Loft", time_zone="America/Denver", day_starts=time(5)).name == "Loft"
