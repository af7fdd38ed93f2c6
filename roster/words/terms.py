"""Code words of the domain in plain words: roles, stages, states, kinds."""

from __future__ import annotations

from roster.words.catalogue import translator
from roster.words.entry import mark

TERMS: dict[str, dict[str, str]] = {
    "role": {
        "crew_member": mark("crew member"),
        "data_collector": mark("data collector"),
        "lead": mark("lead"),
        "first_aider": mark("first-aider"),
        "driver": mark("driver"),
    },
    # as in "cleared to lead", "not cleared as data collector"
    "to_do": {
        "crew_member": mark("to be on a crew"),
        "data_collector": mark("as data collector"),
        "lead": mark("to lead"),
        "first_aider": mark("as first-aider"),
        "driver": mark("to drive"),
    },
    "staff_role": {
        "coordinator": mark("coordinator"),
        "regional": mark("regional coordinator"),
        "acting": mark("acting coordinator"),
        "duty": mark("duty person"),
    },
    "event_kind": {
        "collecting": mark("collecting event"),
        "site_check": mark("site check"),
        "training": mark("training"),
        "meeting": mark("meeting"),
    },
    "stage": {
        "draft": mark("draft"),
        "open": mark("open"),
        "ready": mark("ready"),
        "under_way": mark("under way"),
        "done": mark("done"),
        "called_off": mark("called off"),
    },
    "date_state": {"expected": mark("expected window"), "fixed": mark("fixed")},
    "outcome": {"collected": mark("collected"), "nothing_taken": mark("nothing taken")},
    "nothing_taken": {
        "too_green": mark("too green"),
        "shed": mark("already shed"),
        "fifty_or_fewer": mark("50 plants or fewer at dispersal"),
        "eaten": mark("eaten or hollow"),
        "wrong_plant": mark("not the plant we came for"),
        "closed": mark("the place was closed"),
        "no_access": mark("no way to the place"),
        "unsafe": mark("not safe"),
    },
    "spot": {
        "asked": mark("asked"),
        "offered": mark("offered"),
        "placed": mark("placed"),
        "waiting": mark("waiting"),
        "withdrawn": mark("withdrawn"),
        "came": mark("came"),
        "absent": mark("did not come"),
    },
    "lead_ask": {
        "asked": mark("asked, no answer yet"),
        "agreed": mark("agreed"),
        "declined": mark("declined"),
        "replaced": mark("another leads"),
        "lapsed": mark("not answered in time"),
    },
    "level": {"stop": mark("Stop"), "caution": mark("Caution"), "clear": mark("Clear")},
    "paper": {
        "agreement": mark("volunteer agreement"),
        "release": mark("release"),
        "guardian_consent": mark("guardian consent"),
        "emergency_care": mark("emergency care paper"),
    },
    "step_kind": {
        "lesson": mark("lesson"),
        "quiz": mark("quiz"),
        "field_day": mark("field day"),
        "papers": mark("papers"),
        "paper": mark("papers"),
        "contact": mark("contact details"),
        "first_aid": mark("first-aid card"),
        "driver_check": mark("driver check"),
        "youth_protection": mark("youth-protection lesson"),
        "screening": mark("screening result"),
        "plants": mark("plant identification"),
        "plant_identification": mark("plant identification"),
    },
    "withheld": {"suspended": mark("suspended"), "revoked": mark("revoked")},
    "heard_way": {
        "spoken": mark("heard it on the spot"),
        "own_phone": mark("read it on the phone"),
        "late": mark("told on arriving late"),
    },
    "count_way": {"out": mark("out"), "in": mark("in"), "handed_over": mark("handed over")},
    "message_state": {
        "held": mark("held until Send"),
        "waiting": mark("waiting"),
        "claimed": mark("being sent"),
        "sending": mark("being sent"),
        "sent": mark("sent"),
        "failed": mark("failed"),
        "unknown": mark("not known whether it arrived"),
        "cancelled": mark("not sent any more"),
    },
    "closure_kind": {"area": mark("area"), "site": mark("site"), "road": mark("road")},
    "source": {
        "person": mark("said by the person"),
        "self": mark("said by the person"),
        "coordinator": mark("recorded by a coordinator"),
        "import": mark("from a spreadsheet"),
        "spreadsheet": mark("from a spreadsheet"),
        "statement": mark("from another learning system"),
    },
    # what a number or address may name: for "no such ..."
    "kind": {
        "person": mark("person"),
        "address": mark("address"),
        "event": mark("event"),
        "site": mark("site"),
        "region": mark("region"),
        "population": mark("population"),
        "permission": mark("permission"),
        "closure": mark("closure"),
        "step": mark("step"),
        "track": mark("track"),
        "paper": mark("paper"),
        "season": mark("season"),
        "batch": mark("import"),
        "feed": mark("calendar address"),
        "link": mark("link"),
        "page": mark("page"),
        "file": mark("file"),
        "zone": mark("zone"),
        "spot": mark("spot"),
        "job": mark("job"),
        "taxon": mark("species"),
        "message": mark("message"),
        "role": mark("role"),
        "guardian": mark("guardian"),
    },
}


def word(group: str, code: object, language: str = "en") -> str:
    """The plain word for a code of a group: `word("role", "lead")`. KeyError if there is none."""
    return translator(language).gettext(TERMS[group][str(code)])
