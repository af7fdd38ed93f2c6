"""Pins every package with its hashes; `--outdated` names those with newer versions."""

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAIRS = (
    (".ci/requirements.in", "requirements.txt"),
    (".ci/tests-requirements.in", "tests/requirements.txt"),
)
FLAGS = (
    "--universal",
    "--generate-hashes",
    "--python-version",
    "3.11",
    "--no-header",
    "--no-annotate",
    "--no-emit-index-url",
    "--no-emit-find-links",
    "-q",
)


def main():
    """Write both files, or list what is outdated."""
    uv = shutil.which("uv") or shutil.which("uv", path=str(Path(sys.executable).parent))
    if uv is None:
        print("uv is needed to pin versions: install it, then make lock again.", file=sys.stderr)
        return 2
    if "--outdated" in sys.argv:
        return subprocess.run(
            [uv, "pip", "list", "--outdated", "--python", sys.executable]
        ).returncode
    for source, target in PAIRS:
        done = subprocess.run([uv, "pip", "compile", *FLAGS, "-o", target, source], cwd=ROOT)
        if done.returncode:
            return done.returncode
    return 0


if __name__ == "__main__":
    sys.exit(main())
