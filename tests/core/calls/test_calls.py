"""The call cards: verbs first, no waiting, the vet's own words before anyone's, and the right number on top."""

import re
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.calls.calls import who_is_silent, whom_to_call
from fillmark.core.calls.cards import CallCard, call_cards
from fillmark.core.calls.tell_vet import show_to_vet
from fillmark.core.calls.written import Urgency
from fillmark.core.food.energy import Species
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.vet import CallNumber, OpenHours, TroubleWords
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import CameBack, FillGiven, SessionStarted, SessionStopped
from fillmark.core.values.trouble import Trouble
from fillmark.published import Basis
from tests.support.builders import NOON, SEVEN, a_kept, junipers_plan

TODAY = date(2026, 11, 25)
DUBLIN = ZoneInfo("Europe/Dublin")


@pytest.fixture
def juniper() -> CarePlan:
    return junipers_plan()


def with_tube(plan: CarePlan, **changed: object) -> CarePlan:
    tube = plan.animal.tube.model_copy(update=changed)
    return plan.model_copy(update={"animal": plan.animal.model_copy(update={"tube": tube})})


def card(trouble: Trouble, plan: CarePlan | None) -> CallCard:
    return next(card for card in call_cards(plan=plan, on=TODAY) if card.trouble is trouble)


def words(card: CallCard) -> str:
    return " ".join(map(str, card.lines))


@pytest.mark.hazard("H31")
@pytest.mark.parametrize("has_plan", [True, False], ids=["with a plan", "without"])
def test_there_is_a_card_for_every_trouble_and_none_says_wait(juniper: CarePlan, has_plan: bool) -> None:
    """Only "do not wait" may stand on a card; each begins with what to do and says where each line comes from."""
    cards = call_cards(plan=juniper if has_plan else None, on=TODAY)

    assert [one.trouble for one in cards] == list(Trouble)
    for one in cards:
        said = words(one).replace("Do not wait", "")
        assert not re.search(r"\bwait|\bmonitor|\bkeep an eye|\blater\b|next morning|in the morning", said, re.I), one
        assert one.do
        assert one.do_not
        assert all(line.verb[0].isupper() and line.words for line in one.lines)
        assert all(line.printed.basis in (Basis.PUBLISHED, Basis.PRACTICE) for line in one.lines)


@pytest.mark.hazard("H31")
def test_what_cannot_be_put_off_stands_first_and_says_go() -> None:
    """Breathing, collapse and bloat head the list; each of them, and a tube that is out, sends people off."""
    cards = call_cards(plan=None, on=TODAY)

    assert [one.trouble for one in cards[:3]] == [Trouble.BREATHING, Trouble.COLLAPSE, Trouble.BLOAT]
    assert {one.trouble for one in cards if one.cannot_wait} == {
        Trouble.BREATHING,
        Trouble.COLLAPSE,
        Trouble.BLOAT,
        Trouble.GUMS,
        Trouble.TUBE_OUT,
    }
    for one in cards:
        if one.urgency is Urgency.GO:
            assert str(one.do[0]).startswith("Go to the ")
    # who lies there without a breath is pressed first: on the way it would be too late
    collapse = cards[1]
    assert collapse.urgency is Urgency.START
    assert str(collapse.do[0]).startswith("Press the chest at once")
    assert any(str(line).startswith("Go to the ") for line in collapse.do)


@pytest.mark.hazard("H12")
def test_whatever_locks_feeding_says_that_nothing_goes_in() -> None:
    """The lock does what the card says: the two never differ."""
    for one in call_cards(plan=None, on=TODAY):
        forbids = "Do not give food, water or medicine" in words(one) or "Do not feed" in words(one)
        assert one.trouble.locks_feeding == forbids, one.trouble


