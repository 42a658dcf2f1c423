"""A text as it stands once every misread form in print is written as print says."""

import re

from fillmark.published.wording import MISREAD_FORMS


def write_plainly(text: str) -> str:
    """What only a person can answer stays, with its question behind."""
    for form in MISREAD_FORMS:
        text = re.sub(form.pattern, rf"\g<0> [{form.instead}]" if form.asks else form.instead, text)
    return text
