"""What makes a page cost the same after ten years: what stands is kept, and the search reads as much as it shows."""

import django.db.models.deletion
from django.db import migrations, models

from fillmark.records.search import drop_index, index_words


def _index_words(apps, schema_editor):  # noqa: ARG001
    for statement in index_words(schema_editor.connection.vendor):
        schema_editor.execute(statement)


def _drop_index(apps, schema_editor):  # noqa: ARG001
    for statement in drop_index():
        schema_editor.execute(statement)


def _fill_in(apps, schema_editor):  # noqa: ARG001
    from fillmark.records.standing import rebuild_standing

    for household_id in apps.get_model("records", "Household").objects.values_list("id", flat=True):
        rebuild_standing(household_id=household_id)


class Migration(migrations.Migration):
    dependencies = [
        ("records", "0006_plan_drafts"),
    ]

    operations = [
        migrations.AddField(
            model_name="dayrollup",
            name="touched_seq",
            field=models.BigIntegerField(null=True),
        ),
        migrations.RemoveIndex(
            model_name="entry",
            name="entry_by_day",
        ),
        migrations.AddIndex(
            model_name="entry",
            index=models.Index(fields=["animal", "day", "id"], name="entry_by_day_and_id"),
        ),
        migrations.RunPython(_index_words, _drop_index),
        migrations.CreateModel(
            name="Standing",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("entry_id", models.UUIDField()),
                ("kind", models.CharField(max_length=40)),
                ("until", models.DateField()),
                (
                    "animal",
                    models.ForeignKey(db_index=False, on_delete=django.db.models.deletion.PROTECT, to="records.animal"),
                ),
                (
                    "household",
                    models.ForeignKey(
                        db_index=False, on_delete=django.db.models.deletion.PROTECT, to="records.household"
                    ),
                ),
            ],
            options={
                "indexes": [models.Index(fields=["animal", "kind", "until"], name="standing_by_kind")],
                "constraints": [models.UniqueConstraint(fields=("animal", "entry_id"), name="standing_once")],
            },
        ),
        migrations.RunPython(_fill_in, migrations.RunPython.noop),
    ]
