"""What stands in for a publication where a number has none."""

from fillmark.published.figure import Basis, Source

OWN_CHOICE = Source(
    id="own_choice",
    title="Our own choice",
    issuer="Fillmark",
    year=None,
    where="the decision records",
    basis=Basis.OWN,
)
COMMON_PRACTICE = Source(
    id="common_practice",
    title="Common practice, no source",
    issuer="people who do this work",
    year=None,
    where="no print",
    basis=Basis.PRACTICE,
)
FROM_MEMORY = Source(
    id="from_memory",
    title="From memory, not yet checked in print",
    issuer="Fillmark",
    year=None,
    where="no print",
    basis=Basis.MEMORY,
)
