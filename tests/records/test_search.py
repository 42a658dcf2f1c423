"""Words are looked for where there can be any, by an index that the database really uses."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from fillmark.core.record.care_entries import Note
from fillmark.core.record.entries import kinds
from fillmark.core.record.session_entries import FillGiven
from fillmark.records.search import WORDLESS_KINDS
from fillmark.services import find, record
from tests.support.builders import NOON, SEVEN, Home, an_entry

NO_WORDS = {"kind", "session", "step", "fill", "ml", "total_ml", "fills"}


def test_a_kind_without_words_holds_none_but_its_reason() -> None:
    """A kind that gains a field for words leaves this list, or its words are never found."""
    fields = {kind: set(kinds()[kind].model_fields) - NO_WORDS for kind in WORDLESS_KINDS}

    assert all(left <= {"reason"} for left in fields.values()), fields


@pytest.mark.django_db
def test_words_are_found_in_notes_and_in_reasons_and_a_kind_by_its_name(home: Home) -> None:
    """In any case of letters; the newest first."""
    note = Note(text="Thunder all night.")
    fill = FillGiven(session=SEVEN, fill=1, ml=60, reason="The vet said so, for the thunder.")
    other = FillGiven(session=SEVEN, fill=2, ml=60)
    for payload in (note, fill, other):
        entry = an_entry(payload, animal_id=home.animal_id)
        record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=NOON)

    def found(words: str) -> list[object]:
        return [one.kept.entry.payload for one in find.find_entries(**home.ids, words=words).entries]

    assert found("THUNDER") == [fill, note]
    assert found("fill given") == [other, fill]
    assert found("earthquake") == []


@pytest.mark.django_db
@pytest.mark.skipif("connection.vendor != 'sqlite'", reason="PostgreSQL reads a table of three rows whole")
def test_the_search_reads_its_indexes(home: Home) -> None:
    """The newest entries in the order of theirs, without sorting the record; words by the index of those that may."""
    for words, index in (("", "entry_by_day_and_id"), ("thunder", "entry_with_words")):
        with CaptureQueriesContext(connection) as asked:
            find.find_entries(**home.ids, words=words)
        with connection.cursor() as cursor:
            cursor.execute(f"EXPLAIN QUERY PLAN {asked.captured_queries[0]['sql']}")
            plan = [row[3] for row in cursor.fetchall()]
        assert any(index in step for step in plan), plan
        assert not any("TEMP B-TREE" in step for step in plan), plan
