"""CPU seconds of an act: of this process, and of the database server's work for it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from pathlib import Path

from sqlalchemy import text

from roster.store.base import db

LEAST_SECONDS = 0.02
"""An act is repeated until a sample is this long, so that the clock's own steps do not show."""
_NANO = 1e-9


class Meter:
    """Counts CPU of this process and of the processes of a database server named by number.

    Where the server runs on another machine (`sees_server` False) only this process is counted.
    """

    def __init__(self, server: Iterable[int] = ()) -> None:
        paths = [Path(f"/proc/{number}/schedstat") for number in server]
        self.sees_server = all(path.exists() for path in paths)
        self._paths = paths if self.sees_server else []

    @classmethod
    def here(cls) -> Meter:
        """A meter for the database of the application context at hand, whose connections stand."""
        if db.engine.dialect.name != "postgresql":
            return cls()
        asked = text(
            "SELECT pid FROM pg_stat_activity"
            " WHERE datname = current_database() AND backend_type = 'client backend'"
        )
        with db.engine.connect() as connection:
            return cls(connection.execute(asked).scalars().all())

    def seconds(self) -> float:
        """CPU seconds so far."""
        server = sum(int(path.read_text().split()[0]) for path in self._paths)
        return time.process_time() + server * _NANO

    def of(self, act: Callable[[], object]) -> float:
        """CPU seconds of one run of an act."""
        began = self.seconds()
        act()
        return self.seconds() - began

    def side(self, act: Callable[[], object]) -> Callable[[], float]:
        """A side of a pair: runs the act so often that it can be timed; seconds of one run.

        The act is run here twice, so that both sides are warm.
        """
        act()
        once = max(self.of(act), 1e-6)
        times = max(1, round(LEAST_SECONDS / once))

        def many() -> None:
            for _ in range(times):
                act()

        return lambda: self.of(many) / times