@pytest.mark.hazard("H13")
@pytest.mark.parametrize(
    ("changed", "must", "must_not"),
    [
        ({"placed_on": TODAY - timedelta(days=20)}, "Do not put the tube or anything else into the hole", "narrows"),
        ({"placed_on": None}, "Do not put the tube or anything else into the hole", "narrows"),
        ({"placed_on": TODAY + timedelta(days=3)}, "Do not put the tube or anything else into the hole", "narrows"),
        ({"placed_on": TODAY - timedelta(days=200)}, "The hole narrows within hours", "can end in the belly"),
        ({"kind": "nasoesophageal", "placed_on": TODAY}, "Do not put it back", "hole"),
    ],
    ids=["20 days", "day not known", "a slip of the day", "200 days", "through the nose"],
)
def test_a_tube_that_is_out_goes_by_its_kind_and_the_age_of_its_hole(
    juniper: CarePlan, changed: dict[str, object], must: str, must_not: str
) -> None:
    """Nothing into a young hole; an old one narrows; a hole of unknown age counts as young. No feed, ever."""
    said = words(card(Trouble.TUBE_OUT, with_tube(juniper, **changed)))

    assert must in said
    assert must_not not in said
    assert "Do not feed" in said


@pytest.mark.hazard("H14")
def test_no_card_gives_minutes_in_a_microwave() -> None:
    """Hot food: the wrist, never a time."""
    for one in call_cards(plan=None, on=TODAY):
        assert "microwave" not in words(one).lower()
    hot = words(card(Trouble.HOT, None)).lower()
    assert not re.search(r"minute|second|\d", hot)
    assert "test it on your wrist" in hot


@pytest.mark.hazard("H29")
def test_a_clog_gets_only_what_the_vet_allows(juniper: CarePlan) -> None:
    """With the vet's words they stand first, then plain warm water; without them the card says to ask. Never force."""
    told, untold = card(Trouble.CLOG, juniper), card(Trouble.CLOG, None)

    assert told.vet is not None
    assert told.vet.words == "Warm water in the 60 mL syringe, gently back and forth. If that fails, come in."
    assert "Use plain warm water first" in words(told)
    assert "Call and ask whether to try plain warm water" in words(untold)
    assert "Use plain" not in words(untold)
    for one in (told, untold):
        assert "never with a small syringe" in words(one)
        assert {"tube_care.unclog_water", "tube_care.unclog_cola"} <= {fact.id for fact in one.facts}


def test_the_vets_own_words_stand_on_their_card_and_on_no_other(juniper: CarePlan) -> None:
    """With name and day, so that old words are seen to be old."""
    cards = {one.trouble: one.vet for one in call_cards(plan=juniper, on=TODAY)}

    cough = cards[Trouble.COUGH]
    assert cough is not None
    assert (cough.words, cough.by, cough.on) == (
        "Stop the meal, hold her upright, and ring us before the next one.",
        "Dr. Aoife Marsh",
        date(2026, 11, 18),
    )
    assert {trouble for trouble, vet in cards.items() if vet} == {Trouble.COUGH, Trouble.CLOG}


def test_a_cat_that_vomits_may_bring_up_its_tube(juniper: CarePlan) -> None:
    """A tube through the neck or the nose can come up with the food; one through the belly cannot."""
    neck = with_tube(juniper, kind="esophagostomy")

    assert "tube's end hangs from the mouth" in words(card(Trouble.VOMITING, neck))
    assert "tube's end hangs from the mouth" not in words(card(Trouble.VOMITING, juniper))


@pytest.mark.hazard("H31")
@pytest.mark.parametrize(
    ("local", "first"),
    [
        ("2026-11-25T08:29", "Night clinic"),
        ("2026-11-25T08:30", "Millrace Veterinary Practice"),
        ("2026-11-25T18:29", "Millrace Veterinary Practice"),
        ("2026-11-25T18:30", "Night clinic"),
        ("2026-11-26T03:00", "Night clinic"),
        ("2026-11-27T23:59", "Night clinic"),
        ("2026-11-28T12:00", "Night clinic"),
        ("2026-11-29T23:59", "Night clinic"),
        ("2026-11-30T08:00", "Night clinic"),
        ("2026-11-30T09:00", "Millrace Veterinary Practice"),
    ],
)
def test_the_number_that_answers_now_stands_on_top(juniper: CarePlan, local: str, first: str) -> None:
    """Night, early morning, weekend and the turn of the day; the other number stays below."""
    calls = whom_to_call(plan=juniper, local=datetime.fromisoformat(local))

    assert [call.answers for call in calls] == [True, False]
    assert calls[0].who == first


