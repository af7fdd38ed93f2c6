"""A stack of papers typed in: one form, many people, one transaction."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from roster.domain.dates import last_valid_day
from roster.domain.errors import BadInput
from roster.domain.paper_forms import SignedBy
from roster.domain.papers import GUARDIANS
from roster.domain.people import Actor
from roster.domain.reasons import Fact, Reason
from roster.services import clearance
from roster.services.access import require_coordinator
from roster.services.people import Operation, today_in
from roster.store.registry import Store
from roster.store.transaction import write

MOST = 1000


def record_stack(
    actor: Actor, form_id: int, signed: Mapping[int, date], operation: Operation = None
) -> int:
    """Papers of one form that people signed for themselves on the day beside their number.

    Handed in on paper, at most 1,000 at a time, all or none; by a coordinator of the programme.
    Crews to come are checked anew by the nightly pass, so a stack is for people who are on none
    yet. Gives how many were recorded. BadInput for a guardian's form or a day to come.
    """
    if not 1 <= len(signed) <= MOST:
        facts: dict[str, Fact] = {"value": str(len(signed)), "least": 1, "most": MOST}
        raise BadInput("signed", len(signed), Reason("number_out_of_range", facts))

    def body(store: Store) -> int:
        require_coordinator(store)
        form = store.papers.form(form_id)
        if form.kind in GUARDIANS:
            raise BadInput("form", form.code, Reason("bad_choice", {"value": form.title}))
        today = today_in(store)
        for person, day in signed.items():
            if not form.from_on <= day <= today:
                raise BadInput("signed_on", day, Reason("day_to_come", {"day": day}))
            until = None
            if form.validity is not None:
                until = last_valid_day(day, form.validity) + timedelta(days=1)
            store.papers.add_signature(
                None, person=person, paper_form=form.id, signed_on=day, until_on=until,
                way=SignedBy.PAPER.value, guardian=None,
            )  # fmt: skip
            store.unit.note("signed", "person", person, after={"paper": form.title, "on": day})
        clearance.refresh_many(store, list(signed))
        return len(signed)

    return write(body, actor=actor, operation=operation)
