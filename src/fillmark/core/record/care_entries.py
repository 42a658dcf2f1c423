"""What is written beside sessions and medicines: trouble, weights, food by mouth, batches, notes."""

from typing import Annotated, Literal
from uuid import UUID

from pydantic import (
    Field,
    model_validator,
)
from pydantic_core import PydanticCustomError

from fillmark.core.plan.foods import Food
from fillmark.core.record.fields import (
    MOST_CANS,
    MOST_FOOD_G,
    MOST_ML,
    EntryId,
    Label,
    MadeDay,
    Ml,
    SessionId,
    SheetDay,
    Unknown,
)
from fillmark.core.values.document import Id, Part, Words
from fillmark.core.values.trouble import Trouble
from fillmark.published.flow import FLOW_TEST_SYRINGE_ML
from fillmark.published.input_limits import WEIGHT_LIMITS_KG


class FeedingLocked(Part):
    """Something is wrong, and nothing goes through the tube until a person with the right has cleared it."""

    kind: Literal["feeding_locked"] = "feeding_locked"
    trouble: Annotated[Trouble, Field(strict=False)]
    session: SessionId | None = None
    words: Words | None = None

    @model_validator(mode="after")
    def _locks(self) -> "FeedingLocked":
        if not self.trouble.locks_feeding:
            raise PydanticCustomError("trouble", "a trouble that locks feeding, or the kind trouble_seen")
        return self


class FeedingCleared(Part):
    """The vet said how to go on: these locks hold no more."""

    kind: Literal["feeding_cleared"] = "feeding_cleared"
    locks: Annotated[tuple[EntryId, ...], Field(min_length=1, max_length=20, strict=False)]
    who: Label
    vet_words: Words


class TroubleSeen(Part):
    """Something is wrong that does not lock feeding."""

    kind: Literal["trouble_seen"] = "trouble_seen"
    trouble: Annotated[Trouble, Field(strict=False)]
    session: SessionId | None = None
    words: Words | None = None


class Weighed(Part):
    """The animal was weighed [kg], on which scale, before or after its meal; `checked` after a jump: weighed again."""

    kind: Literal["weight"] = "weight"
    weight_kg: Annotated[float, Field(ge=WEIGHT_LIMITS_KG.low, le=WEIGHT_LIMITS_KG.high, strict=True)]
    scale: Label | None = None
    meal: Literal["before", "after"] | None = None
    checked: Literal[True] | None = None


class Drank(Part):
    """Water that the animal took by mouth, from a bowl or a hand [mL]."""

    kind: Literal["drank"] = "drank"
    ml: Ml | Unknown


class Ate(Part):
    """Food that the animal ate by mouth [g]; `food` is its id in the plan, as it comes out of the can."""

    kind: Literal["ate"] = "ate"
    food: Id
    g: Annotated[float, Field(gt=0, le=MOST_FOOD_G, strict=True)] | Unknown


class FlowTested(Part):
    """A flow test of one batch: what was left in a full 10 mL syringe after 10 seconds. Its level is worked out.

    Attributes:
        foods: The foods of the batch, by their ids in the plan.
        food_g: How much of them went in, together [g].
        water_ml: Water stirred in [mL].
        left_ml: What was left [mL].
        has_flowed: Whether anything came out at all.
        sieved: It went through a sieve before the test.
        frozen: It was frozen and thawed before the test.
        batch: What is written on the jar.
        made_on: The household's day the batch was made, or thawed; the day of the test where nobody said.
    """

    kind: Literal["flow_test"] = "flow_test"
    foods: Annotated[tuple[Id, ...], Field(min_length=1, max_length=40, strict=False)]
    food_g: Annotated[float, Field(gt=0, le=MOST_FOOD_G, strict=True)]
    water_ml: Ml
    left_ml: Annotated[float, Field(ge=0, le=FLOW_TEST_SYRINGE_ML.value, strict=True)]
    has_flowed: bool = True
    sieved: bool
    frozen: bool
    batch: Label | None = None
    made_on: MadeDay | None = None

    @model_validator(mode="after")
    def _consistent(self) -> "FlowTested":
        if not self.has_flowed and self.left_ml < FLOW_TEST_SYRINGE_ML.value:
            raise PydanticCustomError("left_ml", "a full syringe left where nothing flowed")
        return self


