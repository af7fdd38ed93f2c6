"""Everything that verdicts read, for one person or many, in a constant number of statements."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from functools import cache, cached_property
from typing import Any, NamedTuple, TypeVar

from sqlalchemy import ColumnElement, Select, Table, bindparam, func, select

from roster.domain.errors import NotFound
from roster.domain.paper_forms import PaperForm, SecondSign, SecondWay, Signature, SignedBy
from roster.domain.people import Role
from roster.domain.person_facts import PersonFacts, TrainingRules, Withheld, WithheldKind
from roster.domain.training import Exemption, FinishedStep, Known, Source
from roster.store.models.papers import second_sign, signature
from roster.store.models.people import person, withheld
from roster.store.models.programme import season
from roster.store.models.training import completion, confirmation, exemption
from roster.store.papers import Papers, scope_of
from roster.store.training import Training
from roster.store.unit import Unit

T = TypeVar("T")


class Pick(NamedTuple):
    """Which people: the shape of the condition on the column of the person, and its values."""

    shape: str
    values: dict[str, Any]


_SHAPES: dict[str, Callable[[Any], ColumnElement[bool]]] = {
    "among": lambda column: column.in_(bindparam("ids", expanding=True)),
    "between": lambda column: column.between(bindparam("first"), bindparam("last")),
}
ROOT = func.coalesce(person.c.root_id, person.c.id)
PART = 500


class Facts:
    """Reads facts; rules of training are read once a transaction."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    @cached_property
    def rules(self) -> TrainingRules:
        """Tracks, seasons and forms as on record now."""
        return self._rules(history=False)

    def _rules(self, *, history: bool) -> TrainingRules:
        seasons = self.unit.run(_SEASONS)
        return TrainingRules(
            Training(self.unit).tracks(history=history),
            tuple((row.from_on, row.until_on) for row in seasons),
            tuple(Papers(self.unit).forms()),
        )

    def of(self, root: int, *, history: bool = False) -> PersonFacts:
        """The facts of one person (and of all merged into it). NotFound if there is none.

        With `history` also what was ended, so that it can be asked what was known when.
        """
        found = self.of_many([root], history=history)
        if root not in found:
            raise NotFound("person", root)
        return found[root]

    def of_many(self, roots: Collection[int], *, history: bool = False) -> dict[int, PersonFacts]:
        """The facts of these persons by number; who was merged into another is left out."""
        found: dict[int, PersonFacts] = {}
        ids = list(roots)
        rules = self._rules(history=True) if history else self.rules
        for start in range(0, len(ids), PART):
            part = ids[start : start + PART]
            everyone = list(self.unit.run(_WITH_MERGED, {"ids": part}).scalars())
            found |= self._read(Pick("among", {"ids": everyone}), rules, history)
        return {root: found[root] for root in ids if root in found}

    def everybody(self, size: int = 2000) -> Iterator[dict[int, PersonFacts]]:
        """All persons, so many numbers at a time; who was merged is found with its root only.

        Persons merged across such a border are read again with their root.
        """
        last = self.unit.run(select(func.max(person.c.id))).scalar() or 0
        apart = self._merged()
        for first in range(1, last + 1, size):
            end = first + size
            pick = Pick("between", {"first": first, "last": end - 1})
            found = self._read(pick, self.rules, False)
            again = [root for root in found if root in apart]
            found |= self.of_many(again)
            yield {root: facts for root, facts in found.items() if first <= root < end}

    def _merged(self) -> frozenset[int]:
        rows = self.unit.run(
            select(person.c.root_id)
            .where(person.c.root_id.is_not(None), person.c.root_id != person.c.id)
            .distinct()
        )
        return frozenset(rows.scalars())

    def _rows(self, name: str, pick: Pick, history: bool) -> Any:
        return self.unit.run(_query(name, pick.shape, history), pick.values).fetchall()

    def _read(self, pick: Pick, rules: TrainingRules, history: bool) -> dict[int, PersonFacts]:
        root_of: dict[int, int] = {}
        heads = {}
        for row in self._rows("people", pick, True):
            root_of[row.id] = row.root
            if row.id == row.root:
                heads[row.id] = row
        finished = self._finished(pick, root_of, history)
        signatures = self._signatures(pick, root_of, history, {f.id: f for f in rules.forms})
        exemptions = _by_root(self._rows("exemptions", pick, history), root_of, _exemption)
        held_back = _by_root(self._rows("withheld", pick, history), root_of, _withheld)
        return {
            root: PersonFacts(
                root, row.name, rules, row.born_on, row.of_age_on,
                finished.get(root, ()), exemptions.get(root, ()), signatures.get(root, ()),
                held_back.get(root, ()), row.state in ("left", "erased"), not history,
            )
            for root, row in heads.items()
        }  # fmt: skip

    def _finished(
        self, pick: Pick, root_of: Mapping[int, int], history: bool
    ) -> dict[int, tuple[FinishedStep, ...]]:
        confirmed: dict[int, tuple[Known, ...]] = {}
        for row in self._rows("confirmations", pick, history):
            one = Known(row.recorded_at, row.ended_at)
            confirmed[row.completion] = (*confirmed.get(row.completion, ()), one)

        def made(row: Any) -> FinishedStep:
            return FinishedStep(
                step=row.step, n=row.n, done_on=row.done_on, own_until=row.own_until,
                source=_SOURCES[row.source], score=row.score,
                confirmations=confirmed.get(row.id, ()), id=row.id,
                recorded_at=row.recorded_at, ended_at=row.ended_at,
            )  # fmt: skip

        return _by_root(self._rows("finished", pick, history), root_of, made)

    def _signatures(
        self,
        pick: Pick,
        root_of: Mapping[int, int],
        history: bool,
        forms: Mapping[int, PaperForm],
    ) -> dict[int, tuple[Signature, ...]]:
        second: dict[int, tuple[SecondSign, ...]] = {}
        for row in self._rows("second_signs", pick, history):
            one = SecondSign(
                way=SecondWay(row.way), on=row.on, recorded_at=row.recorded_at,
                ended_at=row.ended_at,
            )  # fmt: skip
            second[row.signature] = (*second.get(row.signature, ()), one)

        def made(row: Any) -> Signature:
            return Signature(
                form=forms[row.paper_form], signed_on=row.signed_on, until_on=row.until_on,
                way=SignedBy(row.way), guardian=row.guardian, scope=scope_of(row.scope),
                second_signs=second.get(row.id, ()), id=row.id,
                recorded_at=row.recorded_at, ended_at=row.ended_at,
            )  # fmt: skip

        return _by_root(self._rows("signatures", pick, history), root_of, made)


