"""Use cases of import: look over a spreadsheet, take it in whole or not at all, take it back."""

from __future__ import annotations

import hashlib
import time
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from roster.domain.errors import BadInput, NotFound, RuleBroken
from roster.domain.import_columns import Columns, ImportKind, matched
from roster.domain.people import Actor
from roster.domain.reasons import Fact, Reason
from roster.files.kept import Kept
from roster.files.sheets import Sheet, read_sheet
from roster.services import import_completions, import_people, import_postcodes
from roster.services.access import require_coordinator
from roster.services.clearance import no_collector
from roster.services.import_rows import Outcome, Plan, RowLook
from roster.services.people import today_in
from roster.store.exchange import Batch, BatchRow
from roster.store.registry import Store
from roster.store.transaction import read, write
from roster.store.wiring import wiring
from roster.words import say, word

Look = Callable[[Store, Sequence[tuple[int, Sequence[Any]]], Columns], Plan]
LOOKS: Mapping[ImportKind, Look] = {
    ImportKind.PEOPLE: import_people.look,
    ImportKind.COMPLETIONS: import_completions.look,
    ImportKind.POSTCODES: import_postcodes.look,
}
TRIAL_SECONDS = 24 * 3600
LINES_SHOWN = 10


@dataclass(frozen=True)
class DryRun:
    """What an import would do, row by row; nothing was changed."""

    kind: ImportKind
    file_name: str
    sha256: str
    looks: tuple[RowLook, ...]
    ignored: tuple[str, ...]

    @property
    def counts(self) -> dict[str, int]:
        """How many rows are new, changed, unchanged, refused."""
        found = Counter(look.outcome for look in self.looks)
        return {outcome.value: found[outcome] for outcome in Outcome}

    @property
    def can_be_taken_in(self) -> bool:
        """Whether no row is refused and there is something to do."""
        counts = self.counts
        return counts["refused"] == 0 and counts["new"] + counts["changed"] > 0


def look_over(actor: Actor, kind: ImportKind, name: str, content: bytes) -> DryRun:
    """What the file would do, row by row. BadInput if it cannot be read as such a table."""
    sheet, columns = _opened(kind, name, content)

    def body(store: Store) -> DryRun:
        _only_coordinator(store, actor)
        plan = LOOKS[kind](store, sheet.rows, columns)
        return DryRun(
            kind, name, hashlib.sha256(content).hexdigest(), tuple(plan.looks), columns.ignored
        )

    return read(body)


def take_in(
    actor: Actor, kind: ImportKind, name: str, content: bytes, operation: UUID | str | None = None
) -> int:
    """Take in every row or none; gives the number of the batch. BadInput names the bad rows."""
    sheet, columns = _opened(kind, name, content)

    def body(store: Store) -> int:
        require_coordinator(store)
        plan = LOOKS[kind](store, sheet.rows, columns)
        _refuse_bad_rows(name, plan.looks)
        counts = Counter(look.outcome for look in plan.looks)
        if not counts[Outcome.NEW] + counts[Outcome.CHANGED]:
            raise RuleBroken([Reason("import_nothing_new")])
        digest = hashlib.sha256(content).hexdigest()
        batch = store.exchange.add_batch(kind.value, name[:200], digest, len(plan.looks))
        plan.apply(store, batch)
        told = {"kind": kind.value, "file": name[:200], "rows": len(plan.looks)}
        told |= {"new": counts[Outcome.NEW], "changed": counts[Outcome.CHANGED]}
        store.unit.note("imported", "batch", batch, after=told)
        return batch

    with no_collector():
        return write(body, actor=actor, operation=operation)


def undo(actor: Actor, batch: int, operation: UUID | str | None = None) -> int:
    """Take a batch back whole; gives how many rows. RuleBroken if something was built on it."""

    def body(store: Store) -> int:
        require_coordinator(store)
        found = store.exchange.batch(batch)
        if found is None:
            raise NotFound("batch", batch)
        if not store.exchange.mark_undone(batch):
            raise RuleBroken([Reason("batch_undone", {"batch": batch})])
        rows = store.exchange.batch_rows(batch)
        if found.kind == ImportKind.PEOPLE:
            _undo_people(store, batch, rows)
        elif found.kind == ImportKind.COMPLETIONS:
            _undo_completions(store, rows)
        else:
            raise RuleBroken([Reason("batch_not_undoable", {"kind": found.kind})])
        store.unit.note("took_back", "batch", batch, after={"rows": len(rows)})
        return len(rows)

    with no_collector():
        return write(body, actor=actor, operation=operation)


