"""A problem file with a mistake is refused with a sentence that says where it is."""

from __future__ import annotations

import copy
import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from roster.planning.reading import Malformed, read_problem

Document = dict[str, Any]

SOUND: Document = {
    "format": "roster-plan-1", "first_day": "2027-04-01", "day_count": 4,
    "rules": {"ripe_at_least": 0.25, "spacing_days": 2, "after_target": 0.2, "after_first": 0.3,
              "per_event": 0.15, "per_km": 0.002,
              "keep": {"day": 1.0, "lead": 0.5, "data_collector": 0.25}, "frozen_until": 0},
    "targets": [{"id": "T", "value": 1.0, "amount": 5.0}],
    "populations": [{"id": "P1", "lat": 46.2, "lon": -117.1, "target": "T", "amount": 1.4,
                     "visits": 2, "crew": 3, "open": [[0, 1], [3, 9]],
                     "ripe": {"from": 0, "share": [0.3, 0.4, 0.5, 0.6]}}],
    "people": [{"id": "V7", "lat": 46.4, "lon": -117.0, "km": 80, "per_month": 4,
                "free": [[0, 3]], "lead": [[0, 90]]},
               {"id": "V9", "lat": 46.4, "lon": -117.0, "km": 80, "per_month": 4,
                "free": [[0, 3]], "data_collector": [[0, 90]]}],
    "crew_cells": [{"id": "C1", "lat": 46.3, "lon": -117.0, "km": 80, "people": [6, 6, 9, 0]}],
    "promised": [{"population": "P1", "day": 1, "lead": "V7", "data_collector": "V9"}],
}  # fmt: skip


def put(*way: str | int, value: Any) -> Callable[[Document], None]:
    def change(document: Document) -> None:
        held: Any = document
        for step in way[:-1]:
            held = held[step]
        held[way[-1]] = value

    return change


def drop(*way: str | int) -> Callable[[Document], None]:
    def change(document: Document) -> None:
        held: Any = document
        for step in way[:-1]:
            held = held[step]
        del held[way[-1]]

    return change


def again(name: str) -> Callable[[Document], None]:
    return lambda document: document[name].append(copy.deepcopy(document[name][0]))


P, V, C, M = ("populations", 0), ("people", 0), ("crew_cells", 0), ("promised", 0)
NAN = float("nan")

MISTAKES: dict[str, tuple[Callable[[Document], None], str]] = {
    "another format": (put("format", value="roster-plan-2"), "format"),
    "no format": (drop("format"), "format"),
    "unknown field": (put("colour", value=1), "colour"),
    "day that does not exist": (put("first_day", value="2027-02-30"), "first_day"),
    "no days": (put("day_count", value=0), "day_count"),
    "share above one": (put("rules", "ripe_at_least", value=1.5), "rules.ripe_at_least"),
    "negative spacing": (put("rules", "spacing_days", value=-1), "rules.spacing_days"),
    "cost in words": (put("rules", "per_km", value="cheap"), "rules.per_km"),
    "endless cost": (put("rules", "per_event", value=float("inf")), "rules.per_event"),
    "no price of a lead": (drop("rules", "keep", "lead"), "rules.keep.lead"),
    "frozen beyond the season": (put("rules", "frozen_until", value=5), "rules.frozen_until"),
    "negative value": (put("targets", 0, "value", value=-1), "targets[0].value"),
    "target twice": (again("targets"), "targets[1].id"),
    "targets in an object": (put("targets", value={}), "targets"),
    "latitude beyond the pole": (put(*P, "lat", value=90.1), "populations[0].lat"),
    "unknown target": (put(*P, "target", value="U"), "populations[0].target"),
    "half a visit": (put(*P, "visits", value=1.5), "populations[0].visits"),
    "truth for a number": (put(*P, "crew", value=True), "populations[0].crew"),
    "amount is no number": (put(*P, "amount", value=NAN), "populations[0].amount"),
    "NaN among shares": (put(*P, "ripe", "share", 2, value=NAN), "populations[0].ripe.share[2]"),
    "range backwards": (put(*P, "open", 1, value=[9, 3]), "populations[0].open[1]"),
    "ranges out of order": (put(*P, "open", value=[[3, 4], [0, 1]]), "populations[0].open[1]"),
    "range of three": (put(*P, "open", 0, value=[0, 1, 2]), "populations[0].open[0]"),
    "population twice": (again("populations"), "populations[1].id"),
    "empty id": (put(*P, "id", value=""), "populations[0].id"),
    "negative km": (put(*V, "km", value=-80), "people[0].km"),
    "no home": (drop(*V, "lat"), "people[0].lat"),
    "null for a list": (put(*V, "free", value=None), "people[0].free"),
    "misspelt role": (put(*V, "leads", value=[[0, 1]]), "people[0].leads"),
    "person is a text": (put(*V, value="V7"), "people[0]"),
    "ten million people": (put("people", value=[0] * 10_000_000), "people"),
    "too few days of crew": (put(*C, "people", value=[6, 6, 9]), "crew_cells[0].people"),
    "negative crew": (put(*C, "people", 1, value=-6), "crew_cells[0].people[1]"),
    "promise to nobody": (put(*M, "lead", value="V8"), "promised[0].lead"),
    "promise of no population": (put(*M, "population", value="P2"), "promised[0].population"),
    "promise after the season": (put(*M, "day", value=4), "promised[0].day"),
    "promise twice": (again("promised"), "promised[1]"),
}


