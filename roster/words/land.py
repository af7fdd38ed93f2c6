"""Sentences about sites, permissions, closures and populations."""

from roster.words.entry import COMMON, Entry, mark

_PERMISSION = mark("Every event needs a permission on file that covers its site, species and days.")
_PERMISSION_SOURCE = mark("BLM native-seed technical protocol, section 6")
_CEILING = mark("The land manager's ceilings of people and vehicles are kept.")
_CLOSURE = mark("A closure stops every event that it touches.")
_CLOSURE_SOURCE = mark("common practice, no source; fields after 43 CFR 9212.2")

SENTENCES: dict[str, Entry] = {
    "permission_missing": Entry(
        mark("No permission is recorded for {site}."),
        mark("Record the land manager's permission, or choose another site."),
        rule=_PERMISSION,
        source=_PERMISSION_SOURCE,
    ),
    "permission_not_in_force": Entry(
        mark("The permission of {manager} holds from {from_on} to {last_day}, not on {day}."),
        mark("Ask {manager} for a longer permission and record it, or choose a day within it."),
        rule=_PERMISSION,
        source=_PERMISSION_SOURCE,
    ),
    "permission_lacks_taxon": Entry(
        mark("The permission of {manager} for {site} does not name {taxon}."),
        mark("Ask {manager} to add the species and record it, or leave the population out."),
        rule=_PERMISSION,
        source=_PERMISSION_SOURCE,
    ),
    "listed_without_permit": Entry(
        mark("{taxon} is a listed plant and no permit for it is on file at {site}."),
        mark(
            "Do not collect it. Record the permit's number with the permission once it is granted."
        ),
        rule=mark("A listed plant is not taken without a permit. This is never overridden."),
        source=mark("50 CFR 17.61(c)(1) and 17.71; state lists besides"),
    ),
    "permission_people": Entry(
        mark("{n} people would go; {manager} allows {most} at one time."),
        mark("Lower the number of spots to {most}, or ask {manager} for more."),
        rule=_CEILING,
        source=COMMON,
    ),
    "permission_vehicles": Entry(
        mark("{n} vehicles would go; {manager} allows {most}."),
        mark("Share cars from the meeting point, or ask {manager} for more."),
        rule=_CEILING,
        source=COMMON,
    ),
    "vehicles_not_counted": Entry(
        mark("{manager} allows {most} vehicles; nobody has said how many will go."),
        mark("Count the vehicles at the meeting point before driving in."),
        rule=_CEILING,
        source=COMMON,
    ),
    "notice_to_give": Entry(
        mark("{manager} wants to be told {days} days before: by {due}."),
        mark("Tell {manager} date, people and vehicles, and record the day."),
        rule=mark("The land manager is told in time."),
        source=COMMON,
    ),
    "notice_overdue": Entry(
        mark("{manager} should have been told by {due}, {days} days before."),
        mark("Call {manager} today, ask whether the day may stand, and record it."),
        rule=mark("The land manager is told in time."),
        source=COMMON,
    ),
    "notice_was_late": Entry(
        mark("{manager} was told on {told_on}; {days} days before would have been {due}."),
        mark("Make sure that {manager} has agreed to the day."),
        rule=mark("The land manager is told in time."),
        source=COMMON,
    ),
    "permission_holds": Entry(
        mark("The permission of {manager} holds, up to {last_day}."),
        None,
        rule=_PERMISSION,
        source=_PERMISSION_SOURCE,
    ),
    "permission_days_reversed": Entry(
        mark("A permission cannot end on {until_on} when it begins on {from_on}."),
        mark("Write a last day that is not before the first."),
        rule=mark("A permission has a first and a last day."),
        source=COMMON,
    ),
    "population_not_wild": Entry(
        mark("{population} is recorded as planted, seeded or sown after a fire."),
        mark("Choose a wild population, or go on with a reason that is kept with the event."),
        rule=mark("Seed is taken from wild plants only."),
        source=mark("BLM native-seed technical protocol, section 7a"),
    ),
    "culturally_used": Entry(
        mark("People use and honour the plants of {population}. Ask first: {whom}."),
        mark("Ask, and write down the answer and the days to stay away."),
        rule=mark("Those who use a plant are asked before it is collected."),
        source=COMMON,
    ),
    "closed": Entry(
        mark("{place} is closed ({kind}, order {order_no}) until {until_at}."),
        mark("Call the event off, or move it to a day after the closure."),
        rule=_CLOSURE,
        source=_CLOSURE_SOURCE,
    ),
    "closed_until_lifted": Entry(
        mark("{place} is closed ({kind}, order {order_no}) until it is lifted."),
        mark("Call the event off, or move it; people who are out there are phoned first."),
        rule=_CLOSURE,
        source=_CLOSURE_SOURCE,
    ),
    "no_closure": Entry(
        mark("No closure is recorded for {site} or the road to it."),
        mark("Look for changes once more at the last place with signal."),
        rule=_CLOSURE,
        source=_CLOSURE_SOURCE,
    ),
    "closure_needs_one_place": Entry(
        mark("A closure names one place: an area, a site or a road."),
        mark("Fill in exactly one of the three; record a second closure for another place."),
        rule=_CLOSURE,
        source=_CLOSURE_SOURCE,
    ),
    "closure_times_reversed": Entry(
        mark("A closure cannot end before it begins."),
        mark("Write a later end, or leave it empty for 'until lifted'."),
        rule=_CLOSURE,
        source=_CLOSURE_SOURCE,
    ),
    "zone_label_empty": Entry(
        mark("A seed zone needs its published label."),
        mark("Write the label exactly as it was published, for example 20 - 25 Deg. F. / 3 - 6."),
        rule=mark("The published label is stored; a zone is never worked out from weather."),
        source=mark("Bower, St. Clair and Erickson 2014, Ecological Applications 24:913-919"),
    ),
    "programme_is_there": Entry(
        mark("The programme {name} is there already."),
        mark("One database holds one programme; use another database for another."),
    ),
    "site_is_there": Entry(
        mark("There is a site named {name} already."),
        mark("Add the population there, or write a name that tells the two apart."),
    ),
    "day_to_come": Entry(
        mark("{day} is still to come; a site check tells what was seen."),
        mark("Write the day on which somebody looked."),
    ),
    "site_check_already_void": Entry(
        mark("This site check is not of this population, or was taken back before."),
        mark("See the list of site checks on the population's page."),
    ),
    "closure_is_over": Entry(
        mark("This closure ended already ({until_at})."),
        mark("Look at the site's page: it shows what is closed now."),
    ),
}
