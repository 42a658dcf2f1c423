"""The publications that numbers in this project were taken from, and the three stand-ins for a publication.

None of these numbers was checked by a clinician for this project: they check arithmetic and agreement with print.
"""

from fillmark.published.sources.feeding import *
from fillmark.published.sources.medicines import *
from fillmark.published.sources.names import *
from fillmark.published.sources.nursing import *
from fillmark.published.sources.stand_ins import *
