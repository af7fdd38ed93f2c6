"""Fills a database with an invented season to look at: python seed_demo.py [--size small] [--json].

Everything goes through the use cases that pages and commands use. The database is brought to head
first. A demonstration that stands there already is left alone and told again; with --force it is
made anew. A database with real people is refused.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Sequence
from dataclasses import asdict
from datetime import UTC, datetime

try:
    from roster import config
    from roster.app import create_app
    from roster.domain.errors import RosterError, RuleBroken
    from roster.measure.demo import season
    from roster.measure.demo.scene import Scene
    from roster.services import demo, upkeep
    from roster.services.clock import SetClock
    from roster.words import say
except ModuleNotFoundError as missing:
    sys.exit(f"{missing.name} is not installed here. Run `make demo`, which installs it first.")

DONE, REFUSED, BAD = 0, 1, 2


def arguments(words: Sequence[str]) -> argparse.Namespace:
    """The flags, checked; a wrong one ends with exit 2 and a sentence."""
    parser = argparse.ArgumentParser(prog="seed_demo.py", description=str(__doc__).split("\n")[0])
    parser.add_argument(
        "--size",
        choices=("small", "demo"),
        default="small",
        help="small: forty people and nine events; demo: more people besides",
    )
    parser.add_argument("--people", type=int, metavar="N", help="so many people in all")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--force", action="store_true", help="make a standing one anew")
    return parser.parse_args(words)  # fmt: skip


def seed(clock: SetClock, *, force: bool) -> tuple[season.Story, bool]:
    """The story of the demonstration, and whether it was made just now."""
    upkeep.upgrade()
    if demo.stands():
        story = None if force else season.found()
        if story is not None:
            return story, False
        demo.take_out()
    return season.fill(Scene(clock)), True


def tell(story: season.Story, seconds: float | None) -> None:
    """The story for a person."""
    made = "stands there already" if seconds is None else f"was made in {seconds:.0f} s"
    print(f"The demonstration {made}. Its day is {story.today.isoformat()}.")
    for part, address in story.people.items():
        print(f"  {part.replace('_', ' '):16} {address}")
    for part, number in story.events.items():
        print(f"  {part.replace('_', ' '):20} event {number}")
    print("`make demo` serves it; with --force it is made anew.")


def refuse(error: RosterError) -> int:
    """Say why not, on standard error; gives the exit code."""
    if isinstance(error, RuleBroken):
        for reason in error.reasons:
            said = say(reason)
            print(f"{said.text} {said.remedy or ''}".rstrip(), file=sys.stderr)
        return REFUSED
    print(error, file=sys.stderr)
    return BAD


def main(words: Sequence[str] | None = None) -> int:
    """Seed and tell; exit 0 done, 1 refused, 2 bad flag or setting."""
    flags = arguments(sys.argv[1:] if words is None else words)
    clock = SetClock(datetime(2027, 5, 20, 16, tzinfo=UTC))
    began = time.monotonic()
    try:
        settings = config.read()
        if not settings.development:
            raise config.ConfigError("ROSTER_MODE", settings.mode, "A demonstration is not served.")
        with create_app(settings, clock).app_context():
            story, is_new = seed(clock, force=flags.force)
    except config.ConfigError as error:
        print(error, file=sys.stderr)
        return BAD
    except RosterError as error:
        return refuse(error)
    if flags.json:
        print(json.dumps(asdict(story), default=str))
    else:
        tell(story, time.monotonic() - began if is_new else None)
    return DONE


if __name__ == "__main__":
    sys.exit(main())
