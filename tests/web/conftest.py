"""A household whose screens are looked at in the evening."""

from collections.abc import Iterator

import pytest
import time_machine

from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING


@pytest.fixture
def quarry(db: None) -> Iterator[Household]:
    """Quarry Lane at 19:42, and the clock goes on: presses come one after another."""
    with time_machine.travel(EVENING, tick=True):
        yield quarry_lane(now=EVENING)
