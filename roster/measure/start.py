"""How much a start costs beside importing the two frameworks that it cannot do without."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping

from roster.config import ROOT
from roster.measure.lines import Line
from roster.measure.pairs import Pair, interleaved

AT_MOST = 1.6
LATE = ("highspy", "numpy", "reportlab", "PIL", "xlsxwriter", "python_calamine", "segno")
FRAMEWORKS = "import flask, flask_sqlalchemy"
SERVICE = "from roster.app import create_app; create_app()"
RULES = """
import pkgutil, importlib, roster.domain
for module in pkgutil.iter_modules(roster.domain.__path__):
    importlib.import_module(f"roster.domain.{module.name}")
"""
# Babel is a tool of the tests; a service installed from requirements.txt does not have it.
TIMED = (
    "import sys, time\nsys.modules['babel'] = None\n"
    "began = time.process_time()\n{code}\nprint(time.process_time() - began)"
)


def _child(code: str, around: Mapping[str, str]) -> str:
    words = [sys.executable, "-c", code]
    done = subprocess.run(  # noqa: S603 - our own interpreter and code
        words, env=dict(around), cwd=ROOT, capture_output=True, text=True, check=True
    )
    return done.stdout


def environment(folder: str) -> dict[str, str]:
    """A database of its own, and compiled code kept as an installed service keeps it."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("ROSTER_", "PYTHONDONT"))}
    return kept | {
        "PYTHONPYCACHEPREFIX": os.path.join(folder, "compiled"),
        "ROSTER_DATABASE_URL": f"sqlite:///{folder}/roster.sqlite",
        "ROSTER_SECRET_KEY": "a key of thirty-two bytes or more, for measuring only",
    }


def loaded_too_early(around: Mapping[str, str]) -> list[str]:
    """What a start, or the rules alone, load though they should not."""
    tell = "\nimport sys; print(*[m for m in {names!r} if m in sys.modules])"
    early = _child(SERVICE + tell.format(names=LATE), around).split()
    frameworks = ("flask", "sqlalchemy", "flask_sqlalchemy", "werkzeug")
    early += [
        f"roster.domain:{name}"
        for name in _child(RULES + tell.format(names=frameworks), around).split()
    ]
    return early


def lines(_people: int) -> Iterator[Line]:
    """One line: CPU of a start by that of importing Flask and Flask-SQLAlchemy."""
    with tempfile.TemporaryDirectory(prefix="roster-measure-") as folder:
        around = environment(folder)
        early = loaded_too_early(around)

        def seconds(code: str) -> float:
            return float(_child(TIMED.format(code=code), around))

        for code in (SERVICE, FRAMEWORKS):
            seconds(code)
        above, below = interleaved(lambda: seconds(SERVICE), lambda: seconds(FRAMEWORKS))
    pair = Pair("start", "sqlite", 1, above, below, at_most=AT_MOST)
    yield pair.line(f"loads {' '.join(early)}" if early else None)
