"""All repositories on one transaction; each is made when first asked for."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from roster.store.unit import Unit

if TYPE_CHECKING:
    from roster.store.access import Access
    from roster.store.availability import Availabilities
    from roster.store.briefings import Briefings
    from roster.store.collections import Collections
    from roster.store.counts import Counts
    from roster.store.events import Events
    from roster.store.exchange import Exchange
    from roster.store.facts import Facts
    from roster.store.feeds import Feeds
    from roster.store.held import HeldTable
    from roster.store.invitations import Invitations
    from roster.store.job_runs import JobRuns
    from roster.store.journal import Journal
    from roster.store.leads import Leads
    from roster.store.links import Links
    from roster.store.operations import Operations
    from roster.store.outbox import Outbox
    from roster.store.papers import Papers
    from roster.store.people import People
    from roster.store.phone_list import PhoneLists
    from roster.store.places import Places
    from roster.store.programme import Programme
    from roster.store.rates import Rates
    from roster.store.reminders import Reminders
    from roster.store.sessions import Sessions
    from roster.store.spots import Spots
    from roster.store.summary import Summaries
    from roster.store.training import Training


class Store:
    """The repositories of one transaction; `unit` runs, journals and keeps two times."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    @cached_property
    def access(self) -> Access:
        """Who the actor is, and how the actor stands to an object."""
        from roster.store.access import Access

        return Access(self.unit)

    @cached_property
    def sessions(self) -> Sessions:
        """Sessions and sign-ins."""
        from roster.store.sessions import Sessions

        return Sessions(self.unit)

    @cached_property
    def links(self) -> Links:
        """Mailed links."""
        from roster.store.links import Links

        return Links(self.unit)

    @cached_property
    def programme(self) -> Programme:
        """Programme, settings, seasons."""
        from roster.store.programme import Programme

        return Programme(self.unit)

    @cached_property
    def people(self) -> People:
        """Persons, addresses, grants."""
        from roster.store.people import People

        return People(self.unit)

    @cached_property
    def availability(self) -> Availabilities:
        """What people said of their time."""
        from roster.store.availability import Availabilities

        return Availabilities(self.unit)

    @cached_property
    def training(self) -> Training:
        """Tracks, steps, finished steps."""
        from roster.store.training import Training

        return Training(self.unit)

    @cached_property
    def papers(self) -> Papers:
        """Forms and signatures."""
        from roster.store.papers import Papers

        return Papers(self.unit)

    @cached_property
    def facts(self) -> Facts:
        """What a verdict reads, for one person or many."""
        from roster.store.facts import Facts

        return Facts(self.unit)

    @cached_property
    def held(self) -> HeldTable:
        """The derived interval table."""
        from roster.store.held import HeldTable

        return HeldTable(self.unit)

    @cached_property
    def exchange(self) -> Exchange:
        """Import batches and their rows."""
        from roster.store.exchange import Exchange

        return Exchange(self.unit)

    @cached_property
    def places(self) -> Places:
        """Regions, zones, sites, populations, permissions, closures."""
        from roster.store.places import Places

        return Places(self.unit)

    @cached_property
    def events(self) -> Events:
        """Events and their revisions."""
        from roster.store.events import Events

        return Events(self.unit)

    @cached_property
    def leads(self) -> Leads:
        """Leads ranked and asked."""
        from roster.store.leads import Leads

        return Leads(self.unit)

    @cached_property
    def summary(self) -> Summaries:
        """What is derived for each event."""
        from roster.store.summary import Summaries

        return Summaries(self.unit)

    @cached_property
    def spots(self) -> Spots:
        """Spots and waiting lists."""
        from roster.store.spots import Spots

        return Spots(self.unit)

    @cached_property
    def phone_lists(self) -> PhoneLists:
        """Who was told by phone."""
        from roster.store.phone_list import PhoneLists

        return PhoneLists(self.unit)

    @cached_property
    def briefings(self) -> Briefings:
        """Briefings and who heard them."""
        from roster.store.briefings import Briefings

        return Briefings(self.unit)

    @cached_property
    def counts(self) -> Counts:
        """Head counts."""
        from roster.store.counts import Counts

        return Counts(self.unit)

    @cached_property
    def collections(self) -> Collections:
        """Number blocks and collections."""
        from roster.store.collections import Collections

        return Collections(self.unit)

    @cached_property
    def outbox(self) -> Outbox:
        """Messages still to be sent."""
        from roster.store.outbox import Outbox

        return Outbox(self.unit)

    @cached_property
    def invitations(self) -> Invitations:
        """What each person was told."""
        from roster.store.invitations import Invitations

        return Invitations(self.unit)

    @cached_property
    def feeds(self) -> Feeds:
        """Calendar feeds and their kept bytes."""
        from roster.store.feeds import Feeds

        return Feeds(self.unit)

    @cached_property
    def reminders(self) -> Reminders:
        """What reminders are due for."""
        from roster.store.reminders import Reminders

        return Reminders(self.unit)

    @cached_property
    def job_runs(self) -> JobRuns:
        """Job slots claimed and done."""
        from roster.store.job_runs import JobRuns

        return JobRuns(self.unit)

    @cached_property
    def journal(self) -> Journal:
        """The trail, read."""
        from roster.store.journal import Journal

        return Journal(self.unit)

    @cached_property
    def rates(self) -> Rates:
        """Windows in which something was asked for."""
        from roster.store.rates import Rates

        return Rates(self.unit)

    @cached_property
    def operations(self) -> Operations:
        """Answers already given."""
        from roster.store.operations import Operations

        return Operations(self.unit)
