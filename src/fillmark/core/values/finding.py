"""What a check finds, and how much it weighs."""

from dataclasses import dataclass
from enum import StrEnum

from fillmark.published import Printed


class Weight(StrEnum):
    """How much a finding weighs; the heaviest first.

    What is refused cannot hold. What needs a word of the vet holds with that word written down. What is asked holds
    once a person has said that it is meant. What is open goes on the list for the vet, and holds nothing up.
    """

    REFUSED = "refused"
    NEEDS_VET = "needs a word of the vet"
    ASKED = "asked"
    OPEN = "to ask the vet"
    SAID = "said"


@dataclass(frozen=True, kw_only=True, slots=True)
class Finding:
    """One thing a check has to say about a plan or an order.

    Attributes:
        code: Stable name of the check.
        weight: What it asks of people: from a word of the vet to being read.
        field: The part of the document it is about, as a dotted path ("medicines[2].dose").
        text: What was found and what to do, in sentences.
        blocks: Whether what it is about stays locked until it is answered.
        figures: The published numbers it hangs on.
        about: Which one of several it is about, such as the id of a medicine; empty where there is one only.
        amount: How far it goes, in the unit that the text names: a word of the vet holds up to this much.
    """

    code: str
    weight: Weight
    field: str
    text: str
    blocks: bool = False
    figures: tuple[Printed, ...] = ()
    about: str = ""
    amount: float | None = None

    @property
    def key(self) -> str:
        """What an answer names it by: the same from one version of a plan to the next."""
        return f"{self.code}: {self.about}" if self.about else self.code
