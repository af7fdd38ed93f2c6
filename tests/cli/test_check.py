"""The command `check`: exit 1 while anything says stop, 0 when the crew may go."""

import json

from roster.domain.errors import NotFound
from tests.support.crews import crew, duty, open_event
from tests.support.land import land


def run(app, *words):
    return app.test_cli_runner().invoke(args=["check", *words], standalone_mode=False)


def test_every_finding_is_printed_and_a_stop_is_a_considered_no(app):
    event = open_event()
    done = run(app, str(event))
    assert done.return_value == 1
    assert "Stop: Event 1 has no lead." in done.output
    assert "Ask one of the leads who are cleared that day." in done.output


def test_a_whole_crew_is_a_yes(app):
    ground = land()
    event = open_event(ground, vehicles=2)
    crew(event)
    duty(ground, event)
    done = run(app, str(event), "--json")
    told = json.loads(done.output)
    assert (done.return_value, told["answer"], told["reasons"]) == (0, "yes", [])
    assert {f["level"] for f in told["result"]["findings"]} == {"clear"}
    assert told["result"]["minimum"] == 3


def test_reasons_of_a_no_carry_rule_and_source(app):
    event = open_event()
    told = json.loads(run(app, str(event), "--json").output)
    assert told["answer"] == "no"
    by_code = {r["code"]: r for r in told["reasons"]}
    assert "lead_missing" in by_code
    assert by_code["crew_too_small"]["source"] == "common practice, no source"
    assert all(r["text"] and r["remedy"] and r["rule"] for r in told["reasons"])


def test_an_unknown_event_is_named(app):
    land()
    done = run(app, "999")
    assert isinstance(done.exception, NotFound)
