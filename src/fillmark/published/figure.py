"""What a number from print looks like: its value or band, its unit, and where it stands."""

from dataclasses import dataclass
from enum import StrEnum


class Basis(StrEnum):
    """How a number came to be in this project."""

    PUBLISHED = "published"
    PRACTICE = "common practice, no source"
    MEMORY = "from memory"
    OWN = "our own choice"


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """One publication, or the practice, memory or choice that stands in for one."""

    id: str
    title: str
    issuer: str
    year: int | None
    where: str
    basis: Basis = Basis.PUBLISHED


@dataclass(frozen=True, kw_only=True, slots=True)
class Figure:
    """One number, with its unit and the place it was read from.

    `says` tells in our own words what the source says, for a person who asks why.
    """

    id: str
    value: float
    unit: str
    source: Source
    place: str
    says: str

    @property
    def basis(self) -> Basis:
        return self.source.basis


@dataclass(frozen=True, kw_only=True, slots=True)
class Band:
    """A printed range, both ends included, with its unit and the place it was read from."""

    id: str
    low: float
    high: float
    unit: str
    source: Source
    place: str
    says: str

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise ValueError(f"band {self.id}: low {self.low} is above high {self.high}")

    @property
    def basis(self) -> Basis:
        return self.source.basis

    def holds(self, value: float) -> bool:
        """Whether the value lies inside the band, ends included."""
        return self.low <= value <= self.high


@dataclass(frozen=True, kw_only=True, slots=True)
class Fact:
    """Something print says about a thing, without a number: "this medicine needs the stomach".

    Attributes:
        subject: What it is about, by the name it is looked up with.
        says: What the source says, in our own words, as a sentence.
    """

    id: str
    subject: str
    source: Source
    place: str
    says: str

    @property
    def basis(self) -> Basis:
        return self.source.basis


Printed = Figure | Band | Fact
"""Anything that can be named as the origin of a number or of a question."""
