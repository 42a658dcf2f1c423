"""What a household may count on before a plan holds: whatever is known to be dangerous is asked first."""

from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

import pytest

from fillmark.cli.main import main
from fillmark.examples import example_plan

CANNOT, NEEDS, MEANT, ASK = "THIS PLAN CANNOT HOLD", "NEEDS A WORD OF THE VET", "IS THIS MEANT?", "ASK THE VET"
TITLES = (CANNOT, NEEDS, MEANT, ASK)
LADDER = "energy = { factor = 1.5 }\nladder = { starts_on = %s, percent = [50, 75, 100] }"
WITH_BREATHS = 'troubles = [\n    { trouble = "breathing", words = "Ring over 30 a minute, asleep." },\n'
ONE_MEAL = [
    ("meals_per_day = 4", "meals_per_day = 1"),
    ('["07:00", "11:30", "15:00", "20:00"]', '["07:00"]'),
    ("meal_gap_hours = 3", "meal_gap_hours = 24"),
]
OMEPRAZOLE = 'form = "liquid"\nstrength = "2 mg/mL"\ndose = "12 mg"\n'


def held(nutrient: str, amount: float, unit: str) -> str:
    """One line of a label, as a plan writes it."""
    return f'{{ nutrient = "{nutrient}", amount = {amount}, unit = "{unit}", per = "1,000 kcal" }}'


