"""Makes .venv ready, from nothing or from an older one, or says in one sentence why it cannot.

Needs only the standard library. `python .ci/setup.py [--tests]`; exit 0 ready, 2 not.
"""

import hashlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
OLDEST = (3, 11)
ROOM_MB = 700


class Stopped(Exception):
    """The set-up cannot go on; the text says why and what to do."""


def venv_python():
    """The interpreter inside .venv."""
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def check_version(version=sys.version_info):
    """Refuse an interpreter older than the oldest that the service is tried on."""
    if tuple(version[:2]) < OLDEST:
        raise Stopped(
            f"Python {version[0]}.{version[1]} is too old: Seed Muster needs Python 3.11 or newer. "
            "Install it and run make again (make PYTHON=/path/to/python3.11 names one)."
        )


def check_folders(root=ROOT):
    """Refuse a checkout where this user may not write."""
    for folder in (root, root / "instance"):
        try:
            folder.mkdir(exist_ok=True)
            probe = folder / ".probe"
            probe.write_text("x")
            probe.unlink()
        except OSError as error:
            raise Stopped(
                f"{folder} is not writable ({error.strerror}). Give this user the right to write "
                "there, or clone into a folder of your own."
            ) from None


def check_room(free_bytes=None):
    """Refuse to start an installation that the disk cannot hold."""
    free = shutil.disk_usage(ROOT).free if free_bytes is None else free_bytes
    if free < ROOM_MB * 1024 * 1024:
        raise Stopped(
            f"Only {free // (1024 * 1024)} MB are free on this disk and about {ROOM_MB} MB are "
            "needed. Free some space and run make again."
        )


def check_venv_module(uv=None):
    """Refuse a Python whose venv cannot be made (Debian and Ubuntu pack ensurepip apart)."""
    if uv:
        return
    try:
        import ensurepip  # noqa: F401
        import venv  # noqa: F401
    except ImportError:
        raise Stopped(
            "This Python cannot make virtual environments (ensurepip is missing). On Debian or "
            "Ubuntu: sudo apt install python3-venv, then run make again."
        ) from None


def wanted(tests):
    """What the stamp must say for .venv to be up to date."""
    files = ["requirements.txt"] + (["tests/requirements.txt"] if tests else [])
    told = {name: hashlib.sha256((ROOT / name).read_bytes()).hexdigest() for name in files}
    return {"venv": str(VENV), "base": str(Path(sys.base_prefix)), "version": sys.version, **told}


def stamped():
    """What the last set-up left in the stamp."""
    try:
        return json.loads((VENV / ".stamp").read_text())
    except (OSError, ValueError):
        return {}


def is_ready(tests):
    """Whether .venv was made here, by this Python, from these requirements, and still answers."""
    has = stamped()
    if any(has.get(name) != value for name, value in wanted(tests).items()):
        return False
    return (
        subprocess.run([venv_python(), "-c", "import flask"], capture_output=True).returncode == 0
    )


def moved(has, want):
    """Whether .venv was made elsewhere or by another Python, and so must be made anew."""
    return any(has.get(k) != want[k] for k in ("venv", "base", "version"))


def make(uv):
    """A fresh .venv; nothing half-made is left behind."""
    shutil.rmtree(VENV, ignore_errors=True)
    words = (
        [uv, "venv", "-q", "--python", sys.executable, str(VENV)]
        if uv
        else [sys.executable, "-m", "venv", str(VENV)]
    )
    done = subprocess.run(words, capture_output=True, text=True, env=environment())
    if done.returncode:
        shutil.rmtree(VENV, ignore_errors=True)
        raise Stopped(explain(done.stdout + done.stderr))


def environment():
    """The environment without what would lead pip or Python elsewhere."""
    unwanted = (
        "PYTHONHOME",
        "PYTHONPATH",
        "PIP_USER",
        "PIP_TARGET",
        "PIP_PREFIX",
        "VIRTUAL_ENV",
        "PIP_REQUIRE_VIRTUALENV",
    )
    return {k: v for k, v in os.environ.items() if k not in unwanted}


