"""Triggers that keep what must not change; made again by every upgrade."""

from __future__ import annotations

from sqlalchemy import Connection, Table, inspect, text

from roster.store.base import db

MAY_END = ("ended_at", "ended_seq", "ended_why", "recorded_seq")


def guarded() -> list[Table]:
    """All tables that have a guard, by name."""
    return [t for _, t in sorted(db.metadata.tables.items()) if t.info.get("guard")]


def names(connection: Connection) -> set[str]:
    """The guards that stand in the database now."""
    if connection.dialect.name == "sqlite":
        query = "SELECT name FROM sqlite_master WHERE type='trigger' AND name LIKE 'guard_%'"
    else:
        query = "SELECT tgname FROM pg_trigger WHERE tgname LIKE 'guard_%' AND NOT tgisinternal"
    return set(connection.execute(text(query)).scalars())


def expected() -> set[str]:
    """The guards that should stand."""
    return {f"guard_{t.name}_{act}" for t in guarded() for act in ("update", "delete")}


def drop(connection: Connection) -> None:
    """Take all guards away, for a migration."""
    for name in names(connection):
        table = name.removeprefix("guard_").rsplit("_", 1)[0]
        on = "" if connection.dialect.name == "sqlite" else f' ON "{table}"'
        connection.execute(text(f"DROP TRIGGER IF EXISTS {name}{on}"))


def make(connection: Connection) -> None:
    """Make every guard anew."""
    drop(connection)
    if connection.dialect.name == "postgresql":
        _functions(connection)
    there = set(inspect(connection).get_table_names())
    for table in guarded():
        if table.name not in there:
            continue
        if connection.dialect.name == "sqlite":
            _sqlite(connection, table)
        else:
            _postgres(connection, table)


def _sqlite(connection: Connection, table: Table) -> None:
    name = table.name
    refuse = f"BEGIN SELECT RAISE(ABORT, 'guard: {name} is never changed'); END"
    when = ""
    if table.info["guard"] == "two_times":
        same = [f'OLD."{c.name}" IS NEW."{c.name}"' for c in table.columns if c.name not in MAY_END]
        once = [f'(OLD."{c}" IS NULL OR OLD."{c}" IS NEW."{c}")' for c in MAY_END]
        when = f"WHEN NOT ({' AND '.join(same + once)})"
    connection.execute(
        text(f'CREATE TRIGGER guard_{name}_update BEFORE UPDATE ON "{name}" {when} {refuse}')
    )
    connection.execute(
        text(f'CREATE TRIGGER guard_{name}_delete BEFORE DELETE ON "{name}" {refuse}')
    )


def _functions(connection: Connection) -> None:
    listed = ", ".join(f"'{c}'" for c in MAY_END)
    connection.execute(
        text(
            "CREATE OR REPLACE FUNCTION roster_refuse() RETURNS trigger LANGUAGE plpgsql AS $$ "
            "BEGIN RAISE EXCEPTION 'guard: % is never changed', TG_TABLE_NAME; END $$"
        )
    )
    once = " OR ".join(
        f"(to_jsonb(OLD)->>'{c}' IS NOT NULL AND to_jsonb(OLD)->'{c}' <> to_jsonb(NEW)->'{c}')"
        for c in MAY_END
    )
    connection.execute(
        text(
            "CREATE OR REPLACE FUNCTION roster_two_times() RETURNS trigger LANGUAGE plpgsql AS $$ "
            f"BEGIN IF (to_jsonb(OLD) - ARRAY[{listed}]) <> (to_jsonb(NEW) - ARRAY[{listed}]) "
            f"OR {once} THEN RAISE EXCEPTION 'guard: % is never changed', TG_TABLE_NAME; END IF; "
            "RETURN NEW; END $$"
        )
    )


def _postgres(connection: Connection, table: Table) -> None:
    name = table.name
    change = "roster_two_times" if table.info["guard"] == "two_times" else "roster_refuse"
    for act, function in (("update", change), ("delete", "roster_refuse")):
        connection.execute(
            text(
                f'CREATE TRIGGER guard_{name}_{act} BEFORE {act.upper()} ON "{name}" '
                f"FOR EACH ROW EXECUTE FUNCTION {function}()"
            )
        )
