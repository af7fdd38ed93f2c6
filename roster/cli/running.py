"""Running the service: upgrade, backup, restore, doctor, config, verify, journal verify."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import Any

import click
from flask.cli import with_appcontext

from roster.cli.answers import answer, json_flag, reason_object
from roster.config import explained
from roster.domain.reasons import Level
from roster.services import doctor, upkeep, verification
from roster.store.wiring import wiring


@click.command()
@json_flag
@with_appcontext
def upgrade(as_json: bool) -> int:
    """Back up, bring the database to this release, make guards, compare what is derived."""
    done = upkeep.upgrade()
    found = upkeep.verify(verification.CHECKS)
    lines = [f"schema {done['from'] or 'nothing'} -> {done['to']}"]
    if done["backup"]:
        lines.append(f"backup before: {done['backup']}")
    lines.append("everything agrees" if found.holds else "verify finds differences: run verify")
    return answer(found.holds, done | asdict(found), lines=lines, as_json=as_json)


@click.command()
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@json_flag
@with_appcontext
def backup(file: Path, as_json: bool) -> int:
    """Write database and kept files to FILE (sealed when ROSTER_BACKUP_KEY is set)."""
    done = upkeep.backup(file)
    sealed = "sealed" if done.sealed else "not sealed: set ROSTER_BACKUP_KEY to seal it"
    lines = [f"{sum(done.rows.values())} rows and {done.files} files in {file}, {sealed}"]
    return answer(True, asdict(done), lines=lines, as_json=as_json)


@click.command()
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--replace", is_flag=True, help="Put it in place of what the database holds.")
@json_flag
@with_appcontext
def restore(file: Path, replace: bool, as_json: bool) -> int:
    """Put a backup into an empty database and check that everything agrees."""
    done = upkeep.restore(file, replace=replace)
    found = upkeep.verify(verification.CHECKS)
    agrees = "everything agrees" if found.holds else "verify finds differences: run verify"
    lines = [f"{sum(done.rows.values())} rows, {done.files} files, as of {done.made_at}", agrees]
    return answer(found.holds, asdict(done) | asdict(found), lines=lines, as_json=as_json)


@click.command("doctor")
@json_flag
@with_appcontext
def look_over(as_json: bool) -> int:
    """Say what does not hold on this machine, and the remedy."""
    found = doctor.look()
    told = [{"name": c.name, "level": c.level, **reason_object(c.reason)} for c in found]
    lines = [f"{t['level']:8}{t['name']}: {t['text']} {t['remedy'] or ''}".rstrip() for t in told]
    good = all(c.level is not Level.STOP for c in found)
    return answer(good, told, lines=lines, as_json=as_json)


@click.command("config")
@json_flag
@with_appcontext
def settings(as_json: bool) -> int:
    """Show every setting, its value (secrets masked) and where it comes from."""
    told = explained(wiring().config)
    lines = [f"{t['name']:22}{t['value'] or '-'}  ({t['from']})" for t in told]
    return answer(None, told, lines=lines, as_json=as_json)


def _verified(found: upkeep.Verified, as_json: bool) -> int:
    lines = [
        f"{d.what} {d.object_id}: kept {d.kept}, counted {d.counted}" for d in found.differences
    ]
    lines += [f"journal row {f.seq}: {f.kind} does not hold" for f in found.chain]
    lines += [f"guard missing: {name}" for name in found.guards_missing]
    return answer(found.holds, asdict(found), lines=lines or ["everything agrees"], as_json=as_json)


@click.command()
@json_flag
@with_appcontext
def verify(as_json: bool) -> int:
    """Compare everything derived with what it is derived from; differences are printed."""
    return _verified(upkeep.verify(verification.CHECKS), as_json)


@click.group()
def journal() -> None:
    """The journal of who changed what."""


@journal.command("verify")
@json_flag
@with_appcontext
def journal_verify(as_json: bool) -> int:
    """Check the chain of the journal from its first row to its head."""
    length, faults = upkeep.journal_verify()
    result: dict[str, Any] = {"rows": length, "faults": [asdict(f) for f in faults]}
    lines = [f"{length} rows, {len(faults)} faults"]
    lines += [f"row {f.seq}: {f.kind} does not hold" for f in faults]
    return answer(not faults, result, lines=lines, as_json=as_json)


COMMANDS: list[click.Command] = [upgrade, backup, restore, look_over, settings, verify, journal]