def install(uv, tests):
    """Everything pinned, each file checked by its hash."""
    for name in ["requirements.txt"] + (["tests/requirements.txt"] if tests else []):
        print(f"Installing what {name} names ...", flush=True)
        start = (
            [uv, "pip", "install", "-q", "--python", str(venv_python())]
            if uv
            else [str(venv_python()), "-m", "pip", "install", "-q", "--disable-pip-version-check"]
        )
        words = [*start, "--require-hashes", "-r", str(ROOT / name)]
        done = subprocess.run(words, capture_output=True, text=True, env=environment())
        if done.returncode:
            raise Stopped(explain(done.stdout + done.stderr))


# What an installer says -> what it means and what to do. First match counts.
MEANINGS = (
    (
        ("No space left", "Disk quota exceeded"),
        "The disk became full while installing. Free about 700 MB and run make again.",
    ),
    (
        ("ensurepip is not available", "No module named ensurepip", "ensurepip', '--upgrade"),
        "This Python cannot make virtual environments (ensurepip is missing). On Debian or Ubuntu: "
        "sudo apt install python3-venv, then run make again.",
    ),
    (
        ("DO NOT MATCH THE HASHES", "Hash mismatch", "hash mismatch"),
        "A downloaded file is not the one that was tested (its hash differs). Try again; if it "
        "stays so, a proxy between you and the package registry changes files.",
    ),
    (
        ("SSLError", "CERTIFICATE_VERIFY_FAILED", "invalid peer certificate"),
        "The package registry's certificate is not trusted here. Behind a company proxy set "
        "SSL_CERT_FILE to its certificate and run make again.",
    ),
    (
        (
            "Temporary failure in name resolution",
            "Name or service not known",
            "Connection refused",
            "Network is unreachable",
            "Max retries exceeded",
            "dns error",
            "Failed to fetch",
            "error sending request",
            "Could not connect",
            "ConnectTimeout",
            "Read timed out",
        ),
        "The package registry cannot be reached. Check the network (and the proxy settings "
        "HTTPS_PROXY), then run make again: what was downloaded is kept.",
    ),
    (
        (
            "No matching distribution found",
            "no wheels with a matching",
            "has no wheels",
            "Failed building wheel",
            "Failed to build",
            "error: command 'gcc'",
            "Could not build wheels",
        ),
        "One package has no ready-built file for this machine or this Python. Use 64-bit Linux, "
        "macOS or Windows with Python 3.11, 3.12 or 3.13.",
    ),
    (
        ("Permission denied", "Read-only file system"),
        "A file of .venv may not be written. Remove .venv (perhaps with the right of its owner) "
        "and run make again as yourself, not as root.",
    ),
)


def explain(said):
    """The one sentence for what an installer printed."""
    for words, meaning in MEANINGS:
        if any(word in said for word in words):
            return meaning
    last = [line for line in said.strip().splitlines() if line.strip()][-3:]
    return "The installer failed and we do not know the case. It said: " + " / ".join(last)


def prepare(tests):
    """Bring .venv to what is wanted."""
    check_version()
    check_folders()
    if is_ready(tests):
        return
    uv = shutil.which("uv")
    check_room()
    check_venv_module(uv)
    has, want = stamped(), wanted(tests)
    if not venv_python().exists() or moved(has, want):
        print("Making .venv ...", flush=True)
        make(uv)
        has = {}
    (VENV / ".stamp").unlink(missing_ok=True)
    install(uv, tests)
    kept = {k: v for k, v in has.items() if k == "tests/requirements.txt"}
    (VENV / ".stamp").write_text(json.dumps(kept | want))


def main():
    """Prepare, or print the one sentence."""
    try:
        prepare("--tests" in sys.argv[1:])
    except Stopped as stop:
        print(stop, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("Stopped; run make again to go on.", file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main())
