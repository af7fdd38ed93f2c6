"""Use cases of availability: say when one is free, see it, take the last change back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from roster.domain.availability import Availability, from_words, joined, to_words
from roster.domain.errors import BadInput, Conflict
from roster.domain.people import Actor
from roster.domain.reasons import Reason
from roster.services.access import require
from roster.services.people import today_in
from roster.store.journal import JournalLine
from roster.store.plant_values import TaxonRow
from roster.store.registry import Store
from roster.store.transaction import read, write

SAID, TOOK_BACK = "said_free_days", "took_back_free_days"
JOURNAL_LOOKED_AT = 200


@dataclass(frozen=True)
class FreePage:
    """What a person said of their time, and the species to choose from."""

    person: int
    name: str
    said: Availability
    taxa: tuple[TaxonRow, ...]
    today: date


def free_page(actor: Actor, person: int) -> FreePage:
    """The availability of a person, for themselves and staff of their region."""

    def body(store: Store) -> FreePage:
        store.unit.actor = actor
        require(store, "person", person, "self", "staff")
        row = store.people.get(person)
        said = store.availability.of(row.root)
        return FreePage(person, row.name, said, tuple(store.places.taxa()), today_in(store))

    return read(body)


def say_free(actor: Actor, person: int, said: Availability, operation: str | None = None) -> int:
    """Put this in place of what the person said before; gives the person's number.

    The ranking of leads reads it from now on; spots already held stay.
    """

    def body(store: Store) -> int:
        require(store, "person", person, "self", "staff")
        unknown = said.taxa - {taxon.id for taxon in store.places.taxa()}
        if unknown:
            value = str(min(unknown))
            raise BadInput("taxa", value, Reason("bad_choice", {"value": value}))
        tidy = replace(said, away=joined(said.away))
        _put(store, person, tidy, SAID)
        return person

    return write(body, actor=actor, operation=operation)


def take_back(actor: Actor, person: int, operation: str | None = None) -> int:
    """Undo the newest change of availability; Conflict if it was changed again by other means."""

    def body(store: Store) -> int:
        require(store, "person", person, "self", "staff")
        line = _newest(store, person)
        now = to_words(store.availability.of(store.people.get(person).root))
        if line is None or any(now[part] != (after or "") for part, _, after in line.values):
            raise Conflict(Reason("free_days_changed_since"))
        before = {part: told or "" for part, told, _ in line.values}
        _put(store, person, from_words(before), TOOK_BACK)
        return person

    return write(body, actor=actor, operation=operation)


def _put(store: Store, person: int, said: Availability, verb: str) -> None:
    row = store.people.get(person)
    before = to_words(store.availability.of(row.root))
    store.availability.put(row.root, said)
    store.unit.note(verb, "person", person, region=row.region, before=before, after=to_words(said))


def _newest(store: Store, person: int) -> JournalLine | None:
    lines = store.journal.of("person", person, limit=JOURNAL_LOOKED_AT)
    return next((line for line in lines if line.verb in (SAID, TOOK_BACK)), None)
