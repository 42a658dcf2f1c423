"""Let the database itself refuse to change or delete what was recorded."""

from django.db import migrations

from fillmark.records.append_only import allow_changes, forbid_changes


def _forbid(apps, schema_editor):  # noqa: ARG001
    for statement in forbid_changes(schema_editor.connection.vendor):
        schema_editor.execute(statement)


def _allow(apps, schema_editor):  # noqa: ARG001
    for statement in allow_changes(schema_editor.connection.vendor):
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("records", "0001_first")]
    operations = [migrations.RunPython(_forbid, _allow)]
