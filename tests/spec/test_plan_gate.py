"""What a household may count on before a plan holds: whatever is known to be dangerous is asked first."""

from pathlib import Path

import pytest

from fillmark.cli.main import main
from fillmark.examples import example_plan

CANNOT, NEEDS, MEANT, ASK = "THIS PLAN CANNOT HOLD", "NEEDS A WORD OF THE VET", "IS THIS MEANT?", "ASK THE VET"
TITLES = (CANNOT, NEEDS, MEANT, ASK)
LADDER = "energy = { factor = 1.5 }\nladder = { starts_on = %s, percent = [50, 75, 100] }"


def held(nutrient: str, amount: float, unit: str) -> str:
    """One line of a label, as a plan writes it."""
    return f'{{ nutrient = "{nutrient}", amount = {amount}, unit = "{unit}", per = "1,000 kcal" }}'


SLIPS = [
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
        [
            ("meals_per_day = 4", "meals_per_day = 1"),
            ('["07:00", "11:30", "15:00", "20:00"]', '["07:00"]'),
            ("meal_gap_hours = 3", "meal_gap_hours = 24"),
        ],
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
        marks=pytest.mark.hazard("H35"),
    ),
    pytest.param(
        "juniper",
        [("on = 2026-11-18, kg", "on = 2027-11-18, kg")],
        MEANT,
        "still to come",
        id="a weight of next year",
        marks=pytest.mark.hazard("H35"),
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
]


def findings(
    name: str, slips: list[tuple[str, str]], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> dict[str, str]:
    """What `fillmark plan` says about an example with slips, by the title that it stands under."""
    text = example_plan(name).decode()
    for written, slip in slips:
        assert written in text
        text = text.replace(written, slip, 1)
    path = tmp_path / "plan.toml"
    path.write_text(text, encoding="utf-8")
    main(["plan", str(path), "--on", "2026-11-25"])
    lines, under, found = capsys.readouterr().out.splitlines(), "", dict.fromkeys(TITLES, "")
    for line in lines:
        under = line if line in TITLES else under if line else ""
        if under:
            found[under] += " " + line.strip()
    return found


@pytest.mark.parametrize(("name", "slips", "title", "words"), SLIPS)
def test_what_is_dangerous_is_asked_before_the_plan_holds(
    name: str, slips: list[tuple[str, str]], title: str, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By the command that a person runs, and only with the slip."""
    assert words not in findings(name, [], tmp_path, capsys)[title]
    assert words in findings(name, slips, tmp_path, capsys)[title]


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
