"""Sleeping breathing of healthy dogs, Research in Veterinary Science 93:965.

Rishniw and others, 2012. Here: abstract; 3 of 114 healthy dogs ever passed 30 a minute. No row of the list is from it;
the threshold is copied.
Rows in printed order; no clinician has checked them.
"""

from fillmark.core.food.energy import Species
from fillmark.core.watch.vital_signs import Call, breathing


def test_a_dog_over_thirty():
    """Copied threshold: at 30 nothing is raised, over it the vet is called today."""
    assert breathing(species=Species.DOG, per_minute=30).value is Call.NOT_RAISED
    assert breathing(species=Species.DOG, per_minute=31).value is Call.TODAY
