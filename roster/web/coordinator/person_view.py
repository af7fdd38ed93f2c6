"""The page of one person as its views show it."""

from __future__ import annotations

from datetime import date

from flask import render_template

from roster.domain.paper_forms import SecondWay
from roster.domain.people import Role
from roster.services.person_page import Act, PersonPage, person_page
from roster.web.access import actor
from roster.web.page import _, language
from roster.words import word
from roster.words.terms import TERMS


def show(person_id: int, role: Role | None, day: date | None) -> str:
    """The page of a person; without role and day, the likeliest role today."""
    found = person_page(actor(), person_id, role, day)
    return render_template(
        "coordinator/person.html",
        found=found,
        row=found.person,
        roles=[(r.value, word("role", r.value, language())) for r in Role],
        acts=[(act.at, found.time_zone, _act(act)) for act in found.acts],
        label=_label(found),
        axis=_axis(found),
        ways=[(w.value, word("second_way", w.value, language())) for w in SecondWay],
        marks=[found.day],
    )


def _label(found: PersonPage) -> list[tuple[str, str]]:
    row = found.person
    mail = ", ".join(a.address for a in found.addresses if a.use != "guardian")
    grown = _("of age") if found.of_age_on and found.of_age_on <= found.today else ""
    if not grown:
        grown = _("%(n)s years", n=found.age) if found.age is not None else _("not known")
    staff = ", ".join(word("staff_role", g.role.value, language()) for g in found.grants)
    return [
        (_("Home place"), row.postcode or (_("on the map") if row.lat is not None else "")),
        (_("Region"), row.region_name or _("unassigned")),
        (_("Mail"), mail),
        (_("Phone"), row.phone or ""),
        (_("Age"), grown),
        (_("Household"), row.household or ""),
        (_("Staff"), staff),
        (_("State"), word("person_state", row.state, language())),
    ]


def _act(act: Act) -> str:
    known = TERMS["person_act"]
    verb = word("person_act", act.verb, language()) if act.verb in known else act.verb
    about = ", ".join(_plain(part) for part in act.about.split(", ")) if act.about else ""
    told = f"{verb}: {about}" if about else verb
    return f"{told.replace('_', ' ')} ({act.who})"


def _plain(part: str) -> str:
    """A code word of a role in plain words; anything else as it is."""
    for group in ("role", "staff_role"):
        if part in TERMS[group]:
            return word(group, part, language())
    return part


def _axis(found: PersonPage) -> list[tuple[date, str]]:
    """The marks above the chart of steps: each New Year and each July."""
    first, last = found.years
    return [
        (date(year, month, 1), str(year) if month == 1 else word("month_mark", "jul", language()))
        for year in (first.year, last.year)
        for month in (1, 7)
    ]
