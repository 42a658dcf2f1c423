"""From values to a PDF: a template of ours, and everything else as data, never as markup.

Set with the packaged font only, so that a sheet looks the same on every machine; tagged, so that it can be read aloud.
"""

import json
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Literal

import fontpkg_noto_sans
import typst

PaperSize = Literal["a4", "us-letter"]
_LETTER_ZONES = ("America/", "US/", "Canada/")


def paper_size(time_zone: str) -> PaperSize:
    """The paper people have at home, by where they live."""
    return "us-letter" if time_zone.startswith(_LETTER_ZONES) else "a4"


def typeset(*, template: str, values: dict[str, object]) -> bytes:
    """A PDF from a template of this package.

    It follows PDF/UA-1 (ISO 14289-1); only where a text holds a letter that no font here has is the standard given up
    and not the sheet.

    Args:
        template: The name of the template, without its ending.
        values: What the template shows, in JSON's own types.
    """
    source = files(__package__).joinpath(f"{template}.typ").read_bytes()
    inputs = {"values": json.dumps(values, ensure_ascii=False)}
    try:
        return _compile(source, inputs, is_for_all=True)
    except typst.TypstError as error:
        if "could not be displayed" not in str(error):
            raise
        return _compile(source, inputs, is_for_all=False)


@cache
def _fonts() -> typst.Fonts:
    folder = Path(fontpkg_noto_sans.__file__).parent / "files"
    return typst.Fonts(include_system_fonts=False, font_paths=[str(folder)])


def _compile(source: bytes, inputs: dict[str, str], *, is_for_all: bool) -> bytes:
    return typst.compile(
        source, font_paths=_fonts(), sys_inputs=inputs, format="pdf", pdf_standards=["ua-1"] if is_for_all else []
    )
