"""Runs every part of the tests, side by side, and says loudly what could not be run.

Starts a PostgreSQL of its own in a temporary folder where it finds one (never as root), finds the
system's Chromium, installs the calendar parsers for Node where there is one. With CI=true a part
that could not be run, or a skipped test, is a failure.
"""

import os
import pwd
import shutil
import socket
import subprocess
import sys
import tempfile
import threading
import time
import xml.etree.ElementTree as ElementTree
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PYTHON = sys.executable
COVERED = ("roster/domain/*", "roster/planning/*", "roster/services/*")
LEAST = 95
LONG_MINUTES = 13


def postgres_folder():
    """The folder of the newest PostgreSQL's programs, or None."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda p: int(p.parts[4]))
    on_path = shutil.which("initdb")
    paths = [p.parent for p in found] + ([Path(on_path).resolve().parent] if on_path else [])
    return paths[-1] if paths else None


def somebody():
    """Whom to run PostgreSQL as: nobody else unless we are root."""
    if os.geteuid() != 0:
        return {}
    for name in ("postgres", "nobody"):
        try:
            entry = pwd.getpwnam(name)
        except KeyError:
            continue
        return {"user": entry.pw_uid, "group": entry.pw_gid, "extra_groups": []}
    return None


def free_port():
    """A port that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@contextmanager
def postgres(missing):
    """The address of a PostgreSQL for the tests, or None with the reason added to `missing`."""
    given = os.environ.get("ROSTER_TEST_POSTGRES")
    programs, who = postgres_folder(), somebody()
    if given:
        yield given
        return
    if programs is None or who is None:
        missing.append(
            "PostgreSQL tests: no PostgreSQL found (Debian: sudo apt install postgresql)"
        )
        yield None
        return
    folder = Path(tempfile.mkdtemp(prefix="roster-pg-"))
    if who:
        os.chown(folder, who["user"], who["group"])
    try:
        yield start(programs, folder, who)
    except subprocess.CalledProcessError as error:
        missing.append(f"PostgreSQL tests: it would not start ({error.stderr[-300:]!r})")
        yield None
    finally:
        subprocess.run(
            [programs / "pg_ctl", "-D", folder / "data", "-m", "immediate", "stop"],
            capture_output=True,
            cwd=folder,
            **who,
        )
        shutil.rmtree(folder, ignore_errors=True)


def start(programs, folder, who):
    """Start a server that listens on this machine only; gives its address."""
    port = free_port()
    run = {"check": True, "capture_output": True, "text": True, "cwd": folder, **who}
    environment = {**os.environ, "LC_ALL": "C.UTF-8"}
    subprocess.run(
        [programs / "initdb", "-D", folder / "data", "-U", "roster", "-A", "trust", "-E", "UTF8"],
        env=environment,
        **run,
    )
    options = (
        f"-p {port} -k {folder} -h 127.0.0.1 -c fsync=off -c full_page_writes=off "
        "-c max_connections=200"
    )
    quiet = {k: v for k, v in run.items() if k != "capture_output"}
    subprocess.run(
        [
            programs / "pg_ctl",
            "-D",
            folder / "data",
            "-o",
            options,
            "-l",
            folder / "log",
            "-w",
            "start",
        ],
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        **quiet,
    )
    return f"postgresql://roster@127.0.0.1:{port}/postgres"


def chromium(missing):
    """The system's Chromium, or None with the reason added to `missing`."""
    named = os.environ.get("ROSTER_CHROMIUM")
    for name in [named] if named else ["chromium", "chromium-browser", "google-chrome"]:
        found = shutil.which(name)
        if found:
            return found
    missing.append(
        "browser tests: chromium not found (Debian: sudo apt install chromium; "
        "or name one in ROSTER_CHROMIUM)"
    )
    return None


def node_parsers(missing):
    """Install the calendar parsers and the accessibility checker that run in Node."""
    if not (shutil.which("node") and shutil.which("npm")):
        missing.append("second calendar parsers: node not found (Debian: sudo apt install nodejs)")
        return
    lock, kept = ROOT / "tests/package-lock.json", ROOT / "tests/node_modules/.package-lock.json"
    if kept.exists() and kept.stat().st_mtime >= lock.stat().st_mtime:
        return
    done = subprocess.run(
        ["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund"],
        cwd=ROOT / "tests",
        capture_output=True,
        text=True,
    )
    if done.returncode:
        missing.append(
            f"second calendar parsers: npm could not install them ({done.stderr[-200:]!r})"
        )


