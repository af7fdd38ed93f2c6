"""`import KIND FILE`: take in a spreadsheet, or only look; `import undo BATCH` takes it back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click
from flask.cli import with_appcontext

from roster.cli.answers import answer, json_flag, reason_object
from roster.domain.errors import BadInput
from roster.domain.import_columns import ImportKind
from roster.domain.people import system
from roster.domain.reasons import Reason
from roster.services import exchange
from roster.services.import_rows import Outcome, RowLook
from roster.words import word

SHOWN = 20


@click.group("import")
def imports() -> None:
    """Take in people, finished steps or postcodes from CSV or XLSX."""


def _command(kind: ImportKind) -> click.Command:
    @click.command(kind.value)
    @click.argument("file", type=click.Path(path_type=Path))
    @click.option("--dry-run", is_flag=True, help="Only say what each row would do.")
    @json_flag
    @with_appcontext
    def take(file: Path, dry_run: bool, as_json: bool) -> int:
        """Take in FILE, every row or none."""
        content = _content(file)
        found = exchange.look_over(system("cli"), kind, file.name, content)
        result: dict[str, Any] = {"rows": len(found.looks), **found.counts}
        lines = [_counts(found)]
        if dry_run:
            lines += [_line(look) for look in _worth_showing(found.looks)]
            result["refused_rows"] = [_as_object(r) for r in found.looks if r.reason is not None]
            good = found.counts["refused"] == 0
            return answer(good, result, lines=lines, as_json=as_json)
        batch = exchange.take_in(system("cli"), kind, file.name, content)
        lines.append(f"import {batch} done; to take it back: import undo {batch}")
        return answer(True, result | {"batch": batch}, lines=lines, as_json=as_json)

    return take


def _content(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError:
        raise BadInput("file", str(file), Reason("no_such_file", {"name": str(file)})) from None


def _counts(found: exchange.DryRun) -> str:
    told = ", ".join(f"{n} {word('outcome_of_row', o)}" for o, n in found.counts.items())
    return f"{found.file_name}: {told}"


def _worth_showing(looks: tuple[RowLook, ...]) -> list[RowLook]:
    some = [look for look in looks if look.outcome in (Outcome.REFUSED, Outcome.CHANGED)]
    return some[:SHOWN]


def _line(look: RowLook) -> str:
    if look.reason is not None:
        return f"row {look.line}, {look.who or '-'}: {exchange.told(look)}"
    changes = ", ".join(f"{word('column', n)} {a or '-'} -> {b or '-'}" for n, a, b in look.changes)
    return f"row {look.line}, {look.who}: {changes}"


def _as_object(look: RowLook) -> dict[str, Any]:
    assert look.reason is not None  # noqa: S101 - chosen by the caller
    return {
        "row": look.line,
        "who": look.who,
        "column": look.column,
        "reason": reason_object(look.reason),
    }


@imports.command("undo")
@click.argument("batch", type=click.IntRange(min=1))
@json_flag
@with_appcontext
def undo(batch: int, as_json: bool) -> int:
    """Take back the import number BATCH."""
    rows = exchange.undo(system("cli"), batch)
    return answer(True, {"batch": batch, "rows": rows}, lines=[f"{rows} rows taken back"],
                  as_json=as_json)  # fmt: skip


for one in ImportKind:
    imports.add_command(_command(one))

COMMANDS = [imports]
