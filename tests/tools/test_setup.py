"""Each thing that can go wrong on the way to `make demo` has a sentence of its own."""

from __future__ import annotations

import importlib.util
import socket
from pathlib import Path
from types import ModuleType

import pytest

CI = Path(__file__).resolve().parent.parent.parent / ".ci"


def script(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"ci_{name}", CI / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


setup = script("setup")


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 13, 2)], ids=["oldest", "newer"])
def test_a_python_that_is_new_enough_passes(version: tuple[int, ...]) -> None:
    assert setup.check_version(version) is None


def test_an_old_python_is_named_with_what_is_needed() -> None:
    with pytest.raises(setup.Stopped, match=r"3\.10 is too old.*3\.11 or newer"):
        setup.check_version((3, 10, 14))


def test_a_full_disk_is_named_before_anything_is_made() -> None:
    with pytest.raises(setup.Stopped, match="Only 12 MB are free"):
        setup.check_room(12 * 1024 * 1024)


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "instance").write_text("a file where a folder should be")
    with pytest.raises(setup.Stopped, match=r"instance is not writable"):
        setup.check_folders(tmp_path)


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("OSError: [Errno 28] No space left on device", "disk became full"),
        ("The virtual environment was not created: ensurepip is not available", "python3-venv"),
        ("THESE PACKAGES DO NOT MATCH THE HASHES", "hash differs"),
        ("SSLError(SSLCertVerificationError", "certificate is not trusted"),
        ("Temporary failure in name resolution", "cannot be reached"),
        ("ERROR: No matching distribution found for highspy", "no ready-built file"),
        ("PermissionError: [Errno 13] Permission denied", "may not be written"),
    ],
    ids=["disk", "venv", "hash", "certificate", "network", "wheel", "rights"],
)
def test_what_an_installer_says_becomes_one_sentence(said: str, sentence: str) -> None:
    told = setup.explain(f"noise\n{said}\nmore noise")
    assert sentence in told
    assert "\n" not in told


def test_an_unknown_failure_shows_what_the_installer_said() -> None:
    assert "out of cheese" in setup.explain("first\nerror: out of cheese")


def test_a_moved_checkout_is_noticed() -> None:
    want = setup.wanted(tests=False)
    assert not setup.moved(dict(want), want)
    assert setup.moved(want | {"venv": "/somewhere/else/.venv"}, want)
    assert setup.moved(want | {"version": "3.11.1"}, want)


def test_settings_that_lead_pip_elsewhere_are_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PIP_REQUIRE_VIRTUALENV", "1")
    monkeypatch.setenv("PYTHONPATH", "/elsewhere")
    assert not {"PIP_REQUIRE_VIRTUALENV", "PYTHONPATH"} & set(setup.environment())


def test_the_demo_takes_the_next_free_port() -> None:
    demo = script("demo")
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert demo.free_port(port, port) is None
        assert demo.free_port(port, port + 20) != port
