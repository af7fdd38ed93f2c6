"""Pages: parse, call one use case, render. Every route declares its audience."""

from __future__ import annotations

from importlib import import_module

from flask import Flask

from roster.config import Config

# Every module listed here has `blueprint`.
PAGE_MODULES = [
    "roster.web.public.signin",
    "roster.web.public.health",
    "roster.web.public.feeds",
    "roster.web.public.links",
    "roster.web.public.enter",
    "roster.web.public.outbox",
    "roster.web.public.seen",
    "roster.web.coordinator.decide",
    "roster.web.coordinator.events",
    "roster.web.coordinator.event_acts",
    "roster.web.coordinator.board",
    "roster.web.coordinator.trial",
    "roster.web.coordinator.people",
    "roster.web.coordinator.person_acts",
    "roster.web.coordinator.person_free",
    "roster.web.coordinator.consent",
    "roster.web.coordinator.exchange",
    "roster.web.coordinator.plants",
    "roster.web.coordinator.places",
    "roster.web.volunteer.days",
    "roster.web.volunteer.help",
    "roster.web.volunteer.window",
    "roster.web.volunteer.training",
    "roster.web.volunteer.calendar",
    "roster.web.volunteer.free",
    "roster.web.lead.fieldsheet",
    "roster.web.lead.crew",
    "roster.web.lead.briefing",
    "roster.web.lead.headcount",
    "roster.web.lead.collection",
    "roster.web.lead.phone",
]


def wire(app: Flask, config: Config) -> None:
    """Hang access rules, errors, headers, template words and all pages on the application."""
    for part in ("access", "errors", "headers", "page", "static"):
        import_module(f"roster.web.{part}").wire(app, config)
    for name in PAGE_MODULES:
        app.register_blueprint(import_module(name).blueprint)
