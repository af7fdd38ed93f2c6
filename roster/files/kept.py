"""Files kept by the SHA-256 of their content: written whole or not at all, never changed."""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Kept:
    """A folder of kept files, spread over sub-folders by the first two signs."""

    folder: Path

    def path(self, sha256: str) -> Path:
        """Where the file of that fingerprint lies or would lie."""
        if len(sha256) != 64 or not all(c in "0123456789abcdef" for c in sha256):
            raise ValueError(f"not a fingerprint: {sha256!r}")
        return self.folder / sha256[:2] / sha256

    def keep(self, content: bytes) -> str:
        """Keep the content and give its fingerprint; a second time changes nothing."""
        sha256 = hashlib.sha256(content).hexdigest()
        target = self.path(sha256)
        if target.exists():
            return sha256
        target.parent.mkdir(parents=True, exist_ok=True)
        number, name = tempfile.mkstemp(dir=target.parent)
        try:
            with os.fdopen(number, "wb") as out:
                out.write(content)
                out.flush()
                os.fsync(out.fileno())
            Path(name).replace(target)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
        return sha256

    def read(self, sha256: str) -> bytes:
        """The content; raises ValueError if it is no longer what its fingerprint says."""
        content = self.path(sha256).read_bytes()
        if hashlib.sha256(content).hexdigest() != sha256:
            raise ValueError(f"the kept file {sha256} was changed on disk")
        return content

    def all(self) -> Iterator[str]:
        """Every fingerprint kept, in order."""
        if self.folder.is_dir():
            for path in sorted(self.folder.glob("??/*")):
                if len(path.name) == 64:
                    yield path.name
