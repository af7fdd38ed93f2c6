"""My calendar: the private address to subscribe to, and a new one when it got about."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, url_for
from werkzeug.wrappers import Response

from roster.services import feeds
from roster.web.access import Audience, actor, allow
from roster.web.page import _, operation, tell

blueprint = Blueprint("calendar", __name__)


@blueprint.get("/calendar")
@allow(Audience.PERSON)
def mine() -> str:
    """One's own address, and those of the regions one cares for."""
    asking = actor()
    regions = feeds.region_addresses(asking) if asking.is_staff else []
    return render_template(
        "volunteer/calendar.html", address=feeds.address_of(asking), regions=regions
    )


@blueprint.post("/calendar/address")
@allow(Audience.PERSON)
def renew() -> Response:
    """A new address in place of the old one."""
    feeds.renew_address(actor(), operation=operation())
    tell(_("You have a new address. The old one no longer works: subscribe anew."))
    return redirect(url_for("calendar.mine"), 303)


@blueprint.post("/calendar/stop")
@allow(Audience.PERSON)
def stop() -> Response:
    """End the feed."""
    feeds.revoke_address(actor(), operation=operation())
    tell(_("The address no longer works. Take the calendar out of your calendar program."))
    return redirect(url_for("calendar.mine"), 303)


@blueprint.post("/calendar/region/<int:region_id>")
@allow(Audience.STAFF, of="region")
def region(region_id: int) -> Response:
    """Make the address of a region's calendar."""
    feeds.region_address(actor(), region_id, operation=operation())
    return redirect(url_for("calendar.mine"), 303)