class MadeFood(Part):
    """How much of a food went into a batch: cans, grams, or mL of what comes blended already."""

    food: Id
    cans: Annotated[float, Field(gt=0, le=MOST_CANS, strict=True)] | None = None
    g: Annotated[float, Field(gt=0, le=MOST_FOOD_G, strict=True)] | None = None
    ml: Annotated[float, Field(gt=0, le=MOST_ML, strict=True)] | None = None


class BatchMade(Part):
    """A batch as it was really made: what went in, and what a jug or a scale showed of it.

    Attributes:
        foods: What went in.
        water_ml: Water stirred in [mL].
        ml: The whole batch in a jug [mL]; or
        batch_g: the whole batch on a scale [g], with
        sample_ml: a syringe of it [mL], and
        sample_g: what that weighed, without the syringe [g].
        batch: What is written on the jar.
        made_on: The household's day it was made, or thawed.
    """

    kind: Literal["batch_made"] = "batch_made"
    foods: Annotated[tuple[MadeFood, ...], Field(min_length=1, max_length=40, strict=False)]
    water_ml: Ml
    ml: Annotated[float, Field(gt=0, le=MOST_ML, strict=True)] | None = None
    batch_g: Annotated[float, Field(gt=0, le=MOST_FOOD_G, strict=True)] | None = None
    sample_ml: Annotated[float, Field(gt=0, le=MOST_ML, strict=True)] | None = None
    sample_g: Annotated[float, Field(gt=0, le=MOST_FOOD_G, strict=True)] | None = None
    batch: Label | None = None
    made_on: MadeDay

    @model_validator(mode="after")
    def _one_way(self) -> "BatchMade":
        weighed = [self.batch_g, self.sample_ml, self.sample_g]
        if 0 < weighed.count(None) < len(weighed) or (self.ml is not None and None not in weighed):
            raise PydanticCustomError("ml", "ml alone, or batch_g with sample_ml and sample_g, or neither")
        if any([one.cans, one.g, one.ml].count(None) != 2 for one in self.foods):
            raise PydanticCustomError("foods", "one of cans, g and ml for each food")
        return self


class BatchChosen(Part):
    """The meal is fed from this batch from now on.

    Attributes:
        batch: What is written on the jar; none where nothing is.
        made_on: The household's day it was made, or thawed.
        reason: Why a lead gives it although it is too thick, or past its last day.
    """

    kind: Literal["batch_chosen"] = "batch_chosen"
    session: SessionId
    batch: Label | None = None
    made_on: MadeDay
    reason: Words | None = None


class FoodKept(Part):
    """A food that the household has on hand, as its label prints it. Correcting the entry corrects the label."""

    kind: Literal["food_kept"] = "food_kept"
    food: Food


class SheetPrinted(Part):
    """A week chart to write on was printed: which version of the plan it shows, and for which days."""

    kind: Literal["sheet_printed"] = "sheet_printed"
    version: Annotated[int, Field(ge=1, le=1_000_000)]
    first_on: SheetDay
    last_on: SheetDay


class SheetThrownAway(Part):
    """The printed sheet of an older version is thrown away: nobody can go by it any more."""

    kind: Literal["sheet_thrown_away"] = "sheet_thrown_away"
    version: Annotated[int, Field(ge=1, le=1_000_000)]


class Note(Part):
    """Anything worth writing down."""

    kind: Literal["note"] = "note"
    text: Words


class PhotoTaken(Part):
    """A photo, kept beside the record by its id; `about` is the entry it belongs to, if it belongs to one."""

    kind: Literal["photo_taken"] = "photo_taken"
    photo: UUID
    about: EntryId | None = None
    words: Words | None = None
