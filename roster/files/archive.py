"""A backup in one file: members with their fingerprints, sealed with a key where there is one.

Plain: a ZIP whose last member `manifest.json` names every other with its SHA-256. Sealed: the same
bytes in frames of AES-256-GCM under a key that scrypt makes of the passphrase and a fresh salt.
"""

from __future__ import annotations

import hashlib
import json
import os
import struct
import tempfile
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import TracebackType
from typing import IO, Any

MAGIC = b"ROSTER-SEALED-1\n"
FRAME = 1024 * 1024
MANIFEST = "manifest.json"


class BadArchive(Exception):
    """The file is no backup of ours, was cut or changed, or needs (another) key."""


class ArchiveWriter:
    """Collects members; on a clean exit the archive lies whole at its path, else not at all."""

    def __init__(self, path: Path, facts: Mapping[str, Any], key: str | None) -> None:
        self.path, self.facts, self.key = path, dict(facts), key
        self.members: dict[str, str] = {}

    def __enter__(self) -> ArchiveWriter:
        self.path.parent.mkdir(parents=True, exist_ok=True)
        number, name = tempfile.mkstemp(dir=self.path.parent, prefix=".backup-")
        self.plain = Path(name)
        self.zip = zipfile.ZipFile(os.fdopen(number, "wb"), "w", zipfile.ZIP_DEFLATED)
        return self

    def add(self, name: str, lines: Iterator[bytes]) -> None:
        """Add a member from its pieces, one after another."""
        digest = hashlib.sha256()
        with self.zip.open(name, "w", force_zip64=True) as out:
            for piece in lines:
                digest.update(piece)
                out.write(piece)
        self.members[name] = digest.hexdigest()

    def __exit__(
        self,
        kind: type[BaseException] | None,
        _error: BaseException | None,
        _trace: TracebackType | None,
    ) -> None:
        if kind is None:
            told = json.dumps({**self.facts, "members": self.members}, indent=1, default=str)
            self.zip.writestr(MANIFEST, told)
        stream = self.zip.fp
        self.zip.close()
        if stream is not None:
            stream.close()
        try:
            if kind is None:
                self._place()
        finally:
            self.plain.unlink(missing_ok=True)

    def _place(self) -> None:
        done = self.plain.with_name(self.plain.name + ".done")
        with self.plain.open("rb") as source, done.open("wb") as out:
            os.chmod(done, 0o600)
            if self.key is None:
                while piece := source.read(FRAME):
                    out.write(piece)
            else:
                _seal(source, out, self.key)
            out.flush()
            os.fsync(out.fileno())
        done.replace(self.path)


def _cipher(key: str, salt: bytes) -> Any:
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    return AESGCM(
        hashlib.scrypt(key.encode(), salt=salt, n=2**15, r=8, p=1, maxmem=2**26, dklen=32)
    )


def _seal(source: IO[bytes], out: IO[bytes], key: str) -> None:
    salt = os.urandom(16)
    cipher = _cipher(key, salt)
    out.write(MAGIC + salt)
    number = 0
    piece = source.read(FRAME)
    while True:
        following = source.read(FRAME)
        last = b"1" if not following else b"0"
        told = cipher.encrypt(struct.pack(">IQ", 0, number), piece, last)
        out.write(last + struct.pack(">I", len(told)) + told)
        if not following:
            return
        piece, number = following, number + 1


def _unseal(source: IO[bytes], out: IO[bytes], key: str) -> None:
    from cryptography.exceptions import InvalidTag

    cipher = _cipher(key, source.read(16))
    number = 0
    while True:
        head = source.read(5)
        if len(head) < 5:
            raise BadArchive("the backup was cut: its end is missing")
        told = source.read(struct.unpack(">I", head[1:])[0])
        try:
            out.write(cipher.decrypt(struct.pack(">IQ", 0, number), told, head[:1]))
        except InvalidTag:
            raise BadArchive(
                "ROSTER_BACKUP_KEY does not open this backup, or it was changed"
            ) from None
        if head[:1] == b"1":
            return
        number += 1


class ArchiveReader:
    """Opens a backup and checks every member against the manifest before anything is used."""

    def __init__(self, path: Path, key: str | None) -> None:
        self.path, self.key = path, key

    def __enter__(self) -> ArchiveReader:
        self.plain = tempfile.TemporaryFile()
        try:
            self._open()
            self.zip = zipfile.ZipFile(self.plain)
            self.facts: dict[str, Any] = json.loads(self.zip.read(MANIFEST))
            self._check()
        except (zipfile.BadZipFile, zlib.error, KeyError, ValueError, OSError, EOFError) as error:
            self.plain.close()
            raise BadArchive(f"this is no whole backup of Seed Muster ({error})") from error
        except BadArchive:
            self.plain.close()
            raise
        return self

    def _open(self) -> None:
        with self.path.open("rb") as source:
            if source.read(len(MAGIC)) == MAGIC:
                if self.key is None:
                    raise BadArchive("this backup is sealed: set ROSTER_BACKUP_KEY to its key")
                _unseal(source, self.plain, self.key)
                return
            source.seek(0)
            while piece := source.read(FRAME):
                self.plain.write(piece)

    def _check(self) -> None:
        for name, sha256 in self.facts["members"].items():
            digest = hashlib.sha256()
            with self.zip.open(name) as member:
                while piece := member.read(FRAME):
                    digest.update(piece)
            if digest.hexdigest() != sha256:
                raise BadArchive(f"{name} in the backup was changed")

    def lines(self, name: str) -> Iterator[bytes]:
        """The lines of a member."""
        with self.zip.open(name) as member:
            yield from member

    def names(self, folder: str) -> list[str]:
        """Members below a folder."""
        return [n for n in self.facts["members"] if n.startswith(folder + "/")]

    def __exit__(self, *_exc: object) -> None:
        self.plain.close()
