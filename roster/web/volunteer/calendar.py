"""My calendar: the private address to subscribe to, and a new one when it got about."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, url_for
from werkzeug.wrappers import Response

from roster.services import feed_addresses
from roster.web.access import Audience, actor, allow
from roster.web.page import _, operation, tell

blueprint = Blueprint("calendar", __name__)


@blueprint.get("/calendar")
@allow(Audience.PERSON)
def mine() -> str:
    """One's own address, and those of the regions one cares for."""
    asking = actor()
    regions = feed_addresses.region_addresses(asking) if asking.is_staff else []
    return render_template(
        "volunteer/calendar.html", address=feed_addresses.address_of(asking), regions=regions
    )


@blueprint.post("/calendar/address")
@allow(Audience.PERSON)
def renew() -> Response:
    """A new address in place of the old one."""
    feed_addresses.renew_address(actor(), operation=operation())
    tell(_("You have a new address. The old one no longer works: subscribe anew."))
    return redirect(url_for("calendar.mine"), 303)


@blueprint.post("/calendar/stop")
@allow(Audience.PERSON)
def stop() -> Response:
    """End the feed."""
    feed_addresses.revoke_address(actor(), operation=operation())
    tell(_("The address no longer works. Take the calendar out of your calendar program."))
    return redirect(url_for("calendar.mine"), 303)


@blueprint.post("/calendar/region/<int:region_id>")
@allow(Audience.STAFF, of="region")
def region(region_id: int) -> Response:
    """Make the address of a region's calendar."""
    feed_addresses.region_address(actor(), region_id, operation=operation())
    return redirect(url_for("calendar.mine"), 303)
