"""What the database itself refuses: changing or deleting what was recorded, by whatever road."""

TABLES = ("records_entry", "records_planversion")


def forbid_changes(vendor: str) -> list[str]:
    """The statements that set the guard up, for "sqlite" or "postgresql"."""
    if vendor == "sqlite":
        return [
            f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, 'the record is append-only'); END"
            for table in TABLES
            for verb in ("UPDATE", "DELETE")
        ]
    function = (
        "CREATE OR REPLACE FUNCTION records_append_only() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION 'the record is append-only' USING ERRCODE = 'integrity_constraint_violation'; END $$"
    )
    return [
        function,
        *(
            f"CREATE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            f"FOR EACH STATEMENT EXECUTE FUNCTION records_append_only()"
            for table in TABLES
        ),
    ]


def allow_changes(vendor: str) -> list[str]:
    """The statements that take the guard away, for undoing the migration and for emptying a test database."""
    if vendor == "sqlite":
        return [f"DROP TRIGGER IF EXISTS {table}_no_{verb}" for table in TABLES for verb in ("update", "delete")]
    return [f"DROP TRIGGER IF EXISTS {table}_append_only ON {table}" for table in TABLES]
