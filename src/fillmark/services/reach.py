"""Whether the record can be reached: asked before the server is asked anything, and after something failed."""

from django.db import DatabaseError

from fillmark.records import verify
from fillmark.records.reach import is_busy, is_out_of_reach

__all__ = ["is_busy", "is_out_of_reach"]


def why_not_ready() -> str:
    """Why nothing can be recorded here now; empty where it can."""
    try:
        return "" if verify.is_up_to_date() else "The tables are older than this version."
    except DatabaseError:
        return "The database does not answer."
