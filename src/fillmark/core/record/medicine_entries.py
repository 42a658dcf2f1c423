"""What is written about medicines: doses, effects, bottles and counts."""

from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Literal, TypeVar
from uuid import UUID

from pydantic import (
    AfterValidator,
    Field,
    model_validator,
)
from pydantic_core import PydanticCustomError

from fillmark.core.orders.shelf_life import Compounded, OpenedAs
from fillmark.core.record.fields import (
    EntryId,
    ExactMg,
    ExactMl,
    FilledDay,
    Label,
    LabelDay,
    Pieces,
    SessionId,
    Unknown,
    printed_strength,
)
from fillmark.core.values.document import Id, Part, Words, refuse
from fillmark.core.values.errors import FillmarkError


def _strength_on_label(text: str) -> str:
    try:
        return printed_strength(text)
    except FillmarkError as error:
        raise refuse(error) from None


_AmountPart = TypeVar("_AmountPart", bound=Part)


def _with_one_amount(part: _AmountPart, ml: Decimal | None, pieces: Decimal | None) -> _AmountPart:
    if (ml is None) == (pieces is None):
        raise PydanticCustomError("amount", "one of ml and pieces")
    return part


class Outcome(StrEnum):
    """What became of one dose."""

    GIVEN = "given"
    PARTIAL = "partial"
    HELD = "held"
    REFUSED = "refused"
    MISSED = "missed"
    CAME_BACK = "came back"
    SPILLED = "spilled"
    NOT_KNOWN = "not known"


class MedicineGiven(Part):
    """What became of one dose of one medicine.

    Attributes:
        dose_mg: The dose the order asked for, exact [mg]; none where the order counts pieces of unknown strength.
        amount: The dose in words ("half a tablet"); needed where there is no dose_mg.
        ml: What was drawn up for it, exact [mL]; none for what is not a liquid.
        given_mg: What went in, exact [mg], where the outcome does not tell: needed for a part, "not known" allowed.
        reason: Why; needed where it was not given as ordered, and for a dose given against a warning.
        despite: The other givings of it that the person saw when the reason was typed: given all the same.
        given_by: Who gave it, where that was told to the writer: what the household calls them.
    """

    kind: Literal["medicine_given"] = "medicine_given"
    session: SessionId | None = None
    medicine: Id
    dose_mg: ExactMg | None = None
    amount: Label | None = None
    ml: ExactMl | None = None
    outcome: Annotated[Outcome, Field(strict=False)]
    given_mg: ExactMg | Unknown | None = None
    reason: Words | None = None
    despite: Annotated[tuple[EntryId, ...], Field(min_length=1, max_length=20, strict=False)] | None = None
    given_by: Label | None = None

    @model_validator(mode="after")
    def _consistent(self) -> "MedicineGiven":
        if (self.outcome is Outcome.PARTIAL) != (self.given_mg is not None):
            raise PydanticCustomError(
                "given_mg", 'given_mg with the outcome "partial" (or "not known"), and with no other'
            )
        if self.outcome in (Outcome.HELD, Outcome.REFUSED, Outcome.MISSED) and self.reason is None:
            raise PydanticCustomError("reason", "a reason with an outcome of held, refused or missed")
        if self.dose_mg is None and self.amount is None:
            raise PydanticCustomError("dose_mg", "the dose in dose_mg, or in words in amount")
        if isinstance(self.given_mg, Decimal) and (self.dose_mg is None or self.given_mg > self.dose_mg):
            raise PydanticCustomError("given_mg", "a part no larger than the dose")
        if self.despite is not None and self.reason is None:
            raise PydanticCustomError("reason", "a reason beside the givings named in despite")
        return self


class Effect(StrEnum):
    """What a medicine that was given for a reason did, as someone saw it."""

    EASED = "eased"
    EASED_A_LITTLE = "eased a little"
    NO_CHANGE = "no change"
    WORSE = "worse"
    NOT_KNOWN = "not known"


class EffectSeen(Part):
    """What a dose did; `of` is the entry that says it was given."""

    kind: Literal["effect_seen"] = "effect_seen"
    of: EntryId
    effect: Annotated[Effect, Field(strict=False)]
    words: Words | None = None


class SecondCheck(Part):
    """A second person has read the syringe, or counted the pieces, without having seen the mark.

    Attributes:
        ml: What the syringe held by their reading, exact [mL].
        pieces: How many tablets, capsules, sachets, vials or drops they counted; 0.5 for a half.
        reader: Who read it, where that is not the person who is signed in: two people share one phone.
        reader_name: What the household calls them.
    """

    kind: Literal["second_check"] = "second_check"
    session: SessionId | None = None
    medicine: Id
    ml: ExactMl | None = None
    pieces: Pieces | None = None
    reader: UUID | None = None
    reader_name: Label | None = None

    @model_validator(mode="after")
    def _one_reading(self) -> "SecondCheck":
        if (self.reader is None) != (self.reader_name is None):
            raise PydanticCustomError("reader", "both reader and reader_name, or neither")
        return _with_one_amount(self, self.ml, self.pieces)


class BottleOpened(Part):
    """A new bottle, box or vial of a medicine is in use from now on.

    Attributes:
        strength: As printed on it: "2 mg/mL", "5 mg/tablet".
        ml: What it held when it was opened, exact [mL].
        pieces: How many pieces it held when it was opened.
        expires_on: The maker's date on the label.
        discard_on: The pharmacy's "do not use after", on the label.
        lot: The lot number on the label.
        filled_on: The day the pharmacy filled or made it, where the label says so.
        keeps_as: What it is, for a last day of use where the label names none.
    """

    kind: Literal["bottle_opened"] = "bottle_opened"
    medicine: Id
    strength: Annotated[Label, AfterValidator(_strength_on_label)]
    ml: ExactMl | None = None
    pieces: Pieces | None = None
    expires_on: LabelDay | None = None
    discard_on: LabelDay | None = None
    filled_on: FilledDay | None = None
    keeps_as: Compounded | OpenedAs | None = None
    lot: Label | None = None

    @model_validator(mode="after")
    def _one_content(self) -> "BottleOpened":
        return _with_one_amount(self, self.ml, self.pieces)


class StrengthConfirmed(Part):
    """A lead has read the new label and what it changes for the hand, and the plan has the new strength.

    Attributes:
        bottle: The entry of the bottle whose label was read.
        old: The strength that the plan had.
        new: The strength that it has now.
    """

    kind: Literal["strength_confirmed"] = "strength_confirmed"
    medicine: Id
    bottle: EntryId
    old: Label | None = None
    new: Label


class StockCounted(Part):
    """Someone has looked at how much is left in a bottle or a box.

    Attributes:
        bottle: The entry of the bottle that was looked at.
        ml: What was in it, exact [mL].
        pieces: How many pieces were in it.
    """

    kind: Literal["stock_counted"] = "stock_counted"
    medicine: Id
    bottle: EntryId
    ml: ExactMl | None = None
    pieces: Pieces | None = None

    @model_validator(mode="after")
    def _one_count(self) -> "StockCounted":
        return _with_one_amount(self, self.ml, self.pieces)
