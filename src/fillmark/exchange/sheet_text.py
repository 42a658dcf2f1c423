"""The text of a discharge sheet in a file: as it is, or out of a PDF that has text."""

from io import BytesIO

from pypdf import PdfReader
from pypdf.errors import PyPdfError

from fillmark.core.values.errors import BadPlan

MOST_BYTES = 2_000_000
"""A larger file is no sheet of text [bytes]."""
MOST_PAGES = 20


def read_sheet_file(content: bytes, *, name: str) -> str:
    """The text of a sheet.

    Args:
        content: The file.
        name: What it is called; one that ends in .pdf, or begins as a PDF does, is read as one.
    Raises:
        BadPlan: it is too large, no text, a PDF that cannot be read, or one without text.
    """
    if len(content) > MOST_BYTES:
        raise _refused(f'"{name[:60]}" of {len(content) // 1000} kB', f"at most {MOST_BYTES // 1000} kB")
    if content.startswith(b"%PDF") or name.lower().endswith(".pdf"):
        return _of_a_pdf(content, name)
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise _refused(f'"{name[:60]}", which is not text', "a text, or a PDF with text in it")


def _of_a_pdf(content: bytes, name: str) -> str:
    try:
        reader = PdfReader(BytesIO(content))
        if len(reader.pages) > MOST_PAGES:
            raise _refused(f'"{name[:60]}" of {len(reader.pages)} pages', f"at most {MOST_PAGES} pages")
        text = "\n\n".join(page.extract_text(extraction_mode="layout") for page in reader.pages)
    except (
        PyPdfError,
        ValueError,
        KeyError,
        TypeError,
        AttributeError,
        IndexError,
        RecursionError,
        NotImplementedError,
    ):
        raise _refused(f'"{name[:60]}", a PDF that cannot be read', "a PDF that opens without a password") from None
    if not text.strip():
        raise _refused(f'"{name[:60]}", a PDF without text', "a PDF with text in it; a picture of a sheet has none")
    return text


def _refused(got: str, allowed: str) -> BadPlan:
    return BadPlan(field="sheet", got=got, allowed=allowed, remedy="Copy the text and paste it, or type the pages.")