class Part(threading.Thread):
    """One run of pytest with its marks, after another part of the same lane."""

    def __init__(self, name, words, environment):
        super().__init__(name=name)
        self.words, self.environment = words, environment
        self.report = Path(tempfile.mkstemp(suffix=".xml")[1])
        self.code, self.seconds, self.said = 0, 0.0, ""

    def run(self):
        began = time.monotonic()
        done = subprocess.run(
            [*self.words, f"--junitxml={self.report}"],
            cwd=ROOT,
            text=True,
            env=self.environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
        )
        self.code, self.said = done.returncode, done.stdout
        self.seconds = time.monotonic() - began
        print(
            f"\n===== {self.name}: {self.seconds:.0f} s, exit {self.code} =====\n{self.said}",
            flush=True,
        )

    def counts(self):
        """Passed, failed, and the reasons of the skipped."""
        try:
            cases = list(ElementTree.parse(self.report).iter("testcase"))  # noqa: S314 - our own file
        except (ElementTree.ParseError, OSError):
            return 0, 1, []
        skipped = [
            c.find("skipped").get("message", "") for c in cases if c.find("skipped") is not None
        ]
        failed = sum(c.find("failure") is not None or c.find("error") is not None for c in cases)
        return len(cases) - failed - len(skipped), failed, skipped


def lane(parts):
    """Run parts one after another."""
    for part in parts:
        part.start()
        part.join()


def coverage_of_rules():
    """Whether the rules and use cases are covered as they must be."""
    subprocess.run([PYTHON, "-m", "coverage", "combine", "--quiet"], cwd=ROOT, capture_output=True)
    done = subprocess.run(
        [
            PYTHON,
            "-m",
            "coverage",
            "report",
            f"--include={','.join(COVERED)}",
            f"--fail-under={LEAST}",
        ],
        cwd=ROOT,
        text=True,
        capture_output=True,
    )
    print(
        f"\n===== coverage of rules and use cases, at least {LEAST} % =====\n"
        f"{done.stdout}{done.stderr}",
        flush=True,
    )
    return done.returncode == 0


def parts_of(address, browser):
    """Two lanes of about the same length: rules and pages on SQLite; the planner, then the rest.

    Coverage is taken where rules and use cases run on SQLite; the other parts run without it.
    """
    environment = dict(os.environ)
    # Children of the tests start many times; without kept bytecode each start compiles everything.
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    if address:
        environment["ROSTER_TEST_POSTGRES"] = address
    if browser:
        environment["ROSTER_CHROMIUM"] = browser
    pytest = [PYTHON, "-m", "pytest", "-q", "-m"]
    covered = [PYTHON, "-m", "coverage", "run", "-p", "-m", *pytest[2:]]
    covered.append("not postgres and not browser")
    first = [
        Part("rules and pages, SQLite", [*covered, "--ignore=tests/planning"], environment),
    ]
    second = [Part("season planner", [*covered, "tests/planning"], environment)]
    if address:
        second.append(Part("PostgreSQL", [*pytest, "postgres and not browser"], environment))
    if browser:
        second.append(Part("real browser", [*pytest, "browser"], environment))
    return first, second


def closing(parts, missing, began):
    """Print what was run and what was not; the exit code."""
    passed = failed = 0
    skipped = []
    for part in parts:
        counted = part.counts()
        passed, failed = passed + counted[0], failed + counted[1]
        skipped += counted[2]
        print(
            f"{part.name}: {part.seconds:.0f} s, {counted[0]} passed, {counted[1]} failed, "
            f"{len(counted[2])} skipped"
        )
    for reason in sorted(set(skipped)):
        missing.append(f"{skipped.count(reason)} skipped: {reason}")
    for line in missing:
        print(f"!!!!! NOT RUN: {line}")
    minutes = (time.monotonic() - began) / 60
    print(f"all parts: {minutes:.1f} minutes")
    if minutes > LONG_MINUTES:
        print(f"!!!!! this took more than {LONG_MINUTES} minutes: make it shorter")
    print(f"{passed} passed, {failed} failed, {len(skipped)} skipped", flush=True)
    wrong = failed or any(part.code not in (0, 5) for part in parts) or not passed
    if os.environ.get("CI") == "true" and missing:
        print("With CI=true nothing may be left out.", flush=True)
        wrong = True
    return 1 if wrong else 0


def main():
    """Run all parts in two lanes."""
    began = time.monotonic()
    missing = []
    browser = chromium(missing)
    node_parsers(missing)
    subprocess.run([PYTHON, "-m", "coverage", "erase"], cwd=ROOT, capture_output=True)
    with postgres(missing) as address:
        first, second = parts_of(address, browser)
        other = threading.Thread(target=lane, args=(second,))
        other.start()
        lane(first)
        other.join()
    covered = coverage_of_rules()
    code = closing(first + second, missing, began)
    return code if covered else 1


if __name__ == "__main__":
    sys.exit(main())