SLIPS = [
    pytest.param(
        "juniper",
        [('dose = "12 mg"', 'dose = "24 mg"')],
        MEANT,
        "Omeprazole cannot be drawn: 12 mL to draw",
        id="more than any syringe holds",
        marks=pytest.mark.hazard("H6"),
    ),
    pytest.param(
        "juniper",
        [("said_on = 2026-11-18", "said_on = 2026-11-18\nrecheck_on = 2026-11-20")],
        ASK,
        "wanted to see the animal again on 20 November 2026",
        id="the day of the recheck is past",
        marks=pytest.mark.hazard("H20"),
    ),
    pytest.param(
        "juniper",
        [("kg = 17.1", "kg = 20.9"), ("kg = 17.2", "kg = 19")],
        NEEDS,
        "17 % less",
        id="lost 17 % in four weeks",
        marks=pytest.mark.hazard("H23"),
    ),
    pytest.param(
        "juniper",
        [("starved = false", "starved = true")],
        CANNOT,
        "starved",
        id="was starved",
        marks=pytest.mark.hazard("H23"),
    ),
    pytest.param(
        "sorrel",
        [("placed_on = 2026-11-07", "placed_on = 2026-11-17"), ("starved = false\n", "")],
        MEANT,
        "without food for days before the tube",
        id="thin, a new tube, and nobody has said whether it was starved",
        marks=pytest.mark.hazard("H23"),
    ),
    *(
        pytest.param(
            name,
            [("complete = true", f"complete = true\nnutrients = [{', '.join(label)}]")],
            MEANT,
            words,
            id=words,
            marks=pytest.mark.hazard("H20"),
        )
        for name, label, words in (
            ("juniper", [held("vitamin D", 2250, "units")], "vitamin D 2,250, at most 750 units/1,000 kcal"),
            ("juniper", [held("vitamin D", 600, "units")], "vitamin D 600, at most 568 units/1,000 kcal"),
            ("juniper", [held("iodine", 3, "mg")], "iodine 3, at most 2.75 mg/1,000 kcal"),
            (
                "juniper",
                [held("calcium", 1.3, "g"), held("phosphorus", 3, "g")],
                "calcium to phosphorus 0.433, at least 1 to 1",
            ),
            (
                "juniper",
                [held("calcium", 4, "g"), held("phosphorus", 1.5, "g")],
                "calcium to phosphorus 2.67, at most 2 to 1",
            ),
            ("sorrel", [held("vitamin D", 22_560, "units")], "vitamin D 22,560, at most 7,520 units/1,000 kcal"),
            ("sorrel", [held("sodium", 4, "g")], "sodium 4, at most 3.75 g/1,000 kcal"),
        )
    ),
    pytest.param(
        "juniper",
        [("ml = 935", "ml = 300")],
        MEANT,
        "300 mL came out, 944 mL went in",
        id="too little came out",
        marks=pytest.mark.hazard("H8"),
    ),
    pytest.param(
        "juniper",
        [("ml = 935", "ml = 1935")],
        MEANT,
        "1,935 mL came out",
        id="too much came out",
        marks=pytest.mark.hazard("H8"),
    ),
    pytest.param(
        "sorrel",
        [("batch_g = 349", "batch_g = 149")],
        MEANT,
        "149 g came out, 352 g went in",
        id="too light",
        marks=pytest.mark.hazard("H8"),
    ),
    pytest.param(
        "juniper",
        [('["07:00", "11:30", "15:00", "20:00"]', '["07:00", "07:25", "07:50", "08:15"]')],
        NEEDS,
        "Two meals are closer than 3 hours",
        id="four meals in 75 minutes",
        marks=pytest.mark.hazard("H37"),
    ),
    pytest.param(
        "sorrel",
        [('["07:00", "11:00", "15:00", "19:00", "23:00"]', '["07:00", "07:20", "07:40", "19:00", "23:00"]')],
        MEANT,
        "only 20 minutes after",
        id="meals in a heap, without the vet's gap",
        marks=pytest.mark.hazard("H10"),
    ),
    pytest.param(
        "juniper",
        [('clocks = ["06:30", "18:30"]', 'clocks = ["06:45", "18:30"]')],
        NEEDS,
        "Omeprazole at 6:45 is not",
        id="less than the minutes before food",
        marks=pytest.mark.hazard("H22"),
    ),
    pytest.param(
        "juniper",
        [
            (
                'ordered_by = "Dr. Aoife Marsh"\nordered_on = 2026-11-18\n\n[[tasks]]',
                'apart_from = [{ medicine = "metoclopramide", hours = 2 }]\n\n[[tasks]]',
            )
        ],
        NEEDS,
        "are closer than 2 hours",
        id="two medicines that must be apart",
        marks=pytest.mark.hazard("H22"),
    ),
    pytest.param(
        "juniper",
        [
            ("every_hours = 12", "every_hours = 12\nmin_gap_hours = 10"),
            ('clocks = ["06:30", "18:30"]', 'clocks = ["06:30", "10:30"]'),
        ],
        NEEDS,
        "Omeprazole is given twice within",
        id="the vet's gap between two doses",
        marks=pytest.mark.hazard("H1"),
    ),
    pytest.param(
        "juniper",
        ONE_MEAL,
        NEEDS,
        "the vet's most is 20 mL/kg",
        id="the whole day in one meal",
        marks=pytest.mark.hazard("H10"),
    ),
    pytest.param(
        "juniper",
        [("energy = { factor = 1.5 }", LADDER % "2027-11-25")],
        MEANT,
        "feeds nothing",
        id="steps up in a wrong year",
        marks=pytest.mark.hazard("H23"),
    ),
    pytest.param(
        "juniper",
        [("energy = { factor = 1.5 }", LADDER % "2026-11-26")],
        MEANT,
        "feeds nothing",
        id="steps up from tomorrow on",
        marks=pytest.mark.hazard("H23"),
    ),
    pytest.param(
        "juniper",
        [("energy = { factor = 1.5 }", LADDER % "2025-11-25")],
        MEANT,
        "ended on",
        id="steps up of a year ago",
        marks=pytest.mark.hazard("H23"),
    ),
    pytest.param(
        "juniper",
        [
            ('by_mouth = "nothing"', 'by_mouth = "food and water"'),
            ("energy = { factor = 1.5 }", LADDER % "2026-11-24" + "\nweaning = { by_mouth_kcal_per_day = 400 }"),
        ],
        MEANT,
        "together come to",
        id="weaning by mouth besides the steps up",
        marks=pytest.mark.hazard("H10"),
    ),
    pytest.param(
        "juniper",
        [
            ("energy = { factor = 1.5 }", "meal_ml = 200\nweaning = { by_mouth_kcal_per_day = 400 }"),
            ('by_mouth = "nothing"', 'by_mouth = "food and water"'),
        ],
        MEANT,
        "no energy goal",
        id="weaning without a goal",
        marks=pytest.mark.hazard("H10"),
    ),
    pytest.param(
        "juniper",
        [
            ("on = 2026-10-21", "on = 2025-10-21"),
            ("on = 2026-11-04", "on = 2025-11-04"),
            ("on = 2026-11-18, kg", "on = 2025-11-18, kg"),
        ],
        MEANT,
        "weigh again",
        id="a weight of a year ago",
        marks=pytest.mark.hazard("H28"),
    ),
    pytest.param(
        "juniper",
        [("on = 2026-11-18, kg", "on = 2027-11-18, kg")],
        MEANT,
        "still to come",
        id="a weight of next year",
        marks=pytest.mark.hazard("H28"),
    ),
    pytest.param(
        "juniper",
        [("on = 2026-11-24, ml", "on = 2025-11-24, ml")],
        MEANT,
        "Measure the next",
        id="a batch of a year ago",
        marks=pytest.mark.hazard("H8"),
    ),
    pytest.param(
        "juniper",
        [("on = 2026-11-24, ml", "on = 2027-11-24, ml")],
        MEANT,
        "still to come",
        id="a batch of next year",
        marks=pytest.mark.hazard("H8"),
    ),
    pytest.param(
        "juniper",
        [('kind = "gastrostomy"', 'kind = "jejunostomy"')],
        NEEDS,
        "no room for",
        id="a meal at once into the gut",
        marks=pytest.mark.hazard("H10"),
    ),
    pytest.param(
        "juniper",
        [("french = 20", "french = 5")],
        MEANT,
        "liquid food only",
        id="5 Fr with a thick stew",
        marks=pytest.mark.hazard("H9"),
    ),
    pytest.param(
        "juniper",
        [
            (
                'size_ml = 60\nstep_ml = 1\nnumbered_every_ml = 10\ntip = "enteral"',
                'size_ml = 60\nstep_ml = 1\nnumbered_every_ml = 10\ntip = "oral"',
            )
        ],
        MEANT,
        "does not lock",
        id="an oral tip for meals",
        marks=pytest.mark.hazard("H6"),
    ),
    *(
        pytest.param(
            "juniper",
            [(f"flush_{when}_ml = {ml}", f"flush_{when}_ml = 0")],
            MEANT,
            f"No water {when}",
            id=f"no flush {when}",
            marks=pytest.mark.hazard("H29"),
        )
        for when, ml in (("before", 10), ("between", 5), ("after", 20))
    ),
    *(
        pytest.param(
            "juniper",
            [('name = "Metoclopramide"', f'name = "{one}"'), ('name = "Omeprazole"', f'name = "{other}"')],
            NEEDS,
            f"{one} and {other} both give {substance}",
            id=f"{one} beside {other}",
            marks=pytest.mark.hazard("H4"),
        )
        for one, other, substance in (
            ("Frusemide", "Furosemide", "furosemide"),
            ("Cefalexin", "Cephalexin tablets", "cephalexin"),
            ("Amoxicillin", "Co-amoxiclav", "amoxicillin"),
            ("Metronidazole benzoate", "Metronidazole", "metronidazole"),
        )
    ),
    pytest.param(
        "sorrel",
        [("size_ml = 60\nstep_ml = 1\n", "size_ml = 60\nstep_ml = 10\n"), ("factor = 1.1", "kcal_per_day = 30")],
        CANNOT,
        "a meal comes to nothing",
        id="lines too coarse for five meals",
        marks=pytest.mark.hazard("H6"),
    ),
    pytest.param(
        "sorrel",
        [("size_ml = 60\nstep_ml = 1\n", "size_ml = 60\nstep_ml = 10\n"), ("factor = 1.1", "kcal_per_day = 60")],
        MEANT,
        "Energy and meals are",
        id="lines so coarse that the day is another one",
        marks=pytest.mark.hazard("H6"),
    ),
    *(
        pytest.param(
            name,
            [slip],
            MEANT,
            words,
            id=what,
            marks=mark,
        )
        for name, slip, words, what, mark in (
            (
                "juniper",
                ("factor = 1.5", "kcal_per_day = 90"),
                "0.15 times the resting energy",
                "a tenth of the energy",
                pytest.mark.hazard("H4"),
            ),
            (
                "sorrel",
                ("factor = 1.1", "kcal_per_kg = 22"),
                "0.45 times the resting energy",
                "energy for each lb read as for each kg",
                pytest.mark.hazard("H5"),
            ),
            (
                "juniper",
                ("cap_ml_per_kg = 20", "cap_ml_per_kg = 44"),
                "more than any figure in print (20 mL/kg)",
                "a most at once that is over print",
                pytest.mark.hazard("H10"),
            ),
            (
                "sorrel",
                ('pace_ml_per_minute = "not stated"', "pace_ml_per_minute = 50"),
                "At 50 mL/min a meal of",
                "ten times the pace",
                pytest.mark.hazard("H10"),
            ),
            (
                "sorrel",
                ("flush_between_ml = 3", "flush_between_ml = 30"),
                "30 mL of water between medicines",
                "ten times the flush in a cat",
                pytest.mark.hazard("H10"),
            ),
            (
                "juniper",
                ("flush_before_ml = 10", "flush_before_ml = 40"),
                "40 mL of water before a meal",
                "a flush over print in a dog",
                pytest.mark.hazard("H10"),
            ),
            (
                "juniper",
                ("{ low = 50, high = 80 }", "{ low = 20, high = 36 }"),
                "more than the vet's band",
                "the day's water for each lb read as for each kg",
                pytest.mark.hazard("H30"),
            ),
            (
                "juniper",
                ('energy = 498, unit = "kcal", per = "can"', 'energy = 498, unit = "kcal", per = "kg"'),
                "its analysis comes to",
                "a label for a can read as for a kg",
                pytest.mark.hazard("H8"),
            ),
            (
                "sorrel",
                ("energy = 1160", "energy = 4850"),
                "its analysis comes to",
                "a label in kJ read as kcal",
                pytest.mark.hazard("H8"),
            ),
            (
                "juniper",
                (
                    'id = "omeprazole"',
                    'id = "omeprazole"\nstart_on = 2026-11-20\nsteps = [{ from_on = 2025-12-10, dose = "10 mg" }]',
                ),
                "before its first day",
                "a step of a taper in a wrong year",
                pytest.mark.hazard("H4"),
            ),
        )
    ),
    pytest.param(
        "juniper",
        [('name = "Metoclopramide"', 'name = "Cisapride"'), ("minutes = 30", "minutes = 3")],
        MEANT,
        "the order says 3, ten times less",
        id="a tenth of the minutes before food in print",
        marks=pytest.mark.hazard("H22"),
    ),
    *(
        pytest.param(
            "juniper", [('id = "omeprazole"', f'id = "omeprazole"\n{days}')], MEANT, words, id=what, marks=mark
        )
        for days, words, what, mark in (
            ("start_on = 2027-11-25", "begins on 25 November 2027", "a course of next year", pytest.mark.hazard("H2")),
            (
                "start_on = 2025-01-02\nstop_on = 2025-11-30",
                "ended on 30 November 2025",
                "a course that ended last year",
                pytest.mark.hazard("H2"),
            ),
            (
                'start_on = 2026-11-20\nsteps = [{ from_on = 2027-12-10, dose = "10 mg" }]',
                "Step 1 of Omeprazole begins on 10 December 2027",
                "a step of next year",
                pytest.mark.hazard("H4"),
            ),
        )
    ),
    pytest.param(
        "juniper",
        [('name = "Omeprazole"', 'name = "Metoclopramide hydrochloride"')],
        MEANT,
        "are one medicine, metoclopramide, ordered twice",
        id="one medicine by two names",
        marks=[pytest.mark.hazard("H1"), pytest.mark.hazard("H4")],
    ),
    *(
        pytest.param(name, slips, title, words, id=what, marks=mark)
        for name, slips, title, words, what, mark in (
            (
                "juniper",
                [("placed_on = 2026-06-12", "placed_on = 2027-06-12")],
                MEANT,
                "The tube is placed on 12 June 2027",
                "a tube of next year",
                pytest.mark.hazard("H13"),
            ),
            (
                "juniper",
                [('clocks = ["06:30", "18:30"]', 'clocks = ["09:00", "21:00"]')],
                ASK,
                "Omeprazole at 09:00 and 21:00 is ordered before food, and no meal follows",
                "a dose before food that no meal follows",
                pytest.mark.hazard("H22"),
            ),
            (
                "juniper",
                [('strength = "2 mg/mL"', 'strength = "200 mg/mL"')],
                MEANT,
                "Omeprazole: one dose is 0.06 mL",
                "a dose too small to be drawn",
                pytest.mark.hazard("H3"),
            ),
            (
                "juniper",
                [('{ trouble = "breathing", words = "Ring over 30 a minute, asleep." },\n', "")],
                ASK,
                "From how many breaths a minute at rest on should we call about Juniper? The 40 in print comes from",
                "no number of breaths from the vet",
                pytest.mark.hazard("H20"),
            ),
            (
                "juniper",
                [("born_on = 2019-05-02", "born_on = 2029-05-02")],
                MEANT,
                "is born on 2 May 2029",
                "born after today",
                (),
            ),
            (
                "juniper",
                [("protein_percent = 9.5", "protein_percent = 4")],
                ASK,
                "holds less than print asks for of protein",
                "a food with little protein",
                (),
            ),
            (
                "juniper",
                [
                    (
                        "complete = true",
                        'complete = true\nnutrients = [{ nutrient = "calcium", amount = 90, unit = "g", per = "kg" }]',
                    )
                ],
                MEANT,
                "is outside what print allows of calcium",
                "ten times the calcium",
                (),
            ),
            (
                "juniper",
                [
                    (
                        OMEPRAZOLE,
                        OMEPRAZOLE.replace("liquid", "capsule")
                        .replace("2 mg/mL", "not stated")
                        .replace("12 mg", "12 capsules"),
                    )
                ],
                MEANT,
                "one dose is 12 of them",
                "a dose of twelve capsules",
                pytest.mark.hazard("H4"),
            ),
            (
                "juniper",
                [("dose_for_weight_kg = 17.4", "dose_for_weight_kg = 38.4")],
                MEANT,
                "was ordered for 38.4 kg",
                "the weight of a dose in lb",
                pytest.mark.hazard("H5"),
            ),
            (
                "juniper",
                [(OMEPRAZOLE, OMEPRAZOLE + 'steps = [{ from_on = 2026-12-10, dose = "1.2 mg" }]\n')],
                MEANT,
                "goes from 12 mg to 1.2 mg, ten times less",
                "a step of a taper with its point moved",
                pytest.mark.hazard("H4"),
            ),
            (
                "juniper",
                [('kind = "gastrostomy"', 'kind = "jejunostomy"')],
                MEANT,
                "Metoclopramide may work differently there",
                "a medicine into the gut",
                pytest.mark.hazard("H21"),
            ),
            (
                "juniper",
                [('purpose = "less acid"', 'purpose = "less acid, q.d."')],
                MEANT,
                'The order of Omeprazole says "q.d."',
                "words that are misread",
                pytest.mark.hazard("H4"),
            ),
            (
                "juniper",
                [
                    ('name = "Omeprazole"', 'name = "Cyanocobalamin"'),
                    (
                        OMEPRAZOLE,
                        OMEPRAZOLE.replace("liquid", "tablet")
                        .replace("2 mg/mL", "250 mcg/tablet")
                        .replace("12 mg", "250 mcg"),
                    ),
                ],
                MEANT,
                "when print gives 1 for 17.4 kg",
                "less than a printed table by weight",
                pytest.mark.hazard("H4"),
            ),
            (
                "juniper",
                [(OMEPRAZOLE, OMEPRAZOLE.replace("liquid", "tablet").replace("2 mg/mL", "12 mg/tablet"))],
                NEEDS,
                "Omeprazole must not be crushed or opened",
                "a tablet that must not be crushed, through the tube",
                pytest.mark.hazard("H21"),
            ),
            (
                "juniper",
                [('relation = "before", minutes = 30', 'relation = "empty stomach", minutes = 30')],
                MEANT,
                "and not how long after",
                "an empty stomach by half",
                pytest.mark.hazard("H22"),
            ),
            (
                "juniper",
                [("flush_after_ml = 20", "flush_after_ml = 200")],
                MEANT,
                "200 mL of water after a meal",
                "ten times the flush after a meal",
                pytest.mark.hazard("H10"),
            ),
            (
                "juniper",
                [("cap_ml_per_kg = 20\n", ""), *ONE_MEAL],
                NEEDS,
                "and the vet stated no most",
                "the whole day in one meal, without a most",
                pytest.mark.hazard("H10"),
            ),
            (
                "juniper",
                [("energy = { factor = 1.5 }", 'energy = "not stated"')],
                CANNOT,
                "How much energy a day",
                "no energy",
                pytest.mark.hazard("H32"),
            ),
        )
    ),
]


