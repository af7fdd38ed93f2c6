"""The ticking process: a scheduler that only ticks, in UTC, with nothing stored.

No cron trigger: APScheduler 3.11.3 leaves out the day after the spring change for jobs just
after midnight in a local zone. Rows decide which slots are due, so a tick late or twice does
no harm.
"""

from __future__ import annotations

import logging
import signal
from collections.abc import Callable
from datetime import UTC
from types import FrameType

from apscheduler.schedulers.blocking import BlockingScheduler
from flask import Flask

from roster.jobs import work
from roster.services import feeds, jobs

log = logging.getLogger(__name__)
TICK_SECONDS, MAIL_SECONDS, HEART_SECONDS, FEED_SECONDS = 60, 5, 15, 30


def scheduler(app: Flask) -> BlockingScheduler:
    """The scheduler with its four ticks, not yet started."""
    made = BlockingScheduler(
        timezone=UTC,
        job_defaults={"misfire_grace_time": None, "coalesce": True, "max_instances": 1},
    )
    for name, act, seconds in (
        ("tick", work.tick, TICK_SECONDS),
        ("mail", work.send_mail, MAIL_SECONDS),
        ("heartbeat", lambda: jobs.beat(jobs.owner_name()), HEART_SECONDS),
        ("feeds", feeds.refresh_kept, FEED_SECONDS),
    ):
        made.add_job(inside(app, name, act), "interval", seconds=seconds, id=name)
    return made


def inside(app: Flask, name: str, act: Callable[[], object]) -> Callable[[], None]:
    """An act within the application's context; what goes wrong is logged, the ticking goes on."""

    def tick() -> None:
        with app.app_context():
            try:
                act()
            except Exception:
                log.exception("tick %s failed", name)

    return tick


def run(app: Flask) -> None:
    """Tick until SIGTERM or SIGINT; the act in hand is finished first."""
    made = scheduler(app)

    def stop(_number: int, _frame: FrameType | None) -> None:
        made.shutdown(wait=False)

    signal.signal(signal.SIGTERM, stop)
    signal.signal(signal.SIGINT, stop)
    log.info("worker %s ticks", jobs.owner_name())
    work.one_pass(app)
    made.start()
