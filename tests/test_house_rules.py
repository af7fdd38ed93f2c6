"""The rules of the house, kept by a test each."""

from __future__ import annotations

import ast
import csv
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from flask import Flask

from roster.store import models
from roster.store.base import db
from roster.web.access import rule_of

ROOT = Path(__file__).resolve().parent.parent
MANUAL = ROOT / "DEVELOPERS.md"
assert models.__all__

TOP = {"README.md", "DEVELOPERS.md", "requirements.txt", "roster", "templates", "tests", "instance",
       "seed_demo.py", "Makefile", "pyproject.toml", ".ci", ".gitignore"}  # fmt: skip


def sources() -> list[Path]:
    found = [*ROOT.glob("roster/**/*.py"), *ROOT.glob("tests/**/*.py"), *ROOT.glob(".ci/*.py")]
    left_out = ("migrations/versions", "node_modules")
    return [p for p in [*found, ROOT / "seed_demo.py"] if not any(x in str(p) for x in left_out)]


def short(path: Path) -> str:
    return str(path.relative_to(ROOT))


def test_no_source_file_is_longer_than_300_lines() -> None:
    long = {short(p): n for p in sources() if (n := len(p.read_text().splitlines())) > 300}
    assert long == {}


def test_no_template_is_longer_than_150_lines() -> None:
    long = {
        short(p): n
        for p in ROOT.glob("templates/**/*")
        if p.is_file() and (n := len(p.read_text().splitlines())) > 150
    }
    assert long == {}


def functions() -> Iterator[tuple[str, int]]:
    for path in ROOT.glob("roster/**/*.py"):
        if "migrations" in path.parts:
            continue
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.FunctionDef):
                yield f"{short(path)}:{node.name}", (node.end_lineno or 0) - node.lineno + 1


def test_no_function_is_longer_than_45_lines() -> None:
    assert {name: n for name, n in functions() if n > 45} == {}


def test_every_rule_file_has_a_test_of_its_own() -> None:
    rules = {p.stem for p in ROOT.glob("roster/domain/*.py")} - {"__init__"}
    tests = {p.stem.removeprefix("test_") for p in ROOT.glob("tests/domain/test_*.py")}
    assert rules - tests == set()


def test_the_top_level_holds_only_what_was_agreed() -> None:
    git = shutil.which("git")
    assert git is not None
    tracked = subprocess.run(
        [git, "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    tops = {line.split("/")[0] for line in tracked.stdout.splitlines()}
    assert tops - TOP == set()


SCREEN_NEVER = (
    r"waivers?", r"ripe share", r"funnel", r"outbox", r"completions?", r"shifts?",
    r"opportunit(?:y|ies)", r"proven gap", r"poisson", r"hopkins", r"certified seed",
    r"(?<!seed )muster(?!@)",
)  # fmt: skip


def shown_text(template: str) -> str:
    """What a reader sees of a template: no tags, comments, expressions but translated strings."""
    strings = " ".join(m.group(2) for m in re.finditer(r"_\((['\"])(.*?)\1", template, re.S))
    bare = re.sub(r"{#.*?#}|{%.*?%}|{{.*?}}|<[^>]*>", " ", template, flags=re.S)
    return f"{strings} {bare}"


def test_words_that_never_stand_on_a_screen_do_not() -> None:
    found = []
    for path in ROOT.glob("templates/**/*"):
        if path.is_file():
            text = shown_text(path.read_text())
            found += [
                f"{short(path)}: {m.group(0)}"
                for word in SCREEN_NEVER
                for m in re.finditer(rf"\b{word}\b", text, re.I)
            ]
    assert found == []


def test_pages_fetch_nothing_from_elsewhere() -> None:
    fetched = re.compile(
        r"<(?:script|link|img|iframe|source)\b[^>]*\b(?:src|href)=[\"']https?:", re.I
    )
    pages = [p for p in ROOT.glob("templates/**/*.html") if "mail" not in p.parts]
    assert [short(p) for p in pages if fetched.search(p.read_text())] == []


def test_pages_carry_no_style_or_script_of_their_own() -> None:
    own = re.compile(r"\sstyle=|<style\b|<script\b(?![^>]*\bsrc=)|\son[a-z]+=", re.I)
    pages = [p for p in ROOT.glob("templates/**/*.html") if "mail" not in p.parts]
    assert [short(p) for p in pages if own.search(p.read_text())] == []


def test_every_setting_is_in_the_manual() -> None:
    named = set(re.findall(r"ROSTER_[A-Z_]+[A-Z]", (ROOT / "roster/config.py").read_text()))
    manual = set(re.findall(r"ROSTER_[A-Z_]+[A-Z]", MANUAL.read_text()))
    assert len(named) > 10
    assert named - manual == set()


def test_every_command_is_in_the_manual(app: Flask) -> None:
    from click import Context, Group

    def walk(group: Group, before: str = "") -> Iterator[str]:
        for name in group.list_commands(Context(group)):
            command = group.commands[name]
            if isinstance(command, Group):
                yield from walk(command, f"{before}{name} ")
            elif not command.hidden:
                yield f"{before}{name}"

    ours = set(walk(app.cli)) - {c for c in walk(app.cli) if c.startswith("db ")}
    manual = MANUAL.read_text()
    assert {c for c in ours if f"`{c}" not in manual} == set()


def test_every_route_declares_its_audience(app: Flask) -> None:
    assert len(list(app.url_map.iter_rules())) > 20
    undeclared = [r.endpoint for r in app.url_map.iter_rules() if rule_of(app, r.endpoint) is None]
    assert undeclared == []


def test_the_tables_equal_the_migrated_schema(both: Flask) -> None:
    with db.engine.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "target_metadata": db.metadata}
        )
        assert compare_metadata(context, db.metadata) == []


def test_every_column_stands_in_the_register_with_class_purpose_keeping_and_readers() -> None:
    with (ROOT / "roster/store/columns.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    register = {(r["table"], r["column"]) for r in rows}
    there = {(t.name, c.name) for t in db.metadata.sorted_tables for c in t.columns}
    assert there - register == set()
    assert register - there == set()
    classes = {"open", "internal", "guarded", "personal", "private", "secret", "derived"}
    assert {r["class"] for r in rows} <= classes
    assert [r for r in rows if not all(r.values())] == []


def reason_codes() -> dict[str, str]:
    """Every code that a rule or use case may give, with the file that gives it."""
    codes: dict[str, str] = {}
    for path in ROOT.glob("roster/**/*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            if (
                isinstance(node, ast.Call)
                and getattr(node.func, "id", "") == "Reason"
                and node.args
                and isinstance(node.args[0], ast.Constant)
            ):
                codes[str(node.args[0].value)] = short(path)
    return codes


def test_every_reason_has_words() -> None:
    from roster.words.sentences import TABLE

    used = reason_codes()
    assert len(used) > 30
    assert {c: where for c, where in used.items() if c not in TABLE} == {}


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_links_inside_the_manuals_lead_somewhere(name: str) -> None:
    text = (ROOT / name).read_text()
    links = re.findall(r"\]\((?!https?:|#|mailto:)([^)#]+)", text)
    assert [link for link in links if not (ROOT / link).exists()] == []
