"""Forms of papers and signatures: four different things, each with versions that never change."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum

from roster.domain.spans import OPEN_END, Span
from roster.domain.training import Known, until_of


class PaperKind(StrEnum):
    """What a form is for."""

    AGREEMENT = "agreement"  # volunteer agreement of an agency
    RELEASE = "release"  # our own acceptance of risk; an adult's
    GUARDIAN_CONSENT = "guardian_consent"  # a guardian's, for a minor
    EMERGENCY_CARE = "emergency_care"  # a guardian's, for a minor


class SignedBy(StrEnum):
    """How a signature was given."""

    TYPED = "typed"
    PAPER = "paper"
    CALL = "call"
    LINK = "link"


class SecondWay(StrEnum):
    """How a guardian's second sign was given."""

    CALL = "call"
    PAPER = "paper"
    LATER_MAIL = "later_mail"


@dataclass(frozen=True)
class PaperForm:
    """One version of a form in one language, in force from a day; `agency` for an agreement."""

    id: int
    code: str
    kind: PaperKind
    title: str
    version: int
    from_on: date
    validity: str | None = None
    language: str = "en"
    agency: str | None = None


@dataclass(frozen=True, kw_only=True)
class SecondSign(Known):
    """The second sign to a guardian's consent, and the day on which it was given."""

    way: SecondWay
    on: date


@dataclass(frozen=True)
class ConsentScope:
    """What a guardian consents to.

    `activities` in words; `no_signal` whether also at sites without signal; `travel` in words;
    `fetched_by` who may fetch the minor; `may_leave_alone` whether the count may end without.
    """

    activities: str = ""
    no_signal: bool = False
    travel: str = ""
    fetched_by: tuple[str, ...] = ()
    may_leave_alone: bool = False


@dataclass(frozen=True, kw_only=True)
class Signature(Known):
    """Who signed which version of a form. `guardian` is set where a guardian signed for a minor.

    Half-open: `until_on` is the first day on which it no longer holds, None if only the form's
    own validity ends it.
    """

    form: PaperForm
    signed_on: date
    until_on: date | None = None
    way: SignedBy = SignedBy.TYPED
    guardian: int | None = None
    scope: ConsentScope = field(default_factory=ConsentScope)
    second_signs: tuple[SecondSign, ...] = ()
    id: int = 0

    @property
    def counts_from(self) -> date | None:
        """The first day it counts: for guardian consent that of the second sign (None: not yet).

        A mail and a further step, after 16 CFR 312.5(b)(2)(vi); here for every age.
        """
        if self.form.kind is not PaperKind.GUARDIAN_CONSENT:
            return self.signed_on
        second = min((s.on for s in self.second_signs), default=None)
        return None if second is None else max(second, self.signed_on)

    @property
    def ends_on(self) -> date:
        """The first day on which it no longer holds by its own terms."""
        own = self.until_on or OPEN_END
        if self.form.validity is None:
            return own
        return min(own, until_of(self.signed_on, self.form.validity))

    @property
    def last_day(self) -> date | None:
        """The last valid day by its own terms, None if it has no end."""
        return None if self.ends_on == OPEN_END else self.ends_on - timedelta(days=1)

    def days(self, of_age_on: date | None) -> Span | None:
        """The days on which it holds for somebody of age from `of_age_on` (None: not known).

        A guardian's signature ends when the person comes of age; the person's own counts only if
        it was given on that day or later.
        """
        first = self.counts_from
        if first is None:
            return None
        until = self.ends_on
        if of_age_on is not None and self.guardian is not None:
            until = min(until, of_age_on)
        elif of_age_on is not None and self.signed_on < of_age_on:
            return None
        return (first, until) if first < until else None