def test_a_number_without_hours_comes_before_one_that_is_shut(juniper: CarePlan) -> None:
    """Nothing is guessed about it, and it is not hidden."""
    open_ended = juniper.vet.call[1].model_copy(update={"hours": ()})
    plan = juniper.model_copy(
        update={"vet": juniper.vet.model_copy(update={"call": (juniper.vet.call[0], open_ended)})}
    )
    calls = whom_to_call(plan=plan, local=datetime(2026, 11, 25, 22, tzinfo=DUBLIN))

    assert [(call.who, call.answers) for call in calls] == [
        ("Night clinic", None),
        ("Millrace Veterinary Practice", False),
    ]
    assert whom_to_call(plan=None, local=datetime(2026, 11, 25, 22, tzinfo=DUBLIN)) == ()


def test_the_record_writes_what_to_tell_the_vet(juniper: CarePlan) -> None:
    """Who, which tube, what went in and came back, and the last doses, from the entries themselves."""
    kept = [
        a_kept(SessionStarted(session=SEVEN), minute=1),
        a_kept(
            MedicineGiven(session=SEVEN, medicine="omeprazole", dose_mg="12", ml="6", outcome="given"),
            minute=2,
        ),
        a_kept(FillGiven(session=SEVEN, fill=1, ml=60), minute=4),
        a_kept(FillGiven(session=SEVEN, fill=2, ml=31.5), minute=7),
        a_kept(CameBack(session=SEVEN, ml=10), minute=8),
        a_kept(SessionStopped(session=SEVEN, reason="Coughed"), minute=8),
    ]

    told = show_to_vet(name="Juniper", plan=juniper, entries=kept, now=NOON, zone=DUBLIN)

    assert told == (
        "Juniper, dog, 17.4 kg on 18 November 2026, nothing by mouth. Most in one go by the plan: 348 mL.",
        "20 Fr gastrostomy tube, placed 12 June 2026, 166 days ago, mark at the skin 6.5 cm, balloon 15 mL.",
        "Went in: 91.5 mL from 07:04 to 07:07 (stopped).",
        "Came back: 10 mL at 07:08.",
        "Doses: Omeprazole 12 mg given at 07:02.",
    )


def test_what_was_yesterday_is_told_with_its_day(juniper: CarePlan) -> None:
    """A clock alone would be taken for today's."""
    kept = [a_kept(FillGiven(session="2026-11-24T20:00", fill=1, ml=60), minute=-600)]

    told = show_to_vet(name="Juniper", plan=juniper, entries=kept, now=NOON, zone=DUBLIN)

    assert "Went in: 60 mL at 21:00 on 24 November (not known)." in told


def test_silence_is_told_as_silence() -> None:
    """No plan and no entry: the card says that, and no number of mL."""
    told = show_to_vet(name="Sorrel", plan=None, entries=(), now=datetime.now(UTC), zone=DUBLIN)

    assert told == (
        "Sorrel.",
        "Went in: no entry in the last 24 hours.",
        "Doses: no entry in the last 24 hours.",
    )


def test_the_power_cut_card_names_the_printed_hours() -> None:
    """4 hours without power, 2 hours above 40 °F."""
    said = words(card(Trouble.POWER_CUT, None))

    assert "after 4 hours without power, or after 2 hours above 40 °F (4 °C)." in said


def test_the_card_of_a_tube_that_is_out_word_for_word(juniper: CarePlan) -> None:
    """Verb, words and where each line comes from: what rests on the hole's age names print, the rest practice."""
    out = card(Trouble.TUBE_OUT, juniper)

    assert [(line.verb, line.words, line.printed.source.id) for line in out.lines] == [
        ("Go", "to the emergency vet now. The hole narrows within hours.", "statpearls_gastrostomy"),
        ("Cover", "the hole loosely with a clean cloth.", "common_practice"),
        ("Keep", "the tube and bring it.", "common_practice"),
        ("Do not", "feed.", "common_practice"),
        ("Do not", "push anything into the hole unless the vet says so.", "statpearls_gastrostomy"),
    ]
    assert [line.printed.id for line in out.lines if line.printed.source.id != "common_practice"] == [
        "tube_care.tract_early",
        "tube_care.tract_early",
    ]
    placed_today = card(Trouble.TUBE_OUT, with_tube(juniper, placed_on=TODAY))
    assert "tube_care.tract_early" in {fact.id for fact in placed_today.facts}


