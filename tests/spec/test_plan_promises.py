"""What a household may count on when it asks for the day of a plan."""

from pathlib import Path

import pytest

from fillmark.cli.main import main
from fillmark.examples import example_plan


@pytest.mark.hazard("H8")
@pytest.mark.parametrize(
    ("name", "written", "slip", "said"),
    [
        ("juniper", "ml = 935", "ml = 300", "300 mL came out, 944 mL went in"),
        ("juniper", "ml = 935", "ml = 1935", "1,935 mL came out, 944 mL went in"),
        ("sorrel", "batch_g = 349", "batch_g = 149", "149 g came out, 352 g went in"),
    ],
)
def test_a_batch_far_from_what_went_into_it_is_asked_about(
    name: str, written: str, slip: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Read off the jug or the scale wrongly, every meal would be thinner or thicker than shown."""
    plan = tmp_path / "plan.toml"
    for text, is_asked in (
        (example_plan(name), False),
        (example_plan(name).replace(written.encode(), slip.encode()), True),
    ):
        plan.write_bytes(text)
        assert main(["plan", str(plan)]) == 0
        assert (said in capsys.readouterr().out) is is_asked
