"""Plants: populations with their ready windows, site checks, species and zones."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.domain.readiness import ReadyWindow
from roster.services import place_pages, places, plants
from roster.services.place_pages import PAGE_ROWS
from roster.web.access import Audience, actor, allow
from roster.web.asking import number_in, page_number, text_in
from roster.web.forms.events import choices
from roster.web.forms.places import PopulationForm, SiteCheckForm, SpeciesForm, ZoneForm
from roster.web.page import _, operation, refused_at, tell
from roster.words import mark

blueprint = Blueprint("plants", __name__)
SIZE_CLASSES = (
    "",
    mark("50 or fewer"),
    mark("51 to 500"),
    mark("501 to 5,000"),
    mark("more than 5,000"),
)
DayPair = tuple[date, date]


@blueprint.get("/plants")
@allow(Audience.STAFF)
def listing() -> str:
    """A page of populations by zone and species, each with its window."""
    found = place_pages.plants_page(actor(), text_in("q"), page_number())
    first = found.season.from_on if found.season else found.today - timedelta(days=60)
    last = found.season.until_on - timedelta(days=1) if found.season else first + timedelta(200)
    return render_template(
        "coordinator/plants.html",
        found=found,
        q=text_in("q"),
        more=found.number * PAGE_ROWS < found.total,
        span=(first, last),
        strips={number: strip_days(window) for number, window in found.windows.items()},
    )


def strip_days(window: ReadyWindow) -> tuple[DayPair, DayPair]:
    """The days on which seed is expected (half or more) and possible (one in twenty or more)."""
    first = window.best_day() - timedelta(days=90)
    chances = window.chances(first + timedelta(days=i) for i in range(181))
    most = max(chances.values())
    return _between(chances, most * 0.5), _between(chances, most * 0.05)


def _between(chances: dict[date, float], least: float) -> DayPair:
    days = [day for day, chance in chances.items() if chance >= least]
    return min(days), max(days)


@blueprint.get("/plants/<int:site_id>/<int:population_id>")
@allow(Audience.STAFF, of="site")
def page(site_id: int, population_id: int) -> str:
    """A population: its chances by day, its site checks, its permission and events."""
    return _population(site_id, population_id, SiteCheckForm(formdata=None))


@blueprint.post("/plants/<int:site_id>/<int:population_id>/check")
@allow(Audience.STAFF, of="site")
def check(site_id: int, population_id: int) -> Response | tuple[str, int]:
    """Record a site check."""
    form = SiteCheckForm()
    if form.validate():
        try:
            seen = form.site_check(population_id)
            place_pages.population_page(actor(), site_id, population_id)
            plants.record_site_check(actor(), seen, str(operation()))
        except BadInput as error:
            refused_at(form, error.field.removeprefix("share_"), error.reason)
        else:
            tell(_("The site check is recorded; the chance ready was worked out anew."))
            address = url_for("plants.page", site_id=site_id, population_id=population_id)
            return redirect(address, 303)
    return _population(site_id, population_id, form), 422


def _population(site_id: int, population_id: int, form: SiteCheckForm) -> str:
    found = place_pages.population_page(actor(), site_id, population_id)
    if not form.is_submitted():
        form.on.data = found.today
    return render_template("coordinator/population.html", found=found, row=found.row, form=form)


@blueprint.route("/plants/new", methods=["GET", "POST"])
@allow(Audience.STAFF)
def new() -> Response | str | tuple[str, int]:
    """The form of a new population at a site."""
    site_id = number_in("site")
    if site_id is None:
        return redirect(url_for("places.listing"))
    found = place_pages.site_page(actor(), site_id)
    offered = place_pages.plant_choices(actor())
    form = PopulationForm(data={"wild": True, "elevation_ft": found.site.elevation_ft})
    form.taxon.choices = choices((t.id, f"{t.name} ({t.code})") for t in offered.taxa)
    form.zone.choices = choices((z.id, z.label) for z in offered.zones)
    regions = ((e.id, f"{e.name} ({e.number})") for e in offered.ecoregions)
    form.ecoregion.choices = choices([("", _("not known")), *regions])
    form.size_class.choices = choices((size, _(size or "not known")) for size in SIZE_CLASSES)
    if request.method == "POST" and form.validate():
        try:
            new_population = form.new_population(site_id)
            number = plants.add_population(actor(), new_population, str(operation()))
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell(_("The population is recorded."))
            return redirect(url_for("plants.page", site_id=site_id, population_id=number), 303)
    page = render_template(
        "coordinator/population_new.html", form=form, site=found.site, offered=offered
    )
    return page, 422 if form.errors else 200


@blueprint.route("/plants/species", methods=["GET", "POST"])
@allow(Audience.COORDINATOR)
def species() -> Response | tuple[str, int]:
    """Species, each with a calendar at a reference place; the form of a new one."""
    form = SpeciesForm()
    if request.method == "POST" and form.validate():
        try:
            taxon = plants.add_taxon(actor(), form.new_taxon())
            plants.add_calendar(actor(), form.new_calendar(taxon))
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell(_("The species is recorded with its calendar."))
            return redirect(url_for("plants.species"), 303)
    return _species(form, _zone_form(None)), 422 if form.errors else 200


@blueprint.post("/plants/zones")
@allow(Audience.COORDINATOR)
def zones() -> Response | tuple[str, int]:
    """Record a seed zone under its published label."""
    form = _zone_form(request.form)
    if form.validate():
        try:
            places.add_zone(actor(), form.label.data, form.kind.data, form.source.data)
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell(_("The zone is recorded under its published label."))
            return redirect(url_for("plants.species"), 303)
    return _species(SpeciesForm(formdata=None), form), 422


def _zone_form(given: Any) -> ZoneForm:
    """The second form of the page; its fields carry a prefix, so that ids stay apart."""
    return ZoneForm(formdata=given, prefix="zone-")


def _species(form: SpeciesForm, zone_form: ZoneForm) -> str:
    offered = place_pages.plant_choices(actor())
    kinds = [("provisional", _("provisional")), ("species", _("for one species"))]
    zone_form.kind.choices = choices(kinds)
    if not zone_form.kind.data:
        zone_form.kind.data = "provisional"
    return render_template(
        "coordinator/species.html", form=form, zone_form=zone_form, offered=offered
    )
