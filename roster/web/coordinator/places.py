"""Places: sites, what their land manager permits, what is closed."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from roster.domain.errors import BadInput
from roster.services import place_pages, places, trials
from roster.services.place_pages import PAGE_ROWS
from roster.web.access import Audience, actor, allow
from roster.web.asking import page_number
from roster.web.forms.events import choices
from roster.web.forms.places import ClosureForm, PermissionForm, SiteForm
from roster.web.page import _, operation, refused_at, tell

blueprint = Blueprint("places", __name__)


@blueprint.get("/places")
@allow(Audience.STAFF)
def listing() -> str:
    """A page of sites."""
    found = place_pages.sites_page(actor(), page_number())
    more = found.number * PAGE_ROWS < found.total
    return render_template("coordinator/places.html", found=found, more=more)


@blueprint.get("/places/<int:site_id>")
@allow(Audience.STAFF, of="site")
def page(site_id: int) -> str:
    """A site with its permissions, populations and events."""
    found = place_pages.site_page(actor(), site_id)
    return render_template("coordinator/place.html", found=found, site=found.site)


@blueprint.route("/places/new", methods=["GET", "POST"])
@allow(Audience.STAFF)
def new() -> Response | str | tuple[str, int]:
    """The form of a new site."""
    offered = place_pages.plant_choices(actor())
    region = offered.regions[0] if offered.regions else None
    form = SiteForm(
        data={
            "time_zone": region.time_zone if region else "",
            "majority_age": 18,
            "minutes_to_signal": 0,
            "walk_out_minutes": 60,
        }
    )
    form.region.choices = choices((r.id, r.name) for r in offered.regions)
    if request.method == "POST" and form.validate():
        try:
            number = places.add_site(actor(), form.new_site(), str(operation()))
        except BadInput as error:
            refused_at(form, error.field, error.reason)
        else:
            tell(_("The site is recorded. Next comes the permission of the land manager."))
            return redirect(url_for("places.page", site_id=number), 303)
    status = 422 if form.errors else 200
    return render_template("coordinator/place_new.html", form=form, offered=offered), status


@blueprint.route("/places/<int:site_id>/permission", methods=["GET", "POST"])
@allow(Audience.STAFF, of="site")
def permission(site_id: int) -> Response | tuple[str, int]:
    """The form of a new permission."""
    found = place_pages.site_page(actor(), site_id)
    offered = place_pages.plant_choices(actor())
    here = {p.taxon for p in found.populations}
    form = PermissionForm(data={"manager": found.site.manager, "taxa": sorted(here)})
    form.taxa.choices = choices(
        (t.id, f"{t.common_name}, {t.name}" if t.common_name else t.name)
        for t in sorted(offered.taxa, key=lambda t: (t.id not in here, t.name))
    )
    form.papers.choices = choices((number, title) for number, _code, title in offered.papers)
    if request.method == "POST" and form.validate():
        try:
            places.add_permission(actor(), form.new_permission(site_id), str(operation()))
        except BadInput as error:
            refused_at(form, {"until_on": "last_day"}.get(error.field, error.field), error.reason)
        else:
            tell(_("The permission is recorded; the events of this site were checked again."))
            return redirect(url_for("places.page", site_id=site_id), 303)
    page = render_template("coordinator/permission_new.html", form=form, site=found.site)
    return page, 422 if form.errors else 200


@blueprint.route("/places/<int:site_id>/closure", methods=["GET", "POST"])
@allow(Audience.STAFF, of="site")
def closure(site_id: int) -> Response | tuple[str, int]:
    """The form of a closure of a site or of a road to it."""
    found = place_pages.site_page(actor(), site_id)
    form = ClosureForm(data={"from_day": found.today, "checked_on": found.today})
    if request.method == "POST" and form.validate():
        try:
            new_closure = form.new_closure(site_id, found.site.time_zone)
            number = places.add_closure(actor(), new_closure, str(operation()))
        except BadInput as error:
            refused_at(form, {"until_at": "until_day"}.get(error.field, error.field), error.reason)
        else:
            tell(_("The closure is recorded. Every event that it touches says stop now."), "warn")
            touched = trials.touched(actor(), number).lines
            after = url_for("trial.choose", closure=number) if touched else url_for("decide.first")
            return redirect(after, 303)
    page = render_template("coordinator/closure_new.html", form=form, site=found.site)
    return page, 422 if form.errors else 200


@blueprint.post("/places/<int:site_id>/closure/<int:closure_id>/lift")
@allow(Audience.STAFF, of="site")
def lift(site_id: int, closure_id: int) -> Response:
    """A closure ends now; its events are checked again, none is revived by itself."""
    places.lift_closure(actor(), site_id, closure_id, str(operation()))
    tell(_("The closure is lifted. Events that were called off stay called off."))
    return redirect(url_for("places.page", site_id=site_id), 303)
