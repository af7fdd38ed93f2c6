"""What an operator asks first: does everything that the service stands on hold?"""

from __future__ import annotations

import shutil
import stat
import sys
from collections.abc import Callable
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

from roster.domain.reasons import Level, Reason
from roster.services import jobs
from roster.store import migrating
from roster.store.wiring import wiring

LEAST_FREE_MB = 200
HEARTBEAT_SECONDS = 180


@dataclass(frozen=True)
class Checked:
    """One thing looked at: its name, stop | caution | clear, and the reason."""

    name: str
    level: Level
    reason: Reason


def look() -> list[Checked]:
    """Every check, in order; one that fails to run is a stop of its own."""
    checks: list[tuple[str, Callable[[], tuple[Level, Reason]]]] = [
        ("python", _python),
        ("time zones", _time_zones),
        ("database", _database),
        ("guards", _guards),
        ("files", _files),
        ("keys", _keys),
        ("disk", _disk),
        ("mail", _mail),
        ("jobs", _jobs),
    ]
    return [Checked(name, *_tried(check)) for name, check in checks]


def _tried(check: Callable[[], tuple[Level, Reason]]) -> tuple[Level, Reason]:
    try:
        return check()
    except Exception as error:  # noqa: BLE001 - a check that breaks is what the operator must see
        return Level.STOP, Reason("check_broke", {"why": f"{type(error).__name__}: {error}"[:200]})


def _python() -> tuple[Level, Reason]:
    facts = {"version": ".".join(str(n) for n in sys.version_info[:3])}
    good = sys.version_info[:2] >= (3, 11)
    return (Level.CLEAR if good else Level.STOP), Reason("python_version", facts)


def _time_zones() -> tuple[Level, Reason]:
    return Level.CLEAR, Reason("tzdata_version", {"version": version("tzdata")})


def _database() -> tuple[Level, Reason]:
    there, wanted = migrating.revision(), migrating.head()
    if there != wanted:
        facts = {"there": there or "nothing", "wanted": wanted}
        return Level.STOP, Reason("schema_behind", facts)
    return Level.CLEAR, Reason("schema_at_head", {"revision": wanted})


def _guards() -> tuple[Level, Reason]:
    missing = migrating.guards_missing()
    if missing:
        return Level.STOP, Reason("guards_missing", {"names": ", ".join(sorted(missing))})
    return Level.CLEAR, Reason("guards_stand")


def _files() -> tuple[Level, Reason]:
    folder = wiring().config.files
    folder.mkdir(parents=True, exist_ok=True)
    probe = folder / ".probe"
    probe.write_bytes(b"x")
    probe.unlink()
    return Level.CLEAR, Reason("folder_writable", {"name": str(folder)})


def _keys() -> tuple[Level, Reason]:
    folder = wiring().config.keys
    loose = [p.name for p in sorted(folder.glob("*")) if _open_to_others(p)]
    if loose:
        return Level.STOP, Reason("keys_open_to_others", {"names": ", ".join(loose)})
    return Level.CLEAR, Reason("keys_closed", {"name": str(folder)})


def _open_to_others(path: Path) -> bool:
    return bool(path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO))


def _disk() -> tuple[Level, Reason]:
    free = shutil.disk_usage(wiring().config.instance).free // (1024 * 1024)
    level = Level.CLEAR if free >= LEAST_FREE_MB else Level.STOP
    return level, Reason("disk_free", {"megabytes": free, "least": LEAST_FREE_MB})


def _mail() -> tuple[Level, Reason]:
    if wiring().config.smtp_url is None:
        return Level.CAUTION, Reason("mail_to_folder")
    return Level.CLEAR, Reason("mail_by_smtp")


def _jobs() -> tuple[Level, Reason]:
    age = jobs.heartbeat_age_seconds()
    if age is None:
        return Level.CAUTION, Reason("jobs_never_ran")
    if age > HEARTBEAT_SECONDS:
        return Level.CAUTION, Reason("jobs_silent", {"minutes": int(age // 60)})
    return Level.CLEAR, Reason("jobs_beat", {"seconds": int(age)})


def ready() -> dict[str, Level]:
    """What a load balancer needs: each check by name, without any fact that could be personal."""
    checks = {"database": _database, "guards": _guards, "jobs": _jobs}
    found = {name: _tried(check)[0] for name, check in checks.items()}
    if found["jobs"] is Level.CAUTION:
        found["jobs"] = Level.STOP if not wiring().config.development else Level.CAUTION
    return found
