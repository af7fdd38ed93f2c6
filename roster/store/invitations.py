"""What each person was told of an event, who is to be told, and where to write to them."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import or_, select, update

from roster.store.models.events import event_revision, lead_ask, spot
from roster.store.models.land import hazard, site
from roster.store.models.messages import invitation
from roster.store.models.people import guardian, person, person_address
from roster.store.rows import made, made_or_none
from roster.store.unit import Unit

ON_CREW = ("placed", "came")
LIVE = ("asked", "offered", "placed", "waiting", "came")


@dataclass(frozen=True)
class Revision:
    """An event as it was published under number `n`."""

    n: int
    sequence: int
    stage: str
    date_state: str
    local_start: datetime
    local_end: datetime
    time_zone: str
    starts_at: datetime
    ends_at: datetime
    title: str
    place: str
    meeting: str
    why: str
    at: datetime


@dataclass(frozen=True)
class Concerned:
    """A person and how they stand to an event.

    `state` is the spot's, or `agreed` or `asked` for somebody asked to lead or collect data;
    `role` is what they are (to be) there.
    """

    person: int
    role: str
    state: str
    line_no: int | None = None
    until: datetime | None = None

    @property
    def takes_part(self) -> bool:
        """Whether they are counted on."""
        return self.state in (*ON_CREW, "agreed")


@dataclass(frozen=True)
class Recipient:
    """A person as a mail needs them."""

    person: int
    name: str
    language: str
    time_zone: str | None
    born_on: date | None
    of_age_on: date | None
    state: str


@dataclass(frozen=True)
class GuardianRow:
    """A guardian in force: their own name and address."""

    id: int
    person: int
    name: str
    address: str


class Invitations:
    """Reads whom a message concerns; keeps what was sent and answered."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def revision(self, event: int, n: int) -> Revision | None:
        """The event as published under `n`."""
        row = self.unit.run(
            select(*[c for c in event_revision.c if c.name != "event"]).where(
                event_revision.c.event == event, event_revision.c.n == n
            )
        ).one_or_none()
        return made_or_none(Revision, row)

    def concerned(self, event: int, one: int | None = None) -> list[Concerned]:
        """Everyone with a live spot, or asked or agreed to lead or collect data, once each.

        With `one`, that person alone. Somebody with a spot who also agreed to lead counts
        as the lead.
        """
        s, a = spot.c, lead_ask.c
        of_spot, of_ask = (([c.person == one]) if one is not None else [] for c in (s, a))
        spots = self.unit.run(
            select(s.person, s.role, s.state, s.line_no, s.offered_until).where(
                s.event == event, s.state.in_(LIVE), *of_spot
            )
        )
        found = {
            r.person: Concerned(r.person, r.role, r.state, r.line_no, r.offered_until)
            for r in spots
        }
        asks = self.unit.run(
            select(a.person, a.role, a.state, a.until)
            .where(a.event == event, a.state.in_(("asked", "agreed")), *of_ask)
            .order_by(a.state.desc(), a.role.desc())
        )
        for r in asks:
            known = found.get(r.person)
            if r.state == "agreed" or known is None:
                agreed_lead = known and (known.state, known.role) == ("agreed", "lead")
                if not agreed_lead:
                    found[r.person] = Concerned(r.person, r.role, r.state, until=r.until)
        return sorted(found.values(), key=lambda c: c.person)

    def ask_state(self, event: int, who: int, role: str) -> str | None:
        """What became of the newest asking of a person for a role."""
        a = lead_ask.c
        return self.unit.run(
            select(a.state)
            .where(a.event == event, a.person == who, a.role == role)
            .order_by(a.id.desc())
            .limit(1)
        ).scalar()

    def lead_of(self, event: int) -> tuple[str, str | None] | None:
        """Name and phone of the lead who agreed."""
        row = self.unit.run(
            select(person.c.name, person.c.phone)
            .join(lead_ask, lead_ask.c.person == person.c.id)
            .where(
                lead_ask.c.event == event, lead_ask.c.role == "lead", lead_ask.c.state == "agreed"
            )
        ).first()
        return None if row is None else (row.name, row.phone)

    def hazards(self, of_site: int) -> list[tuple[str, str]]:
        """Kind and note of each hazard of a site."""
        rows = self.unit.run(
            select(hazard.c.kind, hazard.c.note)
            .where(hazard.c.site == of_site)
            .order_by(hazard.c.kind)
        )
        return [(r.kind, r.note) for r in rows]

    def find(self, who: str) -> int | None:
        """The person of a number (V123) or of a sign-in address."""
        digits = who[1:] if who[:1] in "Vv" else who
        if digits.isascii() and digits.isdigit() and len(digits) < 19:
            wanted = select(person.c.id).where(person.c.id == int(digits))
        else:
            p = person_address.c
            wanted = select(p.person).where(p.key == who, p.use == "sign_in", p.until.is_(None))
        return self.unit.run(wanted).scalar()

    def names(self, people: Collection[int]) -> dict[int, str]:
        """Names by number."""
        rows = self.unit.run(select(person.c.id, person.c.name).where(person.c.id.in_(people)))
        return {row.id: row.name for row in rows}

    def recipient(self, number: int) -> Recipient | None:
        """The person to be told."""
        row = self.unit.run(
            select(
                person.c.id.label("person"),
                person.c.name,
                person.c.language,
                person.c.time_zone,
                person.c.born_on,
                person.c.of_age_on,
                person.c.state,
            ).where(person.c.id == number)
        ).one_or_none()
        return made_or_none(Recipient, row)

    def address_of(self, number: int) -> str | None:
        """Where a person's mail goes: the address for mail, else the one for signing in."""
        p = person_address.c
        row = self.unit.run(
            select(p.address)
            .where(p.person == number, p.until.is_(None), p.use.in_(("mail", "sign_in")))
            .order_by(p.use, p.id)  # mail before sign_in
            .limit(1)
        ).first()
        return None if row is None else row.address

    def address(self, number: int) -> str | None:
        """One address by its number, while it is in use."""
        p = person_address.c
        return self.unit.run(select(p.address).where(p.id == number, p.until.is_(None))).scalar()

    def majority_age(self, of_site: int) -> int:
        """The age of majority of the site's state."""
        return int(
            self.unit.run(select(site.c.majority_age).where(site.c.id == of_site)).scalar_one()
        )

    def guardians(self, people: Collection[int], day: date) -> list[GuardianRow]:
        """The guardians in force that day of each of these people."""
        g = guardian.c
        rows = self.unit.run(
            select(g.id, g.person, g.name, g.address)
            .where(
                g.person.in_(people),
                g.from_on <= day,
                or_(g.until_on.is_(None), g.until_on > day),
                g.address != "",
            )
            .order_by(g.id)
        )
        return [made(GuardianRow, row) for row in rows]

    def guardian(self, number: int) -> GuardianRow | None:
        """One guardian."""
        g = guardian.c
        row = self.unit.run(
            select(g.id, g.person, g.name, g.address).where(g.id == number)
        ).one_or_none()
        return made_or_none(GuardianRow, row)

    def sent_n(self, event: int, who: int) -> int:
        """The last revision this person was sent a calendar part for; 0 for none."""
        i = invitation.c
        found = self.unit.run(select(i.n_sent).where(i.event == event, i.person == who)).scalar()
        return int(found or 0)

    def note_sent(self, event: int, who: int, n: int) -> None:
        """Keep that revision `n` was sent to a person (0 after a cancellation)."""
        i = invitation.c
        done = self.unit.run(
            update(invitation).where(i.event == event, i.person == who).values(n_sent=n)
        )
        if done.rowcount == 0:
            self.unit.run(invitation.insert().values(event=event, person=who, n_sent=n))
