"""Many people ask for the last spots from several processes at once, on both databases."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from roster.store.base import db
from roster.store.transaction import read
from tests.support.crews import add_people, meeting, states, taken

PEOPLE, SPOTS, PROCESSES = 40, 6, 4
ROOT = Path(__file__).parents[2]
CHILD = """
import sys
from pathlib import Path
from roster.services import spots
from roster.services.clock import SetClock
from tests.conftest import NOW
from tests.support.databases import opened
from tests.support.crews import as_person

url, folder, event, first, last = sys.argv[1:]
with opened(url, Path(folder), SetClock(NOW)):
    for number in range(int(first), int(last)):
        for _again in range(2):  # a double click
            operation = f"00000000-0000-4000-8000-{number:012d}"
            spots.sign_up(as_person(number), int(event), number, operation=operation)
"""


@pytest.mark.slow
@pytest.mark.usefixtures("both")
def test_forty_people_for_six_spots_end_at_exactly_six(tmp_path):
    event = meeting(SPOTS)
    people = add_people(PEOPLE)
    url = db.engine.url.render_as_string(hide_password=False)
    share = PEOPLE // PROCESSES
    env = {k: v for k, v in os.environ.items() if not k.startswith("ROSTER_")}
    children = [
        subprocess.Popen(
            [sys.executable, "-c", CHILD, url, str(tmp_path), str(event),
             str(people[0] + n * share), str(people[0] + (n + 1) * share)],
            cwd=ROOT, env=env | {"PYTHONPATH": str(ROOT)},
        )
        for n in range(PROCESSES)
    ]  # fmt: skip
    assert [child.wait(timeout=240) for child in children] == [0] * PROCESSES
    found = states(event)
    assert sorted(found) == people
    assert sum(state == "placed" for state in found.values()) == SPOTS
    assert taken(event) == SPOTS
    lines = [s.line_no for s in read(lambda t: t.spots.of_event(event)) if s.state == "waiting"]
    assert lines == list(range(1, PEOPLE - SPOTS + 1))
