"""Layout, lint, types and import contracts; each tool's time is printed."""

import subprocess
import sys
import time
from pathlib import Path

BIN = Path(sys.executable).parent
TOOLS = (
    ("layout", [BIN / "ruff", "format", "--check", "--quiet", "."]),
    ("lint", [BIN / "ruff", "check", "--quiet", "."]),
    ("types", [BIN / "mypy"]),
    ("imports", [BIN / "lint-imports"]),
)


def main():
    """Run every tool, also after one has failed; 1 if any did."""
    failed = []
    for name, words in TOOLS:
        began = time.monotonic()
        done = subprocess.run(words, capture_output=True, text=True)
        print(
            f"{name}: {'ok' if done.returncode == 0 else 'FAILED'}, "
            f"{time.monotonic() - began:.1f} s",
            flush=True,
        )
        if done.returncode:
            failed.append(name)
            print(done.stdout + done.stderr, flush=True)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
