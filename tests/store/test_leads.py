"""The interval table answers as the naive query does: same people, same order."""

from __future__ import annotations

import random
from datetime import date, timedelta
from math import cos

import pytest

from roster.domain.geo import great_circle_km, unit_vector
from roster.domain.matching import km_of_cosine
from roster.domain.people import system
from roster.store.held import cell_of
from roster.store.lead_values import Reach
from roster.store.models.people import busy, held, person
from roster.store.transaction import read, write

pytestmark = pytest.mark.usefixtures("both")
DAY = date(2027, 6, 20)
SITE = (46.9, -117.05)
ROLES = ("lead", "crew_member")


def people(count=300, seed=7):
    """Made-up people around the site, some without a home place, some busy, spans of all kinds."""
    dice = random.Random(seed)  # noqa: S311 - not for secrets
    made = []
    for _ in range(count):
        home = (
            (46.9 + dice.gauss(0, 0.7), -117.05 + dice.gauss(0, 1))
            if dice.random() < 0.95
            else None
        )
        spans = []
        for role in ROLES:
            start = DAY + timedelta(days=dice.choice((-400, -30, 0, 1)))
            end = dice.choice((None, DAY, DAY + timedelta(days=1), DAY + timedelta(days=90)))
            if dice.random() < 0.7 and (end is None or end > start):
                spans.append((role, start, end))
        made.append((home, spans, dice.random() < 0.3))
    return made


def keep(made):
    def body(store):
        numbers = []
        for n, (home, spans, is_busy) in enumerate(made):
            x, y, z = unit_vector(*home) if home else (None, None, None)
            number = store.unit.insert(
                person, name=f"P {n}", name_key=f"P {n}", state="active", x=x, y=y, z=z,
                added_at=store.unit.at,
            )  # fmt: skip
            numbers.append(number)
            home_of = {"x": x, "y": y, "z": z, "cell": cell_of((x, y, z) if home else None)}
            for role, start, end in spans:
                row = {"root": number, "role": role, "from_on": start, "until_on": end}
                store.unit.run(held.insert().values(**row, **home_of))
            if is_busy:
                store.unit.run(busy.insert().values(day=DAY, root=number, events=1))
        store.unit.note("added", "people", 0)
        return numbers

    return write(body, actor=system("test"))


def naive(made, numbers, role, *, free_only):
    """The same question asked person by person, in plain Python."""
    found = []
    for number, (home, spans, is_busy) in zip(numbers, made, strict=True):
        cleared = any(
            r == role and start <= DAY and (end is None or end > DAY) for r, start, end in spans
        )
        if not cleared or (free_only and (is_busy or home is None)):
            continue
        km = great_circle_km(*SITE, *home) if home else None
        found.append((number, km))
    return sorted(found, key=lambda pair: (pair[1] is None, pair[1] or 0, pair[0]))


@pytest.mark.parametrize("role", ROLES)
def test_the_nearest_cleared_and_free_are_those_of_the_naive_query(role):
    made = people()
    numbers = keep(made)
    reach = Reach(role, DAY, unit_vector(*SITE))
    near = read(lambda store: store.leads.nearest_free(reach, 1000))
    wanted = naive(made, numbers, role, free_only=True)
    assert [n.person for n in near] == [number for number, _ in wanted]
    for one, (_, km) in zip(near, wanted, strict=True):
        assert km_of_cosine(one.dot) == pytest.approx(km, abs=1e-3)
    assert len(wanted) > 50


def test_of_the_cleared_those_without_a_home_place_come_last():
    made = people()
    numbers = keep(made)
    reach = Reach("lead", DAY, unit_vector(*SITE))
    near = read(lambda store: store.leads.cleared(reach, 1000))
    wanted = naive(made, numbers, "lead", free_only=False)
    assert [n.person for n in near] == [number for number, _ in wanted]
    assert near[-1].dot is None


def test_only_so_many_of_the_nearest_are_given_and_none_beyond_the_reach():
    made = people()
    numbers = keep(made)
    wanted = naive(made, numbers, "lead", free_only=True)
    at = unit_vector(*SITE)
    near = read(lambda store: store.leads.nearest_free(Reach("lead", DAY, at), 10))
    assert [n.person for n in near] == [number for number, _ in wanted[:10]]
    within = Reach("lead", DAY, at, least=cos(60 / 6371.0088))
    near = read(lambda store: store.leads.nearest_free(within, 1000))
    assert [n.person for n in near] == [number for number, km in wanted if km <= 60]


def test_how_many_were_ever_cleared_and_are_on_the_day():
    made = people()
    keep(made)
    ever = sum(any(r == "lead" for r, _, _ in spans) for _, spans, _ in made)
    on_day = len(naive(made, range(len(made)), "lead", free_only=False))
    assert read(lambda store: store.leads.counts("lead", DAY)) == (ever, on_day)
    lapsed = read(lambda store: store.leads.lapsed("lead", DAY, 1000))
    assert len(lapsed) == ever - on_day
