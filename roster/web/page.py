"""What every template knows: words and days in the reader's language, the frame of the page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from datetime import date, datetime, timedelta
from functools import partial
from typing import Any
from urllib.parse import urlencode
from uuid import UUID, uuid4

from flask import Flask, abort, flash, g, request
from flask_wtf import FlaskForm
from markupsafe import Markup, escape

from roster.config import Config
from roster.domain.people import ANONYMOUS, Actor, ActorKind
from roster.domain.reasons import Level, Reason
from roster.services import frame
from roster.web import drawing, navigation
from roster.words import Said, formats, say, sentences, word
from roster.words.catalogue import LANGUAGES, PSEUDO, known, translator

_LEVEL_STATE = {Level.STOP: "stop", Level.CAUTION: "warn", Level.CLEAR: "ok"}


def language() -> str:
    """The reader's language: the person's own, else what the browser asks for, else English."""
    forced = g.get("language")
    if forced:
        return str(forced)
    asking: Actor = g.get("actor", ANONYMOUS)
    if asking.kind is not ActorKind.ANONYMOUS:
        return known(asking.language)
    return request.accept_languages.best_match((*LANGUAGES, PSEUDO)) or "en"


def _(message: str, **facts: object) -> str:
    """A string of a view in the reader's language: `_("%(n)s people asked", n=3)`."""
    said = translator(language()).gettext(message)
    return said % facts if facts else said


def operation() -> UUID:
    """The operation id that the form carried; a form without one did not come from our page."""
    try:
        return UUID(request.form.get("op", ""))
    except ValueError:
        abort(400)


def tell(message: str, state: str = "ok") -> None:
    """Show a message on the next page: state ok, warn, stop or info."""
    flash(message, state)


def tell_with_undo(message: str, address: str) -> None:
    """Show a message on the next page with a button that posts to `address` to take it back."""
    flash([message, address], "undo")  # type: ignore[arg-type]


def refused_at(form: FlaskForm, field: str, reason: Reason) -> None:
    """Put the words of a refusal at a field of the form (at its head if it has no such field)."""
    said = say(reason, language())
    told = f"{said.text} {said.remedy}" if said.remedy else said.text
    place = getattr(form, field, None)
    if place is not None and hasattr(place, "errors"):
        place.errors = [*place.errors, told]
    else:
        form.form_errors.append(told)


def wrong_fields(form: FlaskForm) -> list[tuple[str | None, str]]:
    """Every error of a form with the id of its field (None: it concerns the whole form)."""
    found: list[tuple[str | None, str]] = [(None, str(e)) for e in form.form_errors]
    for field in form:
        found += [(field.id, str(e)) for e in field.errors if isinstance(e, str)]
    return found


def url_with(**changes: object) -> str:
    """This address with some of its questions changed; None takes one away."""
    asked: dict[str, object] = {k: request.args.getlist(k) for k in request.args}
    asked |= changes
    kept = {k: v for k, v in asked.items() if v is not None}
    return f"{request.path}?{urlencode(kept, doseq=True)}" if kept else request.path


def names(values: Iterable[object]) -> Markup:
    """Names in a sentence, each escaped."""
    return Markup(formats.list_of([str(escape(v)) for v in values], language()))  # noqa: S704


def _speaks(function: Callable[..., str]) -> Callable[..., str]:
    """The format function in the reader's language; None becomes nothing."""

    def said(value: Any, *more: Any) -> str:
        return "" if value is None else function(value, *more, language=language())

    return said


def _say_reason(reason: Reason, time_zone: str | None = None) -> Said:
    return say(reason, language(), time_zone)


def _term(group: str, code: object) -> str:
    return "" if code is None else word(group, code, language())


def _level_state(level: object) -> str:
    return _LEVEL_STATE[Level(str(level))]


_FORMATS: dict[str, Callable[..., str]] = {
    "day": formats.day,
    "day_short": formats.day_short,
    "weekday": formats.weekday,
    "month": formats.month,
    "time_in": formats.time,
    "moment": formats.moment,
    "moment_short": formats.moment_short,
    "span": formats.span,
    "days": formats.days,
    "number": formats.number,
    "number_word": formats.number_word,
    "hours": formats.hours,
}


def _frame_of(asking: Actor) -> dict[str, Any]:
    found = frame.now()
    ruler = None
    if found.season is not None:
        ruler = drawing.Ruler(
            found.season.from_on, found.season.until_on - timedelta(1), language()
        )
    return {
        "actor": asking,
        "language": language(),
        "programme": found.programme,
        "today": found.today,
        "zone_name": found.zone_name,
        "programme_zone": found.time_zone,
        "season_ruler": ruler,
        "nav": navigation.items(asking, language()),
        "who": navigation.who(asking, language()),
    }


def bare_frame(now: datetime) -> dict[str, Any]:
    """The frame of a page that must come even when the database does not answer."""
    today: date = now.date()
    return {"language": language(), "programme": "", "today": today, "zone_name": "UTC",
            "programme_zone": None,
            "season_ruler": None, "nav": [], "who": ""}  # fmt: skip


def wire(app: Flask, config: Config) -> None:
    """Hang words, formats and the frame on the templates."""
    sentences.forgive(not config.development)
    environment = app.jinja_env
    environment.add_extension("jinja2.ext.i18n")
    environment.trim_blocks = environment.lstrip_blocks = True
    environment.install_gettext_callables(  # type: ignore[attr-defined]
        gettext=lambda message: translator(language()).gettext(message),
        ngettext=lambda one, many, n: translator(language()).ngettext(one, many, n),
        newstyle=True,
    )
    spoken = {name: _speaks(function) for name, function in _FORMATS.items()}
    environment.filters.update(spoken)
    environment.filters.update(percent=formats.percent, names=names, term=_swap(_term))
    environment.globals.update(spoken)
    environment.globals.update(
        say_reason=_say_reason, term=_term, level_state=_level_state, percent=formats.percent,
        bars=partial(drawing.bars), ruler=_ruler, url_with=url_with, names=names,
        wrong_fields=wrong_fields, new_operation=lambda: str(uuid4()), unlike=_unlike,
    )  # fmt: skip
    app.context_processor(lambda: g.get("bare_frame") or _frame_of(g.get("actor", ANONYMOUS)))


def _unlike(name: str) -> str:
    """An id for a field that no other field of the page has: `why`, then `why-2`, `why-3`."""
    seen: Counter[str] = g.setdefault("field_ids", Counter())
    seen[name] += 1
    return name if seen[name] == 1 else f"{name}-{seen[name]}"


def _ruler(first: date, last: date) -> drawing.Ruler:
    return drawing.Ruler(first, last, language())


def _swap(function: Callable[[str, object], str]) -> Callable[[object, str], str]:
    return lambda code, group: function(group, code)
