"""A day in the field as its lead records it: who came, the briefing, out, in, closed."""

from __future__ import annotations

from roster.domain.events import NothingTaken, Outcome
from roster.measure.demo.days import NAMED, Outing
from roster.measure.demo.scene import Scene
from roster.services import briefings, fieldday, fieldsheet


def play(scene: Scene, outing: Outing, absent: tuple[str, ...], why: NothingTaken | None) -> None:
    """The whole day; `absent` did not come, `why` if nothing was taken."""
    lead, number = scene.acting(NAMED[outing.lead]), scene.events[outing.key]
    start, end = outing.hours
    scene.at(outing.day, start.hour, 5)
    people = fieldsheet.sheet(lead, number).people
    fieldday.mark_here(lead, number, {p.spot.id: p.spot.name not in absent for p in people})
    came = fieldsheet.sheet(lead, number)
    spots = [p.spot.id for p in came.came]
    scene.at(outing.day, start.hour, 20)
    briefings.add_reading(lead, number, "heat_index", 74)
    briefings.record(lead, number, [topic.code for topic in came.topics], spots)
    scene.at(outing.day, start.hour, 35)
    fieldday.start(lead, number)
    scene.at(outing.day, end.hour, 10)
    fieldday.count(lead, number, fieldday.Counting(tuple(spots), "in"))
    outcome = Outcome.COLLECTED if why is None else Outcome.NOTHING_TAKEN
    fieldday.finish(lead, number, outcome.value, why.value if why else None)
