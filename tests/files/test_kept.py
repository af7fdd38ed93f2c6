"""Kept files: whole or not at all, and never changed unnoticed."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from roster.files.kept import Kept


def test_what_is_kept_is_found_by_its_sha256(tmp_path: Path) -> None:
    kept = Kept(tmp_path)
    # FIPS 180-2, appendix B.1: SHA-256 of "abc".
    published = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert kept.keep(b"abc") == published
    assert kept.read(published) == b"abc"


def test_keeping_twice_keeps_one_file(tmp_path: Path) -> None:
    kept = Kept(tmp_path)
    assert kept.keep(b"seed") == kept.keep(b"seed")
    assert list(kept.all()) == [hashlib.sha256(b"seed").hexdigest()]
    assert [p.name for p in tmp_path.rglob("*") if p.is_file()] == list(kept.all())


def test_a_file_changed_on_disk_is_not_served(tmp_path: Path) -> None:
    kept = Kept(tmp_path)
    name = kept.keep(b"seed")
    kept.path(name).write_bytes(b"sand")
    with pytest.raises(ValueError, match="changed on disk"):
        kept.read(name)


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "ABC", "a" * 63], ids=["path", "word", "short"]
)
def test_only_a_fingerprint_names_a_file(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="not a fingerprint"):
        Kept(tmp_path).path(name)
