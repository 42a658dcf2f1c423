"""Page on bloat with a twisted stomach.

A veterinary emergency hospital. Here: signs.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.watch.vital_signs import Call, bloat
from tests.references.rows import row


@pytest.mark.parametrize(
    "signs", [row("MED220", ["retching with nothing coming up", "tight swollen belly", "drooling", "restless"])]
)
def test_signs_of_bloat(signs):
    """Copied signs: an emergency now, all together and each of the two hard ones alone."""
    assert bloat(signs=signs).value is Call.NOW
    assert all(bloat(signs=[sign]).value is Call.NOW for sign in signs[:2])
