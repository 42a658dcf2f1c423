"""Ways of writing a dose that are misread, and what to write instead.

The names are those that the institutes print; what is added for this work is marked as our own choice.
"""

from dataclasses import dataclass

from fillmark.published.figure import Fact, Source
from fillmark.published.sources import FROM_MEMORY, JOINT_COMMISSION, OWN_CHOICE


@dataclass(frozen=True, kw_only=True, slots=True)
class Misread(Fact):
    """A form that is misread.

    Attributes:
        pattern: A regular expression that finds it in running text.
        instead: What to write; the pattern's groups may stand in it as \\1.
        asks: Whether only a person can say what was meant.
    """

    pattern: str
    instead: str
    asks: bool = False


DOSE_UNITS = "mg|mcg|g|mL|kg|kcal|units?|tablets?|capsules?|drops?|puffs?"
"""Units behind which a number is a dose. A tube's length or gauge is none, and keeps its zero."""


def _misread(
    name: str,
    subject: str,
    pattern: str,
    instead: str,
    read_as: str,
    *,
    asks: bool = False,
    source: Source = JOINT_COMMISSION,
) -> Misread:
    return Misread(
        id=f"wording.{name}",
        subject=subject,
        source=source,
        place="list of abbreviations and notations" if source is JOINT_COMMISSION else "the same kind of slip",
        says=f'"{subject}" is {read_as}: write "{instead}".' if "\\" not in instead else f"{subject}: {read_as}.",
        pattern=pattern,
        instead=instead,
        asks=asks,
    )


def _word(*spellings: str) -> str:
    return rf"(?<![\w.])(?:{'|'.join(spellings)})(?![\w])"


MISREAD_FORMS = (
    _misread("cc", "cc", r"(?<=\d)\s?cc\b", " mL", "read as a zero or as u"),
    _misread("ml", "ml", r"(?<=\d)\s?ml\b", " mL", "read as m1"),
    _misread("ug", "µg", r"[µμ]g\b", "mcg", "read as mg"),
    _misread("iu", "IU", _word(r"IU", r"I\.U\."), "units", "read as IV or 10"),
    _misread("u", "U", r"(?<=\d)\s?[Uu](?!\w|\.\w)", " units", "read as a zero or a four"),
    _misread("qd", "QD", _word("QD", "qd", r"Q\.D\.", r"q\.d\."), "daily", "read as QID"),
    _misread("qod", "QOD", _word("QOD", "qod", r"Q\.O\.D\.", r"q\.o\.d\."), "every other day", "read as QD or QID"),
    _misread("od", "OD", _word("OD", r"O\.D\."), "daily", "read as the right eye"),
    _misread(
        "hs", "HS", _word("HS", "hs"), "bedtime (or half-strength): ask", "read as bedtime or half-strength", asks=True
    ),
    _misread("qhs", "qhs", _word("qhs", "QHS"), "at bedtime", "read as every hour"),
    _misread("qn", "qn", _word("qn", "QN"), "nightly", "read as every hour"),
    _misread("per_os", "per os", _word("[Pp]er os"), "by mouth", "read as the left eye"),
    _misread("ss", "ss", _word("ss", "SS"), "one-half (or sliding scale): ask", "read as 55", asks=True),
    _misread("oj", "OJ", _word("OJ"), "orange juice", "read as an eye"),
    _misread(
        "bid", "BID", _word("BID", "bid", r"b\.i\.d\."), "every 12 hours", "for trained readers", source=OWN_CHOICE
    ),
    _misread(
        "tid", "TID", _word("TID", "tid", r"t\.i\.d\."), "every 8 hours", "for trained readers", source=OWN_CHOICE
    ),
    _misread("qid", "QID", _word("QID", "qid", r"q\.i\.d\."), "every 6 hours", "read as QD", source=OWN_CHOICE),
    _misread("sid", "SID", _word("SID", "sid", r"s\.i\.d\."), "daily", "read as BID or 5/D", source=FROM_MEMORY),
    _misread(
        "days", "x3d", r"(?<!\w)[x×]\s?(\d+)\s?d\b", r"for \1 days", "read as doses, not days", source=FROM_MEMORY
    ),
    _misread("lone_point", "A lone point", r"(?<![\w.])\.(\d)", r"0.\1", "it is overlooked, and ten times is read"),
    _misread(
        "trailing_zero",
        "A zero behind the point",
        rf"\b(\d+)(?:(\.\d*[1-9])0+|\.0+)(?=\s?(?:{DOSE_UNITS})\b)",
        r"\1\2",
        "the point is overlooked, and ten times is read",
    ),
    _misread(
        "no_comma",
        "A large number without commas",
        rf"(?<![\d.,])(\d{{1,3}})(\d{{3}})(?=\s?(?:{DOSE_UNITS})\b)",
        r"\1,\2",
        "its zeros are miscounted",
    ),
    _misread(
        "name_run_in",
        "A name that runs into its dose",
        rf"(?<![\w.])([A-Za-z]{{4,}})(?=\d[\d.,]*\s?(?:{DOSE_UNITS})\b)",
        r"\1 ",
        "the last letter is read as a digit",
    ),
    _misread(
        "no_space",
        "A number without a space before its unit",
        rf"(\d)(?=(?:{DOSE_UNITS})\b)",
        r"\1 ",
        "the m is read as a zero",
    ),
)
