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
from collections.abc import Callable, Sequence
from dataclasses import asdict
from datetime import UTC, datetime

try:
    from roster import config
    from roster.app import create_app
    from roster.domain.errors import RosterError, RuleBroken
    from roster.measure.demo import season
    from roster.measure.demo.people import PEOPLE
    from roster.measure.demo.scene import Scene
    from roster.services import demo, upkeep
    from roster.services.clock import SetClock
    from roster.words import say
except ModuleNotFoundError as missing:
    sys.exit(f"{missing.name} is not installed here. Run `make demo`, which installs it first.")

DONE, REFUSED, BAD = 0, 1, 2
FORTY = len(PEOPLE)
PEOPLE_OF = {"small": FORTY, "demo": 1200}


def arguments(words: Sequence[str]) -> argparse.Namespace:
    """The flags, checked; a wrong one ends with exit 2 and a sentence."""
    parser = argparse.ArgumentParser(prog="seed_demo.py", description=str(__doc__).split("\n")[0])
    parser.add_argument(
        "--size",
        choices=tuple(PEOPLE_OF),
        default="small",
        help=f"small: {FORTY} people and nine events (the default); "
        f"demo: the same season among {PEOPLE_OF['demo']:,} people",
    )
    parser.add_argument(
        "--people", type=_count, metavar="N", help=f"so many people in all, {FORTY} or more"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--force", action="store_true", help="make one that stands there anew")
    return parser.parse_args(words)  # fmt: skip


def _count(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not FORTY <= int(text) <= 1_000_000:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number from {FORTY} to 1000000")
    return int(text)


def seed(clock: SetClock, flags: argparse.Namespace) -> tuple[season.Story, bool]:
    """The story of the demonstration, and whether it was made just now."""
    upkeep.upgrade()
    if demo.stands():
        story = None if flags.force else season.found()
        if story is not None:
            return story, False
        demo.take_out()
    more = (flags.people or PEOPLE_OF[flags.size]) - FORTY
    return season.fill(Scene(clock), more, None if flags.json else _progress(more)), True


def _progress(more: int) -> Callable[[int], None]:
    """Tells how far it is, where somebody looks."""

    def tell_so_far(done: int) -> None:
        if sys.stderr.isatty():
            share = round(30 * done / more)
            bar = "#" * share + "." * (30 - share)
            end = "\n" if done >= more else ""
            print(f"\r[{bar}] {done:,} of {more:,} more people", end=end, file=sys.stderr)

    return tell_so_far


def tell(story: season.Story, seconds: float | None) -> None:
    """The story for a person."""
    made = "stands there already" if seconds is None else f"was made in {seconds:.0f} s"
    print(f"The demonstration {made}. Its day is {story.today.isoformat()}.")
    for part, address in story.people.items():
        print(f"  {part.replace('_', ' '):16} {address}")
    for part, number in story.events.items():
        print(f"  {part.replace('_', ' '):20} event {number}")
    print("`make demo` serves it; with --force it is made anew, in another size if you like.")


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
            story, is_new = seed(clock, flags)
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