def batches(actor: Actor, limit: int = 20) -> list[Batch]:
    """The latest imports, newest first."""

    def body(store: Store) -> list[Batch]:
        _only_coordinator(store, actor)
        return store.exchange.batches(limit)

    return read(body)


def keep_trial(content: bytes) -> str:
    """Keep a file between the trial and the word to take it in, a day at most; its fingerprint."""
    trials = _trials()
    for name in list(trials.all()):
        path = trials.path(name)
        if path.stat().st_mtime < time.time() - TRIAL_SECONDS:
            path.unlink(missing_ok=True)
    return trials.keep(content)


def kept_trial(sha256: str) -> bytes:
    """The file of a trial. BadInput if it is gone."""
    try:
        return _trials().read(sha256)
    except (OSError, ValueError):
        raise BadInput("file", "", Reason("import_file_gone")) from None


def forget_trial(sha256: str) -> None:
    """Do not keep the file of a trial any longer."""
    _trials().path(sha256).unlink(missing_ok=True)


def _trials() -> Kept:
    return Kept(wiring().config.files / "import-trials")


def _opened(kind: ImportKind, name: str, content: bytes) -> tuple[Sheet, Columns]:
    sheet = read_sheet(name, content)
    if not sheet.rows:
        raise BadInput("file", name, Reason("file_empty", {"name": name[:80]}))
    return sheet, matched(kind, sheet.headings)


def _only_coordinator(store: Store, actor: Actor) -> None:
    store.unit.actor = actor
    require_coordinator(store)


def _refuse_bad_rows(name: str, looks: Sequence[RowLook]) -> None:
    bad = [look for look in looks if look.outcome is Outcome.REFUSED]
    if not bad:
        return
    lines = [str(look.line) for look in bad[:LINES_SHOWN]]
    more = ["..."] if len(bad) > LINES_SHOWN else []
    facts: dict[str, Fact] = {
        "n": len(bad),
        "total": len(looks),
        "rows": ", ".join([*lines, *more]),
        "first": told(bad[0]),
    }
    raise BadInput("file", name, Reason("import_rows_refused", facts))


def told(look: RowLook) -> str:
    """Why a row is refused, in words, with the column's name before it."""
    said = say(look.reason).text if look.reason else ""
    return f"{word('column', look.column)}: {said}" if look.column else said


def _undo_people(store: Store, batch: int, rows: Sequence[BatchRow]) -> None:
    added = [row.row_id for row in rows if row.act == "new"]
    changed = [(row, _days(row.before or {})) for row in rows if row.act == "changed"]
    now = store.exchange.on_record([row.row_id for row, _ in changed])
    built = store.exchange.built_on(added)
    for row, kept in changed:
        record = now.get(row.row_id)
        if record is None or any(getattr(record, k) != v for k, v in kept["after"].items()):
            built.append(row.row_id)
    if built:
        names = store.people.names(built[:1])
        facts: dict[str, Fact] = {"batch": batch, "n": len(built), "name": names[built[0]]}
        raise RuleBroken([Reason("batch_built_on", facts)])
    today = today_in(store)
    store.held.replace(added, [])
    store.exchange.take_back_people(added)
    for row, kept in changed:
        import_people.change(store, row.row_id, kept["before"], today)
        store.unit.note("changed", "person", row.row_id, before=kept["after"], after=kept["before"])
    import_people.refresh(store, sorted({r.root for r in now.values()}), today)


def _days(kept: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """The values before and after, with days as days again."""
    return {
        side: {
            name: date.fromisoformat(value) if name.endswith("_on") and value else value
            for name, value in kept.get(side, {}).items()
        }
        for side in ("before", "after")
    }


def _undo_completions(store: Store, rows: Sequence[BatchRow]) -> None:
    people = store.exchange.people_of_completions([row.row_id for row in rows])
    store.exchange.end_completions([row.row_id for row in rows], "import taken back")
    ended = [row.before["row"] for row in rows if row.before]
    store.exchange.restore_completions(ended)
    import_people.refresh(store, people, today_in(store))
