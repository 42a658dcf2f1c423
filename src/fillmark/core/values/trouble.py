"""What can go wrong at the animal's side, and which of it stops feeding until someone has cleared it."""

from enum import StrEnum


class Trouble(StrEnum):
    """One kind of trouble, in the order in which a person in a hurry looks for it."""

    BREATHING = "breathing"
    COLLAPSE = "collapse"
    BLOAT = "bloat"
    FIT = "fit"
    GUMS = "gums"
    COUGH = "cough"
    TUBE_OUT = "tube-out"
    TUBE_CHECK = "tube-check"
    CHEWED = "chewed-tube"
    LEAK = "leak"
    VOMITING = "vomiting"
    BLOOD = "blood"
    TOO_MUCH = "too-much"
    TWICE = "given-twice"
    WRONG = "wrong-one"
    HOT = "hot-food"
    FEVER = "fever"
    CLOG = "clog"
    SITE = "red-site"
    DIARRHEA = "diarrhea"
    POWER_CUT = "power-cut"
    UNREACHABLE = "unreachable"

    @property
    def words(self) -> str:
        """The trouble as a person says it."""
        return _WORDS[self]

    @property
    def locks_feeding(self) -> bool:
        """Whether nothing goes through the tube from now on until a person with the right has cleared it."""
        return self not in _FEEDING_GOES_ON


_WORDS = {
    Trouble.BREATHING: "Fast or hard breathing",
    Trouble.COLLAPSE: "Collapsed, or hard to wake",
    Trouble.BLOAT: "Tight, swollen belly, or retching with nothing coming up",
    Trouble.FIT: "A fit",
    Trouble.GUMS: "Pale, white, blue or deep red gums",
    Trouble.COUGH: "Cough or gag in a feed",
    Trouble.TUBE_OUT: "The tube is out",
    Trouble.TUBE_CHECK: "The tube has moved, or its check failed",
    Trouble.CHEWED: "The tube is chewed or cut",
    Trouble.LEAK: "Food or fluid leaks beside the tube",
    Trouble.VOMITING: "Vomiting, or food came back",
    Trouble.BLOOD: "Blood",
    Trouble.TOO_MUCH: "Too much, or too fast",
    Trouble.TWICE: "Given twice",
    Trouble.WRONG: "Wrong medicine or wrong animal",
    Trouble.HOT: "The food was too hot",
    Trouble.FEVER: "Fever, or it feels hot",
    Trouble.CLOG: "The tube is blocked",
    Trouble.SITE: "The site is red, swollen or sore",
    Trouble.DIARRHEA: "Diarrhea",
    Trouble.POWER_CUT: "Power cut",
    Trouble.UNREACHABLE: "A sitter cannot reach the owner",
}
# A blocked tube holds itself shut, and its own steps go through it; fever, a sore site and diarrhea are asked about
# before the next meal; the last two are no trouble of the animal's.
_FEEDING_GOES_ON = frozenset(
    {Trouble.CLOG, Trouble.FEVER, Trouble.SITE, Trouble.DIARRHEA, Trouble.POWER_CUT, Trouble.UNREACHABLE}
)
