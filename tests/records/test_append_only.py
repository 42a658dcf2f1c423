"""What was recorded can be changed by no road: not by the model, not by a query, not by SQL."""

from datetime import timedelta

import pytest
from django.db import DatabaseError, connection, transaction

from fillmark.core.record.care_entries import Note
from fillmark.records import models
from fillmark.services import plans, record
from tests.support.builders import NOON, Home, an_entry

pytestmark = [pytest.mark.django_db, pytest.mark.hazard("H27")]


@pytest.fixture
def written(home: Home) -> Home:
    """A household with one entry and one version of a plan."""
    entry = an_entry(Note(text="slept well"), animal_id=home.animal_id)
    record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=NOON)
    models.PlanVersion(
        **home.ids,
        number=1,
        document="{}",
        effective_from=NOON,
        confirmed_by_id=home.noor,
        vet_words="As discussed.",
        vet_said_on=NOON.date(),
        recorded_at=NOON,
    ).save()
    return home


@pytest.mark.parametrize("model", [models.Entry, models.PlanVersion])
def test_a_row_can_be_neither_saved_again_nor_deleted(written: Home, model: type[models.Unchanging]) -> None:
    """The model refuses."""
    row = model.objects.get()

    with pytest.raises(TypeError, match="append-only"):
        row.save()
    with pytest.raises(TypeError, match="append-only"):
        row.delete()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE records_entry SET payload = '{}'",
        "UPDATE records_entry SET seq = seq + 1",
        "DELETE FROM records_entry",
        "UPDATE records_planversion SET document = '{}'",
        "DELETE FROM records_planversion",
    ],
)
def test_the_database_itself_refuses(written: Home, statement: str) -> None:
    """A trigger stands behind the model, on each kind of database."""
    with pytest.raises(DatabaseError, match="the record is append-only"), transaction.atomic():
        connection.cursor().execute(statement)

    assert models.Entry.objects.get().payload == '{"kind":"note","text":"slept well"}'
    assert models.PlanVersion.objects.get().document == "{}"


@pytest.mark.parametrize("model", [models.Entry, models.PlanVersion])
def test_a_query_that_changes_many_is_refused_too(written: Home, model: type[models.Unchanging]) -> None:
    """The model's guard does not see these; the database's does."""
    with pytest.raises(DatabaseError, match="the record is append-only"), transaction.atomic():
        model.objects.update(recorded_at=NOON + timedelta(days=1))
    with pytest.raises(DatabaseError, match="the record is append-only"), transaction.atomic():
        model.objects.all().delete()


@pytest.mark.skipif("connection.vendor != 'postgresql'")
def test_postgresql_refuses_to_truncate(written: Home) -> None:
    """Truncation passes row triggers by; ours are for statements."""
    with pytest.raises(DatabaseError, match="the record is append-only"), transaction.atomic():
        # No check may be waiting in a transaction that truncates.
        connection.cursor().execute("SET CONSTRAINTS ALL IMMEDIATE; TRUNCATE records_entry CASCADE")


def test_the_migrations_hold_every_table_as_it_is_declared(db: None) -> None:
    """Nothing was declared and left out."""
    from django.core.management import call_command

    call_command("makemigrations", "--check", "--dry-run", verbosity=0)


def test_every_table_with_facts_of_a_household_names_it() -> None:
    """So that no query can mix two homes, and the database can be told to keep them apart."""
    from django.apps import apps

    for model in apps.get_app_config("records").get_models():
        names = {field.name for field in model._meta.get_fields()}
        # a password may be tried for a name that nobody has
        assert model in (models.Household, models.Tries) or "household" in names, model


def test_an_earlier_version_of_the_plan_stays_readable(written: Home) -> None:
    """Yesterday keeps yesterday's plan."""
    assert [plan.number for plan in plans.all_versions(**written.ids)] == [1]
