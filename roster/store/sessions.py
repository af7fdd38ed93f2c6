"""Sessions and sign-ins: who is signed in from which browser, and who is about to be."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date, datetime

from sqlalchemy import delete, exists, func, or_, select, update

from roster.store.models.access import session, sign_in
from roster.store.models.papers import paper_form, second_sign, signature
from roster.store.models.people import person, person_address
from roster.store.notes import note
from roster.store.rows import made_or_none
from roster.store.unit import Unit


@dataclass(frozen=True)
class SessionRow:
    """One signed-in browser. `device` is what the browser calls itself, cut short."""

    person: int
    made_at: datetime
    seen_at: datetime
    until: datetime
    factor: str
    device: str = ""


@dataclass(frozen=True)
class SignInRow:
    """One asking for a link and code; `person` is None where the address is nobody's."""

    id: int
    person: int | None
    generation: int
    browser_hash: str
    tries: int


@dataclass(frozen=True)
class SignInLetter:
    """What the mail about a sign-in needs; the secrets are worked out from id and generation."""

    id: int
    generation: int
    until: datetime
    name: str
    language: str
    address: str


class Sessions:
    """Reads and writes sessions and sign-ins; neither is part of the journal."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def find(self, hashed: str) -> SessionRow | None:
        """The session with that hash."""
        c = session.c
        row = self.unit.run(
            select(c.person, c.made_at, c.seen_at, c.until, c.factor, c.device).where(
                c.hash == hashed
            )
        ).one_or_none()
        return made_or_none(SessionRow, row)

    def add(self, hashed: str, new: SessionRow) -> None:
        """A new session."""
        self.unit.run(session.insert().values(hash=hashed, **asdict(new)))

    def drop(self, hashed: str) -> None:
        """End one session."""
        self.unit.run(delete(session).where(session.c.hash == hashed))

    def drop_all_of(self, who: int) -> int:
        """End every session of a person; gives how many there were."""
        return self.unit.run(delete(session).where(session.c.person == who)).rowcount

    def signs_in_with(self, address: str) -> tuple[int, int] | None:
        """Person and address number of whoever signs in with this address and may."""
        a = person_address.c
        row = self.unit.run(
            select(a.person, a.id)
            .join(person, person.c.id == a.person)
            .where(
                a.key == address,
                a.use == "sign_in",
                a.until.is_(None),
                person.c.state.in_(("active", "paused")),
            )
        ).one_or_none()
        return (row.person, row.id) if row else None

    def ask(
        self, found: tuple[int, int] | None, browser_hash: str, at: datetime, until: datetime
    ) -> int:
        """A new asking from a browser; gives its number."""
        who, address = found or (None, None)
        return self.unit.insert(
            sign_in, person=who, address=address, browser_hash=browser_hash, made_at=at,
            until=until,
        )  # fmt: skip

    def open_of(self, browser_hash: str, at: datetime) -> SignInRow | None:
        """The newest asking of a browser that is unused and still good."""
        c = sign_in.c
        row = self.unit.run(
            select(c.id, c.person, c.generation, c.browser_hash, c.tries)
            .where(c.browser_hash == browser_hash, c.used_at.is_(None), c.until > at)
            .order_by(c.id.desc())
            .limit(1)
            .with_for_update()
        ).one_or_none()
        return made_or_none(SignInRow, row)

    def open_until(self, browser_hash: str, at: datetime) -> datetime | None:
        """Until when the newest unused asking of a browser is good."""
        c = sign_in.c
        found: datetime | None = self.unit.run(
            select(func.max(c.until)).where(
                c.browser_hash == browser_hash, c.used_at.is_(None), c.until > at
            )
        ).scalar()
        return found

    def count_try(self, number: int) -> None:
        """One more wrong code."""
        c = sign_in.c
        self.unit.run(update(sign_in).where(c.id == number).values(tries=c.tries + 1))

    def use(self, number: int, at: datetime) -> bool:
        """Spend an asking; False if it was spent already."""
        c = sign_in.c
        done = self.unit.run(
            update(sign_in).where(c.id == number, c.used_at.is_(None)).values(used_at=at)
        )
        return done.rowcount == 1

    def letter(self, number: int) -> SignInLetter | None:
        """What the mail of an asking says; None where there is nobody to write to."""
        c, a = sign_in.c, person_address.c
        row = self.unit.run(
            select(c.id, c.generation, c.until, person.c.name, person.c.language, a.address)
            .join(person, person.c.id == c.person)
            .join(person_address, a.id == c.address)
            .where(c.id == number)
        ).one_or_none()
        return made_or_none(SignInLetter, row)

    def waits_for_guardian(self, who: int, day: date) -> bool:
        """Whether the person is a minor whose guardian's consent (signed twice) is not on file."""
        s, f = signature.c, paper_form.c
        signed = exists().where(
            s.person == who, s.paper_form == f.id, f.kind == "guardian_consent",
            s.ended_at.is_(None), s.signed_on <= day,
            or_(s.until_on.is_(None), s.until_on > day),
            second_sign.c.signature == s.id, second_sign.c.ended_at.is_(None),
        )  # fmt: skip
        found = self.unit.run(
            select(person.c.id).where(person.c.id == who, person.c.of_age_on > day, ~signed)
        )
        return found.first() is not None

    def count_of(self, who: int) -> int:
        """How many sessions a person has."""
        counted = select(func.count()).select_from(session).where(session.c.person == who)
        return int(self.unit.run(counted).scalar_one())

    def sweep(self, at: datetime, asked_before: datetime) -> int:
        """Take away what is over; gives how many rows went."""
        gone = self.unit.run(delete(session).where(session.c.until <= at)).rowcount
        old = delete(sign_in).where(sign_in.c.made_at < asked_before)
        return gone + self.unit.run(old).rowcount


def seen(hashed: str, at: datetime) -> None:
    """Keep that a session was used, beside the request's own reading."""
    statement = update(session).where(session.c.hash == hashed).values(seen_at=at)
    note(lambda connection: (connection.execute(statement), None)[1])
