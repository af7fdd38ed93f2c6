"""What can go wrong, as one tree.

RosterError
+-- RuleBroken          a rule of the trade says no; carries every Reason        exit 1, HTTP 409
+-- BadInput            a value cannot be used: field, value, text, remedy       exit 2, HTTP 422
|   +-- NotFound        no such person, event, ... (number as typed)             exit 2, HTTP 404
+-- NotAllowed          the actor may not do this to this object                 exit 1, HTTP 403
+-- Conflict            somebody was faster; nothing was changed                 exit 1, HTTP 409
"""

from __future__ import annotations

from collections.abc import Iterable

from roster.domain.reasons import Reason


class RosterError(Exception):
    """Root of all errors that are meant for a person."""


class RuleBroken(RosterError):
    """A rule says no; `reasons` holds every reason, gravest first."""

    def __init__(self, reasons: Iterable[Reason]) -> None:
        self.reasons = tuple(reasons)
        super().__init__(", ".join(r.code for r in self.reasons))


class BadInput(RosterError):
    """A value that cannot be used; `reason` is said by `roster.words` (text and remedy)."""

    def __init__(self, field: str, value: object, reason: Reason) -> None:
        self.field, self.value, self.reason = field, value, reason
        super().__init__(f"{field}={value!r}: {reason.code}")


class NotFound(BadInput):
    """Nothing has this number or address; `field` is the kind: person, event, site, ..."""

    def __init__(self, kind: str, value: object) -> None:
        super().__init__(kind, value, Reason("not_found", {"kind": kind, "value": str(value)}))


class NotAllowed(RosterError):
    """The actor may not do this; what exists is not told to who may not see it."""


class Conflict(RosterError):
    """Another act came first; nothing was changed."""

    def __init__(self, reason: Reason) -> None:
        self.reason = reason
        super().__init__(reason.code)