_SOURCES = {s.value: s for s in Source}
_SEASONS = select(season.c.from_on, season.c.until_on).order_by(season.c.from_on, season.c.id)
_PEOPLE = select(
    person.c.id, ROOT.label("root"), person.c.name, person.c.born_on, person.c.of_age_on,
    person.c.state,
)  # fmt: skip
_WITH_MERGED = select(person.c.id).where(
    person.c.id.in_(bindparam("ids", expanding=True))
    | person.c.root_id.in_(bindparam("ids", expanding=True))
)
_CONFIRMATIONS = select(
    confirmation.c.completion, confirmation.c.recorded_at, confirmation.c.ended_at
).join(completion, completion.c.id == confirmation.c.completion)
_SECOND_SIGNS = select(
    second_sign.c.signature, second_sign.c.way, second_sign.c.on, second_sign.c.recorded_at,
    second_sign.c.ended_at,
).join(signature, signature.c.id == second_sign.c.signature)  # fmt: skip
_FINISHED = select(
    completion.c.person, completion.c.id, completion.c.step, completion.c.n, completion.c.done_on,
    completion.c.own_until, completion.c.source, completion.c.score, completion.c.recorded_at,
    completion.c.ended_at,
)  # fmt: skip
_SIGNATURES = select(
    signature.c.person, signature.c.id, signature.c.paper_form, signature.c.signed_on,
    signature.c.until_on, signature.c.way, signature.c.guardian, signature.c.scope,
    signature.c.recorded_at, signature.c.ended_at,
)  # fmt: skip
_EXEMPTIONS = select(
    exemption.c.person, exemption.c.step, exemption.c.from_on, exemption.c.until_on,
    exemption.c.recorded_at, exemption.c.ended_at,
)  # fmt: skip
_WITHHELD = select(
    withheld.c.person, withheld.c.role, withheld.c.kind, withheld.c.from_on, withheld.c.until_on,
    withheld.c.recorded_at, withheld.c.ended_at,
)  # fmt: skip
ALL_ROLES = "all"
"""How the table of roles withheld names every role."""


# What is read, whose column picks the people, and which table has rows that end.
_QUERIES: dict[str, tuple[Select[Any], Any, Table]] = {
    "people": (_PEOPLE, person.c.id, person),
    "finished": (_FINISHED, completion.c.person, completion),
    "confirmations": (_CONFIRMATIONS, completion.c.person, confirmation),
    "signatures": (_SIGNATURES, signature.c.person, signature),
    "second_signs": (_SECOND_SIGNS, signature.c.person, second_sign),
    "exemptions": (_EXEMPTIONS, exemption.c.person, exemption),
    "withheld": (_WITHHELD, withheld.c.person, withheld),
}


@cache
def _query(name: str, shape: str, history: bool) -> Select[Any]:
    """The statement, made once; without history only rows that have not ended."""
    query, column, table = _QUERIES[name]
    query = query.where(_SHAPES[shape](column))
    return query if history else query.where(table.c.ended_at.is_(None))


def _by_root(
    rows: Any, root_of: Mapping[int, int], made: Callable[[Any], T]
) -> dict[int, tuple[T, ...]]:
    found: dict[int, list[T]] = {}
    for row in rows:
        found.setdefault(root_of[row.person], []).append(made(row))
    return {root: tuple(values) for root, values in found.items()}


def _exemption(row: Any) -> Exemption:
    return Exemption(
        step=row.step, from_on=row.from_on, until_on=row.until_on, recorded_at=row.recorded_at,
        ended_at=row.ended_at,
    )  # fmt: skip


def _withheld(row: Any) -> Withheld:
    return Withheld(
        role=None if row.role == ALL_ROLES else Role(row.role), kind=WithheldKind(row.kind),
        from_on=row.from_on, until_on=row.until_on, recorded_at=row.recorded_at,
        ended_at=row.ended_at,
    )  # fmt: skip
