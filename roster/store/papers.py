"""Forms of papers, signatures and second signs."""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import asdict, dataclass
from datetime import date, datetime, timedelta
from functools import cache
from typing import Any

from sqlalchemy import Select, func, select

from roster.domain.errors import NotFound
from roster.domain.paper_forms import ConsentScope, PaperForm, PaperKind
from roster.store.models.papers import paper_form, second_sign, signature, signature_private
from roster.store.models.people import guardian, person
from roster.store.rows import made
from roster.store.unit import Unit


@dataclass(frozen=True)
class SignatureRow:
    """A signature as a page shows it; `until_on` half-open, `second_on` of a guardian consent."""

    id: int
    person: int
    paper_form: int
    title: str
    kind: str
    version: int
    signed_on: date
    until_on: date | None
    way: str
    guardian: int | None
    guardian_name: str | None
    second_on: date | None
    recorded_at: datetime
    recorded_by: str | None
    ended_at: datetime | None

    @property
    def last_day(self) -> date | None:
        """The last valid day by its own terms."""
        return None if self.until_on is None else self.until_on - timedelta(days=1)


def scope_text(scope: ConsentScope) -> str:
    """The scope of a consent as the table keeps it."""
    return json.dumps(asdict(scope), ensure_ascii=False, sort_keys=True)


def scope_of(told: str | None) -> ConsentScope:
    """The scope of a consent from the table."""
    if not told:
        return ConsentScope()
    kept = json.loads(told)
    kept["fetched_by"] = tuple(kept.get("fetched_by", ()))
    return ConsentScope(**kept)


class Papers:
    """Reads and adds papers; nothing here is ever changed."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def add_form(self, **values: Any) -> int:
        """A new version of a form; gives its number."""
        return self.unit.insert(paper_form, **values)

    def forms(self, numbers: Collection[int] | None = None) -> list[PaperForm]:
        """These forms (all without numbers), by code and version."""
        query = _forms()
        if numbers is not None:
            query = query.where(paper_form.c.id.in_(list(numbers)))
        return [_form(row) for row in self.unit.run(query)]

    def forms_by_code(self, codes: Collection[str]) -> list[PaperForm]:
        """The first version of each of these forms: any version then does."""
        found: dict[str, PaperForm] = {}
        query = _forms().where(paper_form.c.code.in_(list(codes)))
        for row in self.unit.run(query):
            found.setdefault(row.code, _form(row))
        return list(found.values())

    def forms_in_force(self, day: date) -> list[PaperForm]:
        """The newest version of each form and language that is in force on a day."""
        newest: dict[tuple[str, str], PaperForm] = {}
        for row in self.unit.run(_forms().where(paper_form.c.from_on <= day)):
            newest[row.code, row.language] = _form(row)
        return list(newest.values())

    def form(self, number: int) -> PaperForm:
        """One version of a form. NotFound if there is none."""
        found = self.forms([number])
        if not found:
            raise NotFound("paper", number)
        return found[0]

    def text_of(self, number: int) -> tuple[str, str]:
        """The text of a version and its SHA-256."""
        row = self.unit.run(
            select(paper_form.c.text, paper_form.c.sha256).where(paper_form.c.id == number)
        ).one_or_none()
        if row is None:
            raise NotFound("paper", number)
        return row.text, row.sha256

    def add_signature(self, scope: ConsentScope | None, **values: Any) -> int:
        """A signature; gives its number."""
        told = None if scope is None else scope_text(scope)
        return self.unit.insert(signature, scope=told, **values)

    def add_again(self, **values: Any) -> int:
        """A signature once more, with its scope as it is kept; gives the new number."""
        return self.unit.insert(signature, **values)

    def add_private(self, number: int, typed_name: str, note: str | None) -> None:
        """What was typed with a signature, kept apart so that it can be erased."""
        self.unit.insert(signature_private, signature=number, typed_name=typed_name, note=note)

    def add_second_sign(self, number: int, way: str, on: date) -> int:
        """The second sign to a guardian's consent."""
        return self.unit.insert(second_sign, signature=number, way=way, on=on)

    def second_signs(self, number: int) -> list[tuple[str, date]]:
        """The second signs on record to a signature: way and day."""
        c = second_sign.c
        rows = self.unit.run(
            select(c.way, c.on).where(c.signature == number, c.ended_at.is_(None)).order_by(c.id)
        )
        return [(row.way, row.on) for row in rows]

    def signature(self, number: int) -> SignatureRow:
        """One signature. NotFound if there is none."""
        row = self.unit.run(_signatures().where(signature.c.id == number)).one_or_none()
        if row is None:
            raise NotFound("paper", number)
        return made(SignatureRow, row)

    def signatures_of(self, numbers: Collection[int]) -> list[SignatureRow]:
        """The signatures on record of these persons, newest first."""
        c = signature.c
        rows = self.unit.run(
            _signatures()
            .where(c.person.in_(list(numbers)), c.ended_at.is_(None))
            .order_by(c.signed_on.desc(), c.id.desc())
        )
        return [made(SignatureRow, row) for row in rows]

    def scope(self, number: int) -> str | None:
        """The scope of a signature as it is kept."""
        return self.unit.run(select(signature.c.scope).where(signature.c.id == number)).scalar()

    def end_signature(self, number: int, why: str) -> bool:
        """End a signature's row; False if it was ended before."""
        return self.unit.end(signature, [number], why) == 1


@cache
def _forms() -> Select[Any]:
    c = paper_form.c
    return select(
        c.id, c.code, c.kind, c.title, c.version, c.from_on, c.validity, c.language, c.agency
    ).order_by(c.code, c.version, c.id)


def _form(row: Any) -> PaperForm:
    return PaperForm(
        row.id, row.code, PaperKind(row.kind), row.title, row.version, row.from_on, row.validity,
        row.language, row.agency,
    )  # fmt: skip


def _signatures() -> Select[Any]:
    s, f = signature.c, paper_form.c
    second = (
        select(func.min(second_sign.c.on))
        .where(second_sign.c.signature == s.id, second_sign.c.ended_at.is_(None))
        .scalar_subquery()
    )
    return (
        select(
            s.id, s.person, s.paper_form, f.title, f.kind, f.version, s.signed_on, s.until_on,
            s.way, s.guardian, guardian.c.name.label("guardian_name"), second.label("second_on"),
            s.recorded_at, person.c.name.label("recorded_by"), s.ended_at,
        )
        .join(paper_form, f.id == s.paper_form)
        .outerjoin(guardian, guardian.c.id == s.guardian)
        .outerjoin(person, person.c.id == s.recorded_by)
    )  # fmt: skip