def test_a_blocked_tube_and_a_power_cut_begin_at_home_where_the_vet_said_how(juniper: CarePlan) -> None:
    """With the vet's steps the card is done first; without them it is a call. The refrigerator comes before cans."""
    assert card(Trouble.CLOG, juniper).urgency is Urgency.HERE
    assert card(Trouble.CLOG, None).urgency is Urgency.CALL
    power = card(Trouble.POWER_CUT, None)
    assert power.urgency is Urgency.HERE
    assert [line.verb for line in power.do] == ["Keep", "Throw away", "Use", "Ask", "Take"]


def test_three_numbers_stand_in_the_order_in_which_they_help(juniper: CarePlan) -> None:
    """Open, then without hours, then shut; in whatever order the plan has them."""
    shut, open_now = juniper.vet.call
    unknown = open_now.model_copy(update={"who": "A friend who is a vet", "hours": ()})
    plan = juniper.model_copy(update={"vet": juniper.vet.model_copy(update={"call": (shut, unknown, open_now)})})

    calls = whom_to_call(plan=plan, local=datetime(2026, 11, 25, 22, tzinfo=DUBLIN))

    assert [(call.answers, call.who) for call in calls] == [
        (True, "Night clinic"),
        (None, "A friend who is a vet"),
        (False, "Millrace Veterinary Practice"),
    ]


def test_the_last_three_sessions_are_told_and_every_dose_as_it_is_known(juniper: CarePlan) -> None:
    """A person on the telephone takes in three meals; two doses are two, and one without mass has its words."""
    sessions = [f"2026-11-25T{hour:02d}:00" for hour in (5, 6, 8, 9)]
    kept = []
    for place, session in enumerate(sessions):
        kept += [
            a_kept(FillGiven(session=session, fill=1, ml=10 + place), minute=place),
            a_kept(CameBack(session=session, ml=1 + place), minute=place),
        ]
    kept += [
        a_kept(MedicineGiven(session=sessions[-1], medicine="omeprazole", dose_mg="12", outcome="given"), minute=5),
        a_kept(MedicineGiven(session=sessions[-1], medicine="omeprazole", dose_mg="12", outcome="given"), minute=6),
        a_kept(MedicineGiven(session=sessions[-1], medicine="drops", amount="1 drop", outcome="given"), minute=7),
    ]

    told = show_to_vet(name="Juniper", plan=juniper, entries=kept, now=NOON.replace(hour=8), zone=DUBLIN)

    assert told[2:] == (
        "Went in: 11 mL at 07:01; 12 mL at 07:02; 13 mL at 07:03.",
        "Came back: 2 mL at 07:01, 3 mL at 07:02, 4 mL at 07:03.",
        "Doses: Omeprazole 12 mg given at 07:05; Omeprazole 12 mg given at 07:06; drops 1 drop given at 07:07.",
    )


def test_the_most_in_one_go_is_never_rounded_up(juniper: CarePlan) -> None:
    """17.43 kg at 20 mL/kg are 348.6 mL: 348 is told."""
    weights = (*juniper.animal.weights[:-1], juniper.animal.weights[-1].model_copy(update={"kg": 17.43}))
    plan = juniper.model_copy(update={"animal": juniper.animal.model_copy(update={"weights": weights})})

    told = show_to_vet(name="Juniper", plan=plan, entries=(), now=NOON, zone=DUBLIN)

    assert "Most in one go by the plan: 348 mL." in told[0]


def test_an_animal_that_does_not_breathe_is_pressed_word_for_word() -> None:
    """Press, lay, breathe, keep on; then the way. Rate, depth and ratio each name their print."""
    collapse = card(Trouble.COLLAPSE, None)
    pressed = [collapse.do[0], *collapse.do[2:4]]

    assert [(line.verb, line.words) for line in pressed] == [
        (
            "Press",
            "the chest at once if it gives no answer and no breath: 100 to 120 times a minute, by a third to a half of "
            "its width; let it come back each time.",
        ),
        (
            "Give",
            "2 breaths after every 30 presses: hold its mouth shut, and blow into its nose until the chest rises.",
        ),
        (
            "Keep",
            "on without a pause, in turns, until it breathes or a vet takes over. Alone: telephone on loud, beside "
            "you.",
        ),
    ]
    assert [line.printed.id for line in pressed] == [
        "first_aid.compressions",
        "first_aid.compressions_before_breaths",
        "first_aid.compression_depth",
    ]
    assert [line.verb for line in collapse.do] == ["Press", "Lay", "Give", "Keep", "Go", "Cover"]