def findings(name: str, slips: list[tuple[str, str]], folder: Path) -> dict[str, str]:
    """What `fillmark plan` says about an example with slips, by the title that it stands under."""
    text = example_plan(name).decode().replace("troubles = [\n", WITH_BREATHS, 1)
    for written, slip in slips:
        assert written in text
        text = text.replace(written, slip, 1)
    path = folder / "plan.toml"
    path.write_text(text, encoding="utf-8")
    with redirect_stdout(StringIO()) as out:
        main(["plan", str(path), "--on", "2026-11-25"])
    under, found = "", dict.fromkeys(TITLES, "")
    for line in out.getvalue().splitlines():
        under = line if line in TITLES else under if line else ""
        if under:
            found[under] += " " + line.strip()
    return found


@pytest.mark.parametrize(("name", "slips", "title", "words"), SLIPS)
def test_what_is_dangerous_is_asked_before_the_plan_holds(
    name: str, slips: list[tuple[str, str]], title: str, words: str, tmp_path: Path
) -> None:
    """By the command that a person runs, and only with the slip."""
    assert words not in findings(name, [], tmp_path)[title]
    assert words in findings(name, slips, tmp_path)[title]


@pytest.mark.hazard("H28")
@pytest.mark.parametrize(
    ("label", "energy"),
    [
        ('{ energy = 1.27, unit = "kcal", per = "mL" }', "995.68 kcal"),  # 2 cans x 392 mL
        ('{ energy = 300, unit = "kcal", per = "cup" }\ncup_g = 245', "1,004 kcal"),  # 2 cans x 410 g
    ],
    ids=["per mL", "per cup"],
)
def test_a_label_by_volume_or_by_cup_counts_cans(
    label: str, energy: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Worked by hand: 1.27 × 784 mL = 996 kcal; 300 ÷ 245 × 820 g = 1,004 kcal."""
    text = example_plan("juniper").decode().replace('{ energy = 498, unit = "kcal", per = "can" }', label, 1)
    path = tmp_path / "plan.toml"
    path.write_text(text, encoding="utf-8")
    assert main(["plan", str(path), "--on", "2026-11-25"]) == 0
    batch = next(line for line in capsys.readouterr().out.splitlines() if "One batch" in line)

    assert energy.replace("995.68", "996") in batch


def test_energy_that_no_label_states_is_said_to_be_worked_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """From the analysis: it is an estimate, and says so."""
    text = example_plan("juniper").decode()
    path = tmp_path / "plan.toml"
    path.write_text(text.replace('label = { energy = 498, unit = "kcal", per = "can" }\n', ""), encoding="utf-8")
    assert main(["plan", str(path), "--on", "2026-11-25"]) == 0

    assert "is worked out from its analysis: no label states it" in " ".join(capsys.readouterr().out.split())


def page_of(changes: list[tuple[str, str]], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """What `fillmark plan` says about Juniper with these changes, on one line."""
    text = example_plan("juniper").decode()
    for written, other in changes:
        assert written in text
        text = text.replace(written, other, 1)
    path = tmp_path / "plan.toml"
    path.write_text(text, encoding="utf-8")
    assert main(["plan", str(path), "--on", "2026-11-25"]) == 0, capsys.readouterr().err
    return " ".join(capsys.readouterr().out.split())


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("told", "mark"),
    [("6 mL of 2 mg/mL", "6 mL"), ("3 mL of 4 mg/mL", "6 mL"), ("1.5 mL of 0.8 %", "6 mL")],
)
def test_a_dose_told_in_ml_of_a_strength_is_turned_into_its_mass(
    told: str, mark: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """12 mg each way, drawn from the 2 mg/mL of this bottle, and not from the strength that the sheet spoke of."""
    shown = page_of([('dose = "12 mg"', f'dose = "{told}"')], tmp_path, capsys)

    assert f"06:30 Metoclopramide 5.2 mL, Omeprazole {mark};" in shown


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    "told",
    [
        "1.5 tablets of 10 mg/tablet",
        "1½ tablets of 10 mg",
        "1 1/2 tablets of 10 mg",
        "¾ tablet of 20 mg",
        "3 tablets of 5 mg",
    ],
)
def test_a_dose_told_in_tablets_of_a_strength_is_turned_into_its_mass(
    told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """15 mg each way, as sheets write it: of tablets of 5 mg, three."""
    liquid = 'form = "liquid"\nstrength = "2 mg/mL"\ndose = "12 mg"'
    tablet = 'form = "tablet"\nstrength = "5 mg/tablet"\ndose = "' + f'{told}"'
    text = example_plan("juniper").decode().replace(liquid, tablet)
    text = text.replace('crush = "not allowed"', 'crush = "allowed"')
    path = tmp_path / "plan.toml"
    path.write_text(text, encoding="utf-8")
    assert main(["plan", str(path), "--on", "2026-11-25"]) == 0

    assert "Omeprazole three tablets" in " ".join(capsys.readouterr().out.split())


@pytest.mark.hazard("H20")
@pytest.mark.parametrize(
    ("change", "said"),
    [
        (
            ("flow_limit_level = 2", "flow_limit_level = 2\nresidual = { skip_over_ml = 30 }"),
            "Draw back what is in the stomach",
        ),
        (
            ("flow_limit_level = 2", "flow_limit_level = 2\nfood_temperature_c = { low = 36, high = 38 }"),
            "36 to 38 °C all through",
        ),
        (
            ("said_on = 2026-11-18", "said_on = 2026-11-18\nrecheck_on = 2026-11-20"),
            "wanted to see the animal again on 20",
        ),
    ],
    ids=["residual", "how warm", "recheck"],
)
def test_what_sheets_say_stands_where_it_is_needed(
    change: tuple[str, str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In the walk, and on the list for the vet."""
    assert said not in page_of([], tmp_path, capsys)
    assert said in page_of([change], tmp_path, capsys)


@pytest.mark.hazard("H45")
def test_a_number_that_always_answers_leaves_no_question_about_the_night(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nor does one that was asked about: nobody answers at night, and that was said."""
    night = 'call = [{ who = "Millrace", phone = "+353 1 555 0134", when = "all hours", always = true }]\ntroubles'
    hours = 'hours = [{ days = ["mon"], opens = "08:30", closes = "18:30" }]'
    day = f'call = [{{ who = "Millrace", phone = "+353 1 555 0134", when = "by day", {hours} }}]\n'
    text = example_plan("juniper").decode()
    start, end = text.index("call = ["), text.index("troubles")
    path = tmp_path / "plan.toml"
    shown = []
    for call in (f"{day}troubles", night, f"nobody_at_night = true\n{day}troubles"):
        path.write_text(text[:start] + call + text[end + len("troubles") :], encoding="utf-8")
        assert main(["plan", str(path), "--on", "2026-11-25"]) == 0
        shown.append(" ".join(capsys.readouterr().out.split()))

    assert ["when no number of the plan answers?" in one for one in shown] == [True, False, False]


@pytest.mark.hazard("H20")
def test_the_vets_own_threshold_answers_the_question_about_food_that_comes_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without it the list asks."""
    question = "When should we call about food that comes back?"
    limits = ("said_on = 2026-11-18", "said_on = 2026-11-18\nlimits = { comes_back_times_a_day = 2 }")

    assert question in page_of([], tmp_path, capsys)
    assert question not in page_of([limits], tmp_path, capsys)


@pytest.mark.hazard("H28")
def test_a_blend_told_as_energy_by_volume_needs_no_can(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """1.1 kcal/mL from the clinic: 895 kcal are 813 mL, worked by hand; the batch is what is in the bottle."""
    changes = [
        ('label = { energy = 498, unit = "kcal", per = "can" }', 'label = { energy = 1.1, unit = "kcal", per = "mL" }'),
        (
            'foods = [{ food = "stew", cans = 2 }]\nwater_ml = 160',
            'foods = [{ food = "stew", ml = 1000 }]\nwater_ml = 0',
        ),
        ("measured = { on = 2026-11-24, ml = 935 }", 'measured = "not stated"'),
    ]
    shown = page_of(changes, tmp_path, capsys)

    assert "One batch 1,100 kcal" in shown
    assert "This blend 1.1 kcal/mL" in shown
    assert "Blend a day 813 mL" in shown
