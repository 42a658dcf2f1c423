"""What can be wrong with what came in, each kind with a stable code and one clear message.

A message says what came, what is allowed, and what to do, in that order.
"""

from datetime import datetime
from typing import ClassVar
from uuid import UUID


class FillmarkError(Exception):
    """Something a person can mend. `str()` is the whole message.

    Args:
        field: Where it stands, as a dotted path ("animal.weight_kg").
        got: What came, as the start of a sentence ("A weight of 4500 kg").
        allowed: What is allowed, as a noun phrase ("0.5 kg to 100 kg").
        remedy: What to do, as a whole sentence.

    Attributes:
        also: What else is wrong with the same input, where several things are.
    """

    code: ClassVar[str] = "error"
    exit_code: ClassVar[int] = 2
    also: tuple["FillmarkError", ...] = ()

    def __init__(self, *, field: str, got: str, allowed: str, remedy: str) -> None:
        super().__init__(field, got, allowed, remedy)
        self.field = field
        self.got = got
        self.allowed = allowed
        self.remedy = remedy

    def __str__(self) -> str:
        return f"{self.got}. Allowed: {self.allowed}. {self.remedy}"


class OutOfRange(FillmarkError):
    """A number lies outside what a person can have meant."""

    code = "out-of-range"


class WrongUnit(FillmarkError):
    """A quantity came without a unit, or in one that does not fit here."""

    code = "wrong-unit"


class BadNumber(FillmarkError):
    """A number is written in a way that invites a tenfold slip, or is none."""

    code = "bad-number"


class BadPlan(FillmarkError):
    """A care plan document cannot be used as it stands."""

    code = "bad-plan"


class BadEntry(FillmarkError):
    """An entry for the record cannot be kept as it stands."""

    code = "bad-entry"


class NotRead(FillmarkError):
    """A fault of ours kept an entry from being read; it waits on its device and is tried again."""

    code = "not-read"


class CannotDraw(FillmarkError):
    """No syringe or tablet part this household has comes near enough to the dose."""

    code = "cannot-draw"


class NotStated(FillmarkError):
    """The vet's answer is missing and nothing may be guessed in its place."""

    code = "not-stated"
    exit_code = 3


class NeedsHospital(FillmarkError):
    """This animal is not one to plan for at home."""

    code = "needs-hospital"
    exit_code = 3


class BadHousehold(FillmarkError):
    """Something about a household or its people cannot be kept as it stands."""

    code = "bad-household"


class NotAllowed(FillmarkError):
    """This person may not do this."""

    code = "not-allowed"


class TooManyTries(FillmarkError):
    """Somebody tries names and passwords faster than a person does.

    Attributes:
        seconds: How long to wait before the next one.
    """

    code = "too-many-tries"

    def __init__(self, *, seconds: int) -> None:
        super().__init__(
            field="password",
            got="Many tries to sign in with a password",
            allowed=f"the next one in {seconds} second{'' if seconds == 1 else 's'}",
            remedy="Wait, and write name and password again, or ask a lead of your household for a link.",
        )
        self.seconds = seconds


class AlreadyRecorded(FillmarkError):
    """What is pressed now stands in the record already, or the session has gone on meanwhile."""

    code = "already-recorded"


class HeldByAnother(FillmarkError):
    """Another person has this session in hand."""

    code = "held-by-another"


class FeedingIsLocked(FillmarkError):
    """A trouble has locked feeding, and nobody has cleared it yet."""

    code = "feeding-locked"


class BatchNotToBeGiven(FillmarkError):
    """The batch that the meal is fed from is too thick, or past its last day."""

    code = "batch-not-to-be-given"


class NeedsVet(FillmarkError):
    """This is more than the vet allows, and only the vet's own word in the plan makes it otherwise."""

    code = "needs-vet"


class NeedsReason(FillmarkError):
    """This can be kept only with a typed reason: what the record or the plan says speaks against it.

    Attributes:
        despite: The givings that it stands close to; the press that comes with a reason names them.
        free_at: From when on no reason is needed, where waiting helps.
    """

    code = "needs-reason"

    def __init__(
        self,
        *,
        field: str,
        got: str,
        allowed: str,
        remedy: str,
        despite: tuple[UUID, ...] = (),
        free_at: datetime | None = None,
    ) -> None:
        super().__init__(field=field, got=got, allowed=allowed, remedy=remedy)
        self.despite = despite
        self.free_at = free_at


class BadPhoto(FillmarkError):
    """A file cannot be kept as a photo."""

    code = "bad-photo"


class CannotServe(FillmarkError):
    """The app cannot be reached in the way that was asked for."""

    code = "cannot-serve"


class BadArchive(FillmarkError):
    """A file cannot be used as an archive of this household's record."""

    code = "bad-archive"