@pytest.mark.parametrize(
    ("species", "call", "figure"),
    [
        ("dog", "if it is above 39.5 °C (103.1 °F) or under 37.7 °C (99.9 °F).", "vital_signs.temperature_dog"),
        ("cat", "if it is above 38.9 °C (102 °F) or under 36.7 °C (98.1 °F).", "vital_signs.temperature_cat"),
        (None, "if it is above 38.9 °C (102 °F) or under 37.7 °C (99.9 °F).", "vital_signs.temperature_cat"),
    ],
)
def test_fever_goes_by_the_species_and_an_unknown_one_by_the_narrower(
    juniper: CarePlan, species: str | None, call: str, figure: str
) -> None:
    """In both units; over 41 °C nobody calls first."""
    plan = None
    if species:
        animal = juniper.animal.model_copy(update={"species": Species(species)})
        plan = juniper.model_copy(update={"animal": animal})
    fever = card(Trouble.FEVER, plan)

    assert [line.verb for line in fever.do] == ["Measure", "Call", "Go", "Ask", "Say", "Go"]
    assert (fever.do[1].words, fever.do[1].printed.id) == (f"now, day or night, {call}", figure)
    assert str(fever.do[2]) == "Go at once above 41 °C (105.8 °F)."
    assert {fact.id for fact in fever.facts} >= {"vital_signs.numbers_rule_nothing_out", figure}
    assert len(fever.facts) == (2 if species else 3)


def test_a_fit_has_its_minutes_and_its_hours() -> None:
    """The clock is looked at first; then from when on it is an emergency of its own."""
    fit = card(Trouble.FIT, None)

    assert [line.verb for line in fit.do] == ["Look", "Go", "Clear", "Call", "Ask", "Go"]
    assert str(fit.do[1]) == "Go at once if it lasts over 5 minutes, or if another one comes within 24 hours."
    assert fit.do[1].printed.id == "first_aid.fit_most"


@pytest.mark.parametrize(
    ("species", "facts"),
    [
        ("dog", {"poisons.xylitol_sugar"}),
        ("cat", {"poisons.propylene_glycol_cat"}),
        (None, {"poisons.xylitol_sugar", "poisons.propylene_glycol_cat"}),
    ],
)
def test_what_harms_in_a_liquid_rests_on_print_about_that_species(
    juniper: CarePlan, species: str | None, facts: set[str]
) -> None:
    """Both, where nobody has said which animal it is."""
    plan = None
    if species:
        animal = juniper.animal.model_copy(update={"species": Species(species)})
        plan = juniper.model_copy(update={"animal": animal})
    wrong = card(Trouble.WRONG, plan)

    assert {fact.id for fact in wrong.facts} == facts
    assert [line.verb for line in wrong.do] == ["Call", "Ask", "Take", "Read", "Tell", "Ask", "Go"]
    assert card(Trouble.TWICE, plan).facts == ()


def with_call(plan: CarePlan, *numbers: CallNumber) -> CarePlan:
    return plan.model_copy(update={"vet": plan.vet.model_copy(update={"call": numbers})})


def a_number(who: str = "Practice", *hours: tuple[str, str, str], when: str = "by day") -> CallNumber:
    """A number with its hours, each as its days, its opening and its closing."""
    opening = [
        {"days": tuple(days.split()), "opens": time.fromisoformat(opens), "closes": time.fromisoformat(closes)}
        for days, opens, closes in hours
    ]
    return CallNumber(who=who, phone="+353 1 555 0100", when=when, hours=tuple(OpenHours(**one) for one in opening))


