"""From a broken constraint to a domain error: one table for both databases."""

from __future__ import annotations

import re

from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError

from roster.domain.errors import Conflict, RosterError
from roster.domain.reasons import Reason

# Constraint or index name -> reason code in roster.words.
CODES = {
    "uq_person_address_sign_in": "address_taken",
    "uq_spot_event_person": "already_has_a_spot",
    "ck_event_taken": "no_spot_left",
    "uq_lead_ask_agreed": "lead_already_agreed",
    "uq_lead_ask_open": "already_asked",
    "uq_completion_source": "already_recorded",
    "uq_signature_source": "already_recorded",
    "uq_collection_number": "number_taken",
    "uq_number_block_team_first_no": "number_taken",
}
# SQLite names table.column for UNIQUE.
SQLITE_COLUMNS = {
    "person_address.key": "uq_person_address_sign_in",
    "spot.event, spot.person": "uq_spot_event_person",
    "lead_ask.event, lead_ask.role": "uq_lead_ask_agreed",
    "lead_ask.event, lead_ask.person, lead_ask.role": "uq_lead_ask_open",
    "completion.source, completion.source_key": "uq_completion_source",
    "signature.source_key": "uq_signature_source",
    "collection.team, collection.no": "uq_collection_number",
    "number_block.team, number_block.first_no": "uq_number_block_team_first_no",
}
RETRY_STATES = {"40001", "40P01"}


def constraint_of(error: IntegrityError) -> str | None:
    """The name of the constraint that said no, where the database tells."""
    name = getattr(getattr(error.orig, "diag", None), "constraint_name", None)
    if name:
        return str(name)
    text = str(error.orig)
    if found := re.search(r"CHECK constraint failed: (\S+)", text):
        return found.group(1)
    if found := re.search(r"UNIQUE constraint failed: (?:index '([^']+)'|(.+))", text):
        return found.group(1) or SQLITE_COLUMNS.get(found.group(2))
    return None


def as_domain_error(error: IntegrityError) -> RosterError | None:
    """The Conflict that a broken constraint means, or None when it is a fault of ours."""
    name = constraint_of(error)
    code = CODES.get(name or "")
    return Conflict(Reason(code)) if code else None


def worth_retrying(error: DBAPIError) -> bool:
    """Whether the act met only a lock, a deadlock or a lost connection."""
    if error.connection_invalidated:
        return True
    state = getattr(error.orig, "sqlstate", None)
    if state is not None:
        return state in RETRY_STATES
    return isinstance(error, OperationalError) and bool(
        re.search(r"database (table )?is locked|database is busy", str(error.orig))
    )
