"""The files of roster/deploy say what the service really needs."""

from __future__ import annotations

import configparser
import re
from pathlib import Path

import pytest

from roster.config import NAMES, ROOT

DEPLOY = ROOT / "roster" / "deploy"
UNITS = ["roster-web.service", "roster-jobs.service"]


def unit(name: str) -> configparser.ConfigParser:
    read = configparser.ConfigParser(interpolation=None, strict=True)
    read.optionxform = str  # type: ignore[assignment,method-assign]  # names of units keep case
    read.read_string((DEPLOY / name).read_text())
    return read


@pytest.mark.parametrize("name", UNITS)
def test_a_unit_runs_as_nobody_special_in_a_closed_room(name: str) -> None:
    service = unit(name)["Service"]
    assert service["User"] == service["Group"] == "roster"
    assert service["NoNewPrivileges"] == service["ProtectHome"] == service["PrivateTmp"] == "true"
    assert service["ProtectSystem"] == "strict"
    assert service["UMask"] == "0077"
    assert service["ReadWritePaths"] == "/opt/roster/instance"


def test_web_and_jobs_are_two_processes_and_the_web_one_asks_the_doctor_first() -> None:
    web, jobs = (unit(name)["Service"] for name in UNITS)
    assert "roster:create_app()" in web["ExecStart"]
    assert web["ExecStartPre"].endswith("-m roster doctor")
    assert jobs["ExecStart"].endswith("-m roster jobs run")
    assert jobs["Restart"] == "always"


def test_the_container_is_not_root_and_checks_what_it_installs() -> None:
    lines = (DEPLOY / "Containerfile").read_text().splitlines()
    words = [line.split(" ", 1) for line in lines if line and not line.startswith("#")]
    users = [rest for word, rest in words if word == "USER"]
    assert users == ["roster"]
    assert [w for w, _ in words].index("USER") < [w for w, _ in words].index("CMD")
    assert any("--require-hashes" in rest for word, rest in words if word == "RUN")
    copied = [Path(rest.split()[0]) for word, rest in words if word == "COPY"]
    assert [path for path in copied if not (ROOT / path).exists()] == []


def test_the_example_of_settings_names_only_settings_there_are_and_no_secret() -> None:
    lines = (DEPLOY / "environment.example").read_text().splitlines()
    given = dict(line.split("=", 1) for line in lines if line and not line.startswith("#"))
    assert set(given) <= set(NAMES)
    needed = {"ROSTER_MODE", "ROSTER_SECRET_KEY", "ROSTER_BASE_URL", "ROSTER_SMTP_URL"}
    assert needed <= set(given)
    assert given["ROSTER_SECRET_KEY"] == given["ROSTER_BACKUP_KEY"] == ""


def test_the_proxy_and_the_example_agree_on_one_hop() -> None:
    proxy = (DEPLOY / "proxy.conf").read_text()
    assert len(re.findall(r"X-Forwarded-For \$remote_addr", proxy)) == 1
    assert "ROSTER_PROXY_HOPS=1" in (DEPLOY / "environment.example").read_text()