EVERY_DAY = "mon tue wed thu fri sat sun"


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        ([a_number("Clinic", (EVERY_DAY, "00:00", "00:00"))], ""),
        ([a_number("Clinic", (EVERY_DAY, "08:00", "20:00"))], "No number of the plan answers at night."),
        ([a_number("Clinic", (EVERY_DAY, "20:00", "08:00"))], "No number of the plan answers on Monday at 08:00."),
        (
            [a_number("Day", (EVERY_DAY, "08:00", "20:00")), a_number("Night", (EVERY_DAY, "20:00", "08:00"))],
            "",
        ),
        (
            [
                a_number("Day", (EVERY_DAY, "08:00", "20:00")),
                a_number("Night", ("mon tue wed thu fri sat", "20:00", "08:00")),
            ],
            "No number of the plan answers at night.",
        ),
        ([a_number("Practice")], "The plan does not say who answers at night."),
        (
            [a_number("Practice"), a_number("Day", (EVERY_DAY, "08:00", "20:00"))],
            "The plan does not say who answers at night.",
        ),
        ([a_number("Practice"), a_number("Always", (EVERY_DAY, "00:00", "00:00"))], ""),
        (
            [a_number("Poison line", (EVERY_DAY, "00:00", "00:00")), a_number("Clinic", (EVERY_DAY, "08:00", "20:00"))],
            "No number of the plan answers at night.",
        ),
        ([a_number("Poison line", (EVERY_DAY, "00:00", "00:00"))], ""),
        ([], ""),
    ],
)
def test_who_is_silent_when(juniper: CarePlan, numbers: list[CallNumber], said: str) -> None:
    """The night first, then any other gap; a number without hours is not guessed; a poison line fills no gap."""
    assert who_is_silent(plan=with_call(juniper, *numbers)) == said
    assert who_is_silent(plan=None) == ""


@pytest.mark.parametrize(("who", "when"), [("Animal Poison Line", "by day"), ("Line", "for poisons, day and night")])
def test_a_poison_line_stands_below_the_clinics_and_on_its_cards(juniper: CarePlan, who: str, when: str) -> None:
    """It answers by night, and a shut clinic still stands above it: it is called about poisons alone."""
    line = a_number(who, (EVERY_DAY, "00:00", "00:00"), when=when)
    plan = with_call(juniper, line, juniper.vet.call[0])

    calls = whom_to_call(plan=plan, local=datetime(2026, 11, 25, 22, tzinfo=DUBLIN))
    assert [(call.who, call.answers, call.is_poison_line) for call in calls] == [
        ("Millrace Veterinary Practice", False, False),
        (who, True, True),
    ]
    for trouble in (Trouble.TWICE, Trouble.WRONG):
        assert str(card(trouble, plan).do[1]) == f"Call {who} too: +353 1 555 0100 ({when})."
        assert "plan states none" in words(card(trouble, juniper))
        assert "plan states none" in words(card(trouble, None))


def test_what_the_vet_said_takes_the_place_of_what_would_be_asked(juniper: CarePlan) -> None:
    """With words for it, food that comes back begins at home, and nothing of ours says how to hold the animal."""
    said = [
        TroubleWords(trouble=one, words="As I said.") for one in (Trouble.VOMITING, Trouble.COUGH, Trouble.TOO_MUCH)
    ]
    plan = juniper.model_copy(update={"vet": juniper.vet.model_copy(update={"troubles": tuple(said)})})
    asked = ("Ask how to hold it", "Ask when to call", "Keep it upright")

    for one in (Trouble.VOMITING, Trouble.COUGH, Trouble.TOO_MUCH):
        assert not any(words in str(line) for line in card(one, plan).lines for words in asked), one
        assert any(words in str(line) for line in card(one, None).lines for words in asked), one
    assert card(Trouble.VOMITING, plan).urgency is Urgency.HERE
    assert card(Trouble.COUGH, plan).urgency is Urgency.CALL
    assert card(Trouble.VOMITING, None).urgency is Urgency.CALL


@pytest.mark.parametrize("kind", ["esophagostomy", "nasoesophageal"])
def test_a_tube_that_is_out_and_is_no_race_is_a_call_with_the_signs_that_make_it_one(
    juniper: CarePlan, kind: str
) -> None:
    """The last line says when nobody calls first."""
    out = card(Trouble.TUBE_OUT, with_tube(juniper, kind=kind))

    assert out.urgency is Urgency.CALL
    assert str(out.do[-1]).startswith("Go at once, with no call back")
    assert not any("Go at once" in str(line) for line in card(Trouble.TUBE_OUT, juniper).do)


def test_a_clog_ends_after_the_printed_minutes(juniper: CarePlan) -> None:
    """With the vet's steps and without them, and the line names where the minutes come from."""
    for plan in (juniper, None):
        last = card(Trouble.CLOG, plan).do[-1]
        assert (str(last), last.printed.id) == (
            "Stop trying after 30 minutes at most, and call.",
            "tube_care.unclog_most",
        )