def test_the_sound_problem_is_read() -> None:
    problem = read_problem(copy.deepcopy(SOUND))
    assert problem.populations[0].spacing_days == 2
    assert problem.populations[0].open == ((0, 1), (3, 9))
    assert problem.people[0].data_collector == ()
    assert problem.months() == [0, 0, 0, 0]


@pytest.mark.parametrize("mistake", MISTAKES)
def test_a_mistake_is_refused_with_the_path_of_the_value(mistake: str) -> None:
    change, path = MISTAKES[mistake]
    document = copy.deepcopy(SOUND)
    change(document)
    start = time.perf_counter()
    with pytest.raises(Malformed) as refused:
        read_problem(document)
    assert time.perf_counter() - start < 1
    assert refused.value.path == path
    assert path in str(refused.value)
    assert refused.value.remedy.endswith((".", "..."))


@pytest.mark.parametrize("document", [None, [], "roster-plan-1", 7])
def test_what_is_no_object_is_refused(document: object) -> None:
    with pytest.raises(Malformed):
        read_problem(document)


def command(folder: Path, text: str, *more: str) -> subprocess.CompletedProcess[str]:
    (folder / "problem.json").write_text(text)
    words = ["plan", "solve", str(folder / "problem.json"), "--out", str(folder / "plan.json")]
    return subprocess.run([sys.executable, "-m", "roster", *words, *more],
                          capture_output=True, text=True, check=False, timeout=120)  # fmt: skip


def test_the_command_refuses_with_exit_2_and_writes_nothing(tmp_path: Path) -> None:
    document = copy.deepcopy(SOUND)
    put(*V, "km", value=-80)(document)
    refused = command(tmp_path, json.dumps(document), "--json")
    assert refused.returncode == 2
    assert refused.stdout == ""
    told = json.loads(refused.stderr)["error"]
    assert told["field"] == "people[0].km"
    assert told["value"] == "-80" or told["value"] == -80
    assert "out of range" in told["text"]
    assert told["remedy"]
    assert not (tmp_path / "plan.json").exists()


@pytest.mark.parametrize("text", ["", "{", "[" * 100_000, '{"day_count": 1e999}', "\0"])
def test_a_file_that_is_no_problem_is_refused_by_the_command(tmp_path: Path, text: str) -> None:
    refused = command(tmp_path, text)
    assert refused.returncode == 2
    assert len(refused.stderr.splitlines()) == 1


def test_a_field_given_twice_is_refused_by_the_command(tmp_path: Path) -> None:
    text = json.dumps(SOUND).replace('"km": 80', '"km": 80, "km": 90', 1)
    refused = command(tmp_path, text)
    assert refused.returncode == 2
    assert "people[0].km" in refused.stderr


def test_ten_million_people_are_refused_within_a_second(tmp_path: Path) -> None:
    text = json.dumps(SOUND | {"people": []}).replace('"people": []', '"people": [' + "{}," * 10**7)
    start = time.perf_counter()
    refused = command(tmp_path, text)
    took = time.perf_counter() - start
    nothing = time.perf_counter()
    command(tmp_path, "{")
    assert refused.returncode == 2
    assert took < 1 + (time.perf_counter() - nothing)


def test_the_command_writes_the_answer_and_prints_it(tmp_path: Path) -> None:
    done = command(tmp_path, json.dumps(SOUND), "--json", "--seconds", "20", "--seed", "3")
    assert done.returncode == 0, done.stderr
    answer = json.loads((tmp_path / "plan.json").read_text())
    assert json.loads(done.stdout) == {"answer": "yes", "result": answer, "reasons": []}
    assert answer["format"] == "roster-plan-answer-1"
    assert answer["gap"] == pytest.approx(0, abs=1e-6)
    assert [e["population"] for e in answer["events"]] == ["P1", "P1"][: len(answer["events"])]
    assert answer["events"][0]["crew"] == [["C1", 3]]


def test_bad_options_are_refused(tmp_path: Path) -> None:
    assert command(tmp_path, json.dumps(SOUND), "--seconds", "-1").returncode == 2
    assert command(tmp_path, json.dumps(SOUND), "--gap", "-1").returncode == 2
    assert command(tmp_path, json.dumps(SOUND), "--nodes", "x").returncode == 2
