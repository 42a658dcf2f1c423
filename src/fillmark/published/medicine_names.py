"""What a medicine is called: spellings, salts and mixes in print, and which words are another substance.

A name is read by whole words. Where it is not known here, nothing about the medicine is looked up, and that is said.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from fillmark.published.figure import Fact, Source
from fillmark.published.sources import (
    AJP_2019,
    ANZCA_2016,
    BMJ_1983,
    CO_AMOXICLAV_SPC,
    FLAGYL_S,
    FROM_MEMORY,
    NIOSH_SAMPLE,
    NURSING_DRUG_GUIDE,
    TGA_2016,
    TORASEMIDE_PAGE,
    USP_VETERINARY,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class MedicineName(Fact):
    """One name in print; `subject` is the name.

    Attributes:
        substance: The substance it stands for, as the tables spell it.
        kin: A substance whose warnings hold for this one too, though its doses do not.
        base: Of a salt, the base that its mg may count instead.
    """

    substance: str
    kin: str | None = None
    base: str | None = None


SUBSTANCES = (
    "aluminium hydroxide", "aminophylline", "amlodipine", "amoxicillin", "azathioprine", "azithromycin", "benazepril",
    "bethanechol", "capromorelin", "cephalexin", "chlorambucil", "chloramphenicol", "cisapride", "clavulanate",
    "clindamycin", "cyanocobalamin", "cyclophosphamide", "cyclosporine", "digoxin", "dimenhydrinate",
    "diphenhydramine", "domperidone", "doxycycline", "enalapril", "enrofloxacin", "erythromycin", "esomeprazole",
    "famotidine", "furosemide", "gabapentin", "leflunomide", "levothyroxine", "lomustine", "marbofloxacin",
    "maropitant", "melphalan", "methotrexate", "metoclopramide", "metronidazole", "mirtazapine", "misoprostol",
    "mosapride", "mycophenolate", "nizatidine", "omeprazole", "ondansetron", "phenobarbital", "pimobendan",
    "pradofloxacin", "prednisolone", "prednisone", "prucalopride", "pyridostigmine", "ranitidine", "sildenafil",
    "spironolactone", "sucralfate", "terbutaline", "torsemide",
)  # fmt: skip
"""What the tables of doses and of warnings are about, by the names that they use."""

OTHER_SUBSTANCES = (
    "aluminium carbonate", "aluminium phosphate", "ampicillin", "cefadroxil", "cefalotin", "cefazolin", "cefovecin",
    "cephalothin", "cephazolin", "cycloserine", "dextrothyroxine", "enalaprilat", "hydroxocobalamin", "levamlodipine",
    "liothyronine", "methylcobalamin", "methylphenobarbital", "methylphenobarbitone", "methylprednisolone",
    "pentobarbital",
)  # fmt: skip
"""Substances whose name looks or sounds like one above, and of which no dose is in print here."""

MIXES = {frozenset({"amoxicillin", "clavulanate"}): "amoxicillin-clavulanate"}
"""Mixes that print has doses for, by their parts; of any other mix nothing is in print here."""


def _name(
    name: str, substance: str, what: str, source: Source, place: str, *, kin: str | None = None, base: str | None = None
) -> MedicineName:
    return MedicineName(
        id=f"medicine_name.{name.replace(' ', '_')}",
        subject=name,
        source=source,
        place=place,
        says=f"{name[0].upper()}{name[1:]} is {what}.",
        substance=substance,
        kin=kin,
        base=base,
    )


MEDICINE_NAMES = (
    _name("frusemide", "furosemide", "furosemide, by its former British and Australian name", ANZCA_2016, "table"),
    _name("torasemide", "torsemide", "torsemide, by its international name", TORASEMIDE_PAGE, "names"),
    _name("cefalexin", "cephalexin", "cephalexin, by its international name", ANZCA_2016, "table"),
    _name("thyroxine", "levothyroxine", "levothyroxine, by its former British and Australian name", AJP_2019, "list"),
    _name("amoxycillin", "amoxicillin", "amoxicillin, by its former British and Australian name", TGA_2016, "4.1"),
    _name(
        "co amoxiclav",
        "amoxicillin-clavulanate",
        "amoxicillin with clavulanic acid; 250/125 on its label is 375 mg of both together",
        CO_AMOXICLAV_SPC,
        "composition",
    ),
    _name("clavulanic acid", "clavulanate", "clavulanate", USP_VETERINARY, "amoxicillin and clavulanate"),
    _name("ciclosporin", "cyclosporine", "cyclosporine, by its international name", TGA_2016, "4.1"),
    _name("cyclosporin", "cyclosporine", "cyclosporine, by its former British and Australian name", TGA_2016, "4.1"),
    _name(
        "phenobarbitone", "phenobarbital", "phenobarbital, by its former British and Australian name", TGA_2016, "4.1"
    ),
    _name(
        "aluminium hydroxide", "aluminium hydroxide", "the British spelling of aluminum hydroxide", BMJ_1983, "title"
    ),
    _name(
        "aluminum hydroxide", "aluminium hydroxide", "the American spelling of it", NURSING_DRUG_GUIDE, "its monograph"
    ),
    _name("vitamin b12", "cyanocobalamin", "cyanocobalamin", FROM_MEMORY, "not looked up in a list of names"),
    _name("b12", "cyanocobalamin", "vitamin B12, cyanocobalamin", FROM_MEMORY, "not looked up in a list of names"),
    _name("l thyroxine", "levothyroxine", "levothyroxine", FROM_MEMORY, "looked for and not found in the lists seen"),
    _name("mycophenolate mofetil", "mycophenolate", "the ester of mycophenolate that is given", NIOSH_SAMPLE, "list"),
    _name(
        "mycophenolic acid",
        "mycophenolic acid",
        "another form of mycophenolate: handled with the same care, and dosed otherwise",
        FROM_MEMORY,
        "looked for and not found in the lists seen",
        kin="mycophenolate",
    ),
    _name(
        "metronidazole benzoate",
        "metronidazole benzoate",
        "a salt of metronidazole: 320 mg of it hold 200 mg of metronidazole",
        FLAGYL_S,
        "section 2",
        kin="metronidazole",
        base="metronidazole",
    ),
)
"""Other names of the substances above, each with the print it was read in."""

SALTS = frozenset({
    "acetate", "besilate", "besylate", "citrate", "dihydrate", "fumarate", "hcl", "hemihydrate", "hyclate",
    "hydrochloride", "hydrate", "magnesium", "maleate", "mesylate", "mofetil", "monohydrate", "monohydrochloride",
    "potassium", "sodium", "succinate", "sulfate", "sulphate", "trihydrate",
})  # fmt: skip
"""Words of a label beside the substance: which salt it is. What its mg count is asked elsewhere."""
PLAIN_WORDS = frozenset({
    "a", "as", "bottle", "by", "caps", "capsule", "capsules", "cat", "cats", "chewable", "compounded", "cream",
    "dog", "dogs", "drop", "drops", "ear", "extra", "eye", "food", "for", "g", "gel", "gently", "human", "in",
    "liquid", "mcg", "mg", "mixture", "ml", "mouth", "of", "oil", "ointment", "oral", "paste", "powder", "sachet",
    "sachets", "shake", "solution", "strong", "suspension", "syrup", "tab", "tablet", "tablets", "tabs", "the",
    "tube", "vet", "veterinary", "vial", "vials", "weak",
})  # fmt: skip
"""Words beside a medicine's name that say how it comes, not what it is."""
_JOINING = re.compile(r"\s(?:and|plus|with)\s|[+&/]")
_CHUNK = re.compile(r"[^\W_]+(?:[-\u2010-\u2013][^\W_]+)*")

