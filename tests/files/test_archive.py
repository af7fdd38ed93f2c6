"""Backups in one file: whole, sealed, and refused when cut or changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from roster.files.archive import FRAME, MAGIC, ArchiveReader, ArchiveWriter, BadArchive

BIG = bytes(range(256)) * (FRAME // 128)  # two frames and some


def made(path: Path, key: str | None) -> Path:
    with ArchiveWriter(path, {"format": "x"}, key) as archive:
        archive.add("tables/a", iter([b"one\n", b"two\n"]))
        archive.add("files/big", iter([BIG]))
    return path


@pytest.mark.parametrize("key", [None, "open sesame"], ids=["plain", "sealed"])
def test_what_went_in_comes_out(tmp_path: Path, key: str | None) -> None:
    with ArchiveReader(made(tmp_path / "a", key), key) as archive:
        assert list(archive.lines("tables/a")) == [b"one\n", b"two\n"]
        assert b"".join(archive.lines("files/big")) == BIG
        assert archive.names("files") == ["files/big"]


def test_a_sealed_backup_shows_nothing_and_opens_with_its_key_only(tmp_path: Path) -> None:
    path = made(tmp_path / "a", "open sesame")
    content = path.read_bytes()
    assert content.startswith(MAGIC)
    assert b"tables/a" not in content
    for key, says in ((None, "sealed"), ("open barley", "does not open")):
        with pytest.raises(BadArchive, match=says), ArchiveReader(path, key):
            pass


@pytest.mark.parametrize("key", [None, "open sesame"], ids=["plain", "sealed"])
@pytest.mark.parametrize("where", [0.3, 0.6, 0.99])
def test_a_cut_backup_is_refused(tmp_path: Path, key: str | None, where: float) -> None:
    path = made(tmp_path / "a", key)
    content = path.read_bytes()
    path.write_bytes(content[: int(len(content) * where)])
    with pytest.raises(BadArchive), ArchiveReader(path, key):
        pass


@pytest.mark.parametrize("key", [None, "open sesame"], ids=["plain", "sealed"])
def test_one_changed_byte_is_noticed(tmp_path: Path, key: str | None) -> None:
    path = made(tmp_path / "a", key)
    content = bytearray(path.read_bytes())
    content[60] ^= 1
    path.write_bytes(bytes(content))
    with pytest.raises(BadArchive), ArchiveReader(path, key):
        pass


def test_a_writer_that_fails_leaves_no_file(tmp_path: Path) -> None:
    def fails() -> None:
        with ArchiveWriter(tmp_path / "a", {}, None) as archive:
            archive.add("x", iter([b"1"]))
            raise RuntimeError("half way")

    with pytest.raises(RuntimeError, match="half way"):
        fails()
    assert list(tmp_path.iterdir()) == []
