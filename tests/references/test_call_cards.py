"""What print says behind the call cards, read for this project in excerpts and abstracts; no vet has checked it.

msd_emergency: MSD Veterinary Manual, owner's edition, "What to do in a dog or cat emergency".
situations_cannot_wait: Clinician's Brief, five clinical situations that cannot wait.
breheny_2019: Breheny and others, Journal of Veterinary Internal Medicine 33:1306, abstract.
foodsafety_power: FoodSafety.gov, refrigerated food and power outages, as quoted by several public offices.
"""

from datetime import date

import pytest

from fillmark.core.calls.cards import call_cards
from fillmark.core.values.trouble import Trouble
from fillmark.published import calls
from tests.references.rows import row


@pytest.mark.parametrize(
    ("figure", "low", "high"),
    [
        row("CARD1", calls.COMPRESSIONS_PER_MINUTE, 100, 120),
    ],
)
def test_printed_bands(figure, low, high):
    """Copied: exact."""
    assert (figure.low, figure.high) == (low, high)


@pytest.mark.parametrize(
    ("figure", "printed"),
    [
        row("CARD2", calls.DISLODGED_FRACTION, 0.145),
        row("CARD3", calls.KEEPS_COLD_HOURS, 4),
        row("CARD4", calls.TOO_WARM_HOURS, 2),
    ],
)
def test_printed_values(figure, printed):
    """Copied: exact."""
    assert figure.value == printed


@pytest.mark.parametrize(
    ("trouble", "source_id"),
    [
        row("CARD5", Trouble.BREATHING, "msd_emergency"),
        row("CARD6", Trouble.COLLAPSE, "msd_emergency"),
        row("CARD7", Trouble.BLOAT, "situations_cannot_wait"),
        row("CARD8", Trouble.TUBE_CHECK, "breheny_2019"),
        row("CARD9", Trouble.POWER_CUT, "foodsafety_power"),
        row("CARD10", Trouble.COUGH, "kogan_2008"),
        row("CARD11", Trouble.CLOG, "parker_freeman_2013"),
    ],
)
def test_the_card_rests_on_print(trouble, source_id):
    """Each of these cards names the print behind it."""
    card = next(card for card in call_cards(plan=None, on=date(2026, 11, 25)) if card.trouble is trouble)
    assert source_id in {line.printed.source.id for line in card.lines} | {fact.source.id for fact in card.facts}
