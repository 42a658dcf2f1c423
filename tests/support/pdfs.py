"""What a PDF says, read by pypdf."""

import json
from io import BytesIO

import typst
from pypdf import PdfReader


def words(pdf: bytes) -> str:
    """All words of a PDF; where a line breaks is of no matter."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages).split())


def alternatives(pdf: bytes) -> str:
    """What a PDF's structure says in the place of its pictures."""
    reader = PdfReader(BytesIO(pdf))
    parts = (reader.get_object(number) for number in range(1, len(reader.xref[0]) + len(reader.xref_objStm) + 1))
    return "\n".join(str(part["/Alt"]) for part in parts if isinstance(part, dict) and "/Alt" in part)


def a_pdf_of(text: str) -> bytes:
    """A PDF with a text in it, line for line."""
    source = f"#set page(width: 40cm, height: auto)\n#raw(block: true, {json.dumps(text, ensure_ascii=False)})"
    return typst.compile(source.encode())
