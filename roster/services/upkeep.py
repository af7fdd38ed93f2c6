"""Keeping the service: backup, restore, upgrade, verify."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from roster.domain.errors import BadInput, RuleBroken
from roster.domain.people import system
from roster.domain.reasons import Reason
from roster.files.archive import ArchiveReader, ArchiveWriter, BadArchive
from roster.files.kept import Kept
from roster.services import clock
from roster.store import dump, migrating
from roster.store.consistency import Difference, half_ended, taken_differences
from roster.store.journal import ChainFault
from roster.store.transaction import read, write
from roster.store.wiring import wiring

FORMAT = "roster-backup-1"
SHOWN = 50


@dataclass(frozen=True)
class Archived:
    """What a backup holds: its path, schema revision, rows by table, number of kept files."""

    path: str
    revision: str
    rows: dict[str, int]
    files: int
    sealed: bool
    made_at: str = ""


@dataclass(frozen=True)
class Verified:
    """Differences found, faults of the journal's chain, guards that are missing."""

    differences: list[Difference] = field(default_factory=list)
    chain: list[ChainFault] = field(default_factory=list)
    guards_missing: list[str] = field(default_factory=list)

    @property
    def holds(self) -> bool:
        """Whether everything agrees."""
        return not (self.differences or self.chain or self.guards_missing)


def backup(path: Path) -> Archived:
    """Database and kept files as of one moment, in one file; keys only when it is sealed.

    Raises BadInput when the folder cannot be written.
    """
    config = wiring().config
    kept, rows, names = Kept(config.files), dict[str, int](), list(Kept(config.files).all())
    made_at = clock.now().isoformat()
    facts: dict[str, Any] = {"format": FORMAT, "revision": migrating.revision(), "made_at": made_at}
    facts |= {"files": len(names), "rows": rows}
    try:
        with ArchiveWriter(path, facts, config.backup_key) as archive, dump.Snapshot() as snapshot:
            for table in dump.tables():
                counted = _Counted(snapshot.lines(table))
                archive.add(f"tables/{table.name}.jsonl", iter(counted))
                rows[table.name] = counted.lines - 1
            for sha256 in names:
                archive.add(f"files/{sha256}", iter([kept.read(sha256)]))
            if config.backup_key is not None and config.keys.is_dir():
                for key in sorted(p for p in config.keys.iterdir() if p.is_file()):
                    archive.add(f"keys/{key.name}", iter([key.read_bytes()]))
            archive.facts["rows"] = rows
    except OSError as error:
        raise BadInput(
            "FILE", str(path), Reason("cannot_write", {"why": error.strerror or str(error)})
        ) from error
    sealed = config.backup_key is not None
    write(
        lambda s: s.unit.note("back up", "database", "all", after={"rows": sum(rows.values())}),
        actor=system("cli"),
    )
    return Archived(str(path), str(facts["revision"]), rows, len(names), sealed, made_at)


class _Counted:
    def __init__(self, lines: Any) -> None:
        self.source, self.lines = lines, 0

    def __iter__(self) -> Any:
        for line in self.source:
            self.lines += 1
            yield line


def restore(path: Path, *, replace: bool = False) -> Archived:
    """Put a backup into an empty database (or, with `replace`, in place of what is there).

    Raises BadInput for a file that is no whole backup, RuleBroken for a database in use.
    """
    config = wiring().config
    if not path.is_file():
        raise BadInput("FILE", str(path), Reason("no_such_file", {"name": str(path)}))
    try:
        with ArchiveReader(path, config.backup_key) as archive:
            _check_fits(path, archive)
            if not replace and not dump.is_empty():
                raise RuleBroken([Reason("database_in_use")])
            rows = _load(archive)
            files = _load_files(archive, config.files, config.keys)
            facts = archive.facts
    except BadArchive as error:
        raise BadInput("FILE", str(path), Reason("bad_backup", {"why": str(error)})) from error
    write(
        lambda s: s.unit.note("restore", "database", "all", after={"from": facts["made_at"]}),
        actor=system("cli"),
    )
    sealed = config.backup_key is not None
    return Archived(str(path), facts["revision"], rows, files, sealed, facts["made_at"])


def _check_fits(path: Path, archive: ArchiveReader) -> None:
    if archive.facts.get("format") != FORMAT:
        raise BadArchive("it is not of the format " + FORMAT)
    here = migrating.head()
    if migrating.revision() is None:
        migrating.upgrade()
    if archive.facts["revision"] != here:
        facts = {"theirs": str(archive.facts["revision"]), "ours": here}
        raise BadInput("FILE", str(path), Reason("backup_of_other_release", facts))


def _load(archive: ArchiveReader) -> dict[str, int]:
    rows = {}
    with dump.Loading() as loading:
        for table in dump.tables():
            name = f"tables/{table.name}.jsonl"
            if name in archive.facts["members"]:
                rows[table.name] = loading.load(table, archive.lines(name))
        if rows != archive.facts["rows"]:
            raise BadArchive("the number of rows differs from what the backup says of itself")
        loading.settle()
    return rows


def _load_files(archive: ArchiveReader, folder: Path, keys: Path) -> int:
    kept, count = Kept(folder), 0
    for name in archive.names("files"):
        kept.keep(b"".join(archive.lines(name)))
        count += 1
    for name in archive.names("keys"):
        keys.mkdir(parents=True, exist_ok=True)
        target = keys / Path(name).name
        target.touch(mode=0o600)
        target.write_bytes(b"".join(archive.lines(name)))
    return count


def verify(more: list[Callable[[], list[Difference]]] | None = None) -> Verified:
    """Compare what is derived with what it is derived from, the chain, and the guards."""
    found = read(lambda s: taken_differences(s.unit) + half_ended(s.unit))
    for check in more or []:
        found += check()
    chain = read(lambda s: s.journal.faults())
    return Verified(found[:SHOWN], chain[:SHOWN], sorted(migrating.guards_missing()))


def journal_verify() -> tuple[int, list[ChainFault]]:
    """The length of the journal and every place where its chain does not hold."""
    return read(lambda s: (s.journal.length(), s.journal.faults()))


def upgrade() -> dict[str, Any]:
    """Backup (if anything stands there), migrate, make guards, verify; what was done."""
    before, after = migrating.revision(), migrating.head()
    done: dict[str, Any] = {"from": before, "to": after, "backup": None}
    if before is not None and before != after and not dump.is_empty():
        name = f"before-{after}-{clock.machine_now():%Y%m%dT%H%M%SZ}.backup"
        done["backup"] = asdict(backup(wiring().config.instance / "backups" / name))["path"]
    migrating.upgrade()
    missing = migrating.guards_missing()
    if missing:
        raise RuleBroken([Reason("guards_missing", {"names": ", ".join(sorted(missing))})])
    done["migrated"] = before != after
    return done
