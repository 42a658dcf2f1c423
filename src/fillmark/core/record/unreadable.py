"""What the record holds and this version cannot read: it is shown as that, and counts for nothing."""

from typing import Any, Literal

from pydantic import model_validator
from pydantic_core import PydanticCustomError

from fillmark.core.values.document import Part


class CannotBeRead(Part):
    """Made by readers alone, in the place of what an older version let in, or a newer one wrote; `was` is its kind."""

    kind: Literal["cannot_be_read"] = "cannot_be_read"
    was: str

    @model_validator(mode="before")
    @classmethod
    def _never_comes_in(cls, _value: Any) -> Any:
        raise PydanticCustomError("cannot_be_read", "a kind that can be written")

    @classmethod
    def of(cls, kind: str) -> "CannotBeRead":
        """In the place of an entry of this kind."""
        return cls.model_construct(kind="cannot_be_read", was=kind)
