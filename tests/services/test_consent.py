"""A guardian reads and signs by a mailed link, and only that."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from flask import Flask

from roster.domain.errors import BadInput, NotAllowed, NotFound
from roster.domain.paper_forms import ConsentScope
from roster.domain.people import Actor, ActorKind
from roster.services import consent, links
from roster.services.clock import SetClock
from roster.store.models.papers import paper_form, signature
from roster.store.registry import Store
from roster.store.transaction import read, write
from tests.support.world import TODAY, World, build


@pytest.fixture
def world(both: Flask) -> World:
    made = build()
    write(papers, actor=SYSTEM)
    return made


SYSTEM = Actor(ActorKind.SYSTEM, "test")


def papers(store: Store) -> None:
    for code, kind in (("consent", "guardian_consent"), ("care", "emergency_care")):
        store.unit.insert(
            paper_form, code=code, kind=kind, agency=None, version=1, language="en", title=code,
            text=f"Text of {code}.", sha256="0" * 64, from_on=date(2027, 1, 1), validity=None,
        )  # fmt: skip
    store.unit.note("add", "paper", 1)


def staff(world: World, who: str = "regional") -> Actor:
    number = world.people[who]
    found = read(lambda store: store.access.actor_of(number))
    assert found
    return found


def asked(world: World) -> str:
    number = consent.ask(staff(world), world.people["minor"], world.guardian)
    path = read(lambda store: links.path_of(store, number))
    return path.removeprefix("/l/")


def signed(token: str, **changes: object) -> consent.Signed:
    forms = tuple(paper.form.id for paper in consent.page(token).papers)
    given: dict = {
        "typed_name": "Guardian Test", "forms": forms,
        "scope": ConsentScope(no_signal=True, fetched_by=("Aunt Test",)),
        "last_day": date(2027, 10, 31),
    } | changes  # fmt: skip
    return consent.Signed(**given)


def signatures(store: Store) -> list:
    return store.unit.run(signature.select().order_by(signature.c.id)).all()


def test_the_page_shows_the_papers_in_force_consent_first(world: World) -> None:
    page = consent.page(asked(world))
    assert [paper.text for paper in page.papers] == ["Text of consent.", "Text of care."]
    assert (page.minor, page.guardian) == ("Minor Test", "Guardian Test")
    assert page.last_day == date(2027, 10, 31)
    assert not page.signed


def test_signing_records_each_paper_with_scope_and_last_valid_day(world: World) -> None:
    token = asked(world)
    consent.sign(token, signed(token))
    rows = read(signatures)
    assert [(r.way, r.guardian, r.signed_on, r.until_on) for r in rows] == [
        ("link", world.guardian, TODAY, date(2027, 11, 1))
    ] * 2
    assert '"no_signal": true' in rows[0].scope
    assert consent.page(token).signed


def test_signing_twice_is_refused_and_a_repeat_gets_the_first_answer(world: World) -> None:
    token = asked(world)
    operation = "7d6f3f56-4c5a-4a5e-9a3e-0f9b3c1d2e4f"
    first = consent.sign(token, signed(token), operation)
    assert consent.sign(token, signed(token), operation) == first
    with pytest.raises(BadInput, match="link_used"):
        consent.sign(token, signed(token))
    assert len(read(signatures)) == 2


def test_only_what_was_shown_can_be_signed(world: World) -> None:
    token = asked(world)
    with pytest.raises(BadInput, match="consent_forms_changed"):
        consent.sign(token, signed(token, forms=(1,)))
    assert read(signatures) == []
    assert not consent.page(token).signed


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"typed_name": "  x "}, "name_not_typed"),
        ({"last_day": TODAY - timedelta(1)}, "consent_ends_in_the_past"),
    ],
)
def test_an_answer_that_cannot_be_is_refused(world: World, changes: dict, code: str) -> None:
    token = asked(world)
    with pytest.raises(BadInput, match=code):
        consent.sign(token, signed(token, **changes))


def test_a_consent_may_end_today(world: World) -> None:
    token = asked(world)
    assert consent.sign(token, signed(token, last_day=TODAY))


@pytest.mark.parametrize(("days", "good"), [(29, True), (30, False)])
def test_a_link_is_good_for_thirty_days(
    world: World, clock: SetClock, days: int, good: bool
) -> None:
    token = asked(world)
    clock.forward(timedelta(days=days))
    if good:
        assert consent.page(token).papers
    else:
        with pytest.raises(BadInput, match="link_dead"):
            consent.page(token)


def test_a_link_taken_back_is_dead(world: World) -> None:
    token = asked(world)
    number = int(token.split("-")[0])
    assert links.revoke(staff(world), number)
    with pytest.raises(BadInput, match="link_dead"):
        consent.page(token)


@pytest.mark.parametrize(
    "change", [lambda t: t[:-1] + ("a" if t[-1] != "a" else "b"), lambda t: "9" + t, str.upper],
    ids=["one sign", "another number", "capitals"],
)  # fmt: skip
def test_a_link_that_is_not_ours_is_dead(world: World, change) -> None:
    with pytest.raises(BadInput, match="link_dead"):
        consent.page(change(asked(world)))


def test_a_link_of_another_purpose_opens_nothing(world: World) -> None:
    def other(store: Store) -> str:
        until = store.unit.at + timedelta(days=1)
        about = ("person", world.people["minor"])
        return links.path(
            links.make(store, "unsubscribe", about, until, links.Holder(guardian=world.guardian))
        )

    token = write(other, actor=SYSTEM).removeprefix("/l/")
    with pytest.raises(BadInput, match="link_dead"):
        consent.page(token)


def test_only_staff_of_the_region_ask(world: World) -> None:
    for who in ("other_regional", "volunteer", "lead", "minor"):
        with pytest.raises(NotAllowed):
            consent.ask(staff(world, who), world.people["minor"], world.guardian)


def test_nobody_asks_for_an_adult_or_a_guardian_of_another(world: World) -> None:
    with pytest.raises(NotFound):
        consent.ask(staff(world), world.people["volunteer"], world.guardian)
    with pytest.raises(NotFound):
        consent.ask(staff(world), world.people["minor"], 999)
