"""Which entries may hold words that a person looks for: the others need not be read."""

WORDLESS_KINDS = (
    *("session_started", "session_taken", "session_paused", "session_resumed", "session_ended"),
    *("step_done", "fill_given", "flush_given", "meal_ended", "came_back", "drank"),
)
"""Kinds that hold amounts and names of steps, and words only as the reason of some."""


def may_hold_words(vendor: str) -> str:
    """The condition, as the index of these entries has it, letter by letter: else the database does not use that.

    Args:
        vendor: "sqlite" or "postgresql".
    """
    place = "strpos" if vendor == "postgresql" else "instr"
    kinds = ", ".join(f"'{kind}'" for kind in WORDLESS_KINDS)
    return f"(kind NOT IN ({kinds}) OR {place}(payload, '\"reason\"') > 0)"


def index_words(vendor: str) -> list[str]:
    """The statements that make the index, in the order in which the search goes back.

    Args:
        vendor: "sqlite" or "postgresql".
    """
    return [f"CREATE INDEX entry_with_words ON records_entry (animal_id, day, id) WHERE {may_hold_words(vendor)}"]


def drop_index() -> list[str]:
    """The statements that take it away."""
    return ["DROP INDEX entry_with_words"]