_BY_WORDS: dict[frozenset[str], str] = {
    frozenset(name.split(" ")): substance
    for name, substance in (
        *((name, name) for name in (*SUBSTANCES, *OTHER_SUBSTANCES)),
        *((one.subject, one.substance) for one in MEDICINE_NAMES),
    )
}
_LONGEST_FIRST = sorted(_BY_WORDS, key=lambda words: (-len(words), sorted(words)))
_WARNED_AS = {one.substance: one.kin for one in MEDICINE_NAMES if one.kin}
_IN_A_MIX = {mix: parts for parts, mix in MIXES.items()}
_BASES = {one.substance: one.base for one in MEDICINE_NAMES if one.base}


@dataclass(frozen=True, kw_only=True, slots=True)
class KnownName:
    """What the words of a medicine's name stand for.

    Attributes:
        substance: What its doses are looked up by; none where no word is known, or where it is a mix not known here.
        parts: What warnings are looked up by: each substance in the name, and its kin.
        base: Of a salt, the base that its mg may count instead; else none.
        unknown: The words that stand for nothing here, as they were written, in small letters.
    """

    substance: str | None
    parts: frozenset[str]
    base: str | None = None
    unknown: tuple[str, ...] = ()


@lru_cache(maxsize=4096)
def read_name(name: str) -> KnownName:
    """What a medicine's name stands for, read by whole words.

    Args:
        name: As on the label or in the order, such as "Frusemide 10 mg/mL oral solution".
    Source:
        medicine_name.*
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    found: set[str] = set()
    unknown: list[str] = []
    has_unknown_part = False
    for part in _JOINING.split(plain):
        words = list(_words(part))
        here, rest = _find_substances(words)
        found |= here
        unknown += rest
        has_unknown_part |= bool(rest) and not here
    warned = {kin for one in found if (kin := _WARNED_AS.get(one))}
    warned.update(*(_IN_A_MIX.get(one, ()) for one in found))
    is_one = len(found) == 1 and not has_unknown_part
    substance = next(iter(found)) if is_one else None if has_unknown_part else MIXES.get(frozenset(found))
    return KnownName(
        substance=substance, parts=frozenset(found | warned), base=_BASES.get(substance or ""), unknown=tuple(unknown)
    )


def _words(text: str) -> Iterator[str]:
    """The words of a text; a word with a hyphen is whole where it is known so, else each side is a word."""
    for chunk in _CHUNK.findall(text):
        pieces = re.split(r"[^\w]", chunk)
        joined = "".join(pieces)
        yield from [joined] if frozenset({joined}) in _BY_WORDS else pieces


def _find_substances(words: list[str]) -> tuple[set[str], list[str]]:
    """What stands in the words, the longest name first, and the words that are left over and say nothing here."""
    found: set[str] = set()
    left = set(words)
    for name in _LONGEST_FIRST:
        if name <= left:
            found.add(_BY_WORDS[name])
            left -= name
    rest = [word for word in words if word in left and not word.isdigit() and word not in SALTS | PLAIN_WORDS]
    return found, rest
