"""The ticking process: UTC, nothing stored, one act's failure does not stop the others."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from datetime import UTC
from pathlib import Path

import pytest
from apscheduler.jobstores.memory import MemoryJobStore
from apscheduler.triggers.interval import IntervalTrigger
from flask import Flask, current_app

from roster.jobs import ticker
from roster.services import jobs
from tests.support.crew_mail import published
from tests.support.databases import KEY

ROOT = Path(__file__).parents[2]


def test_the_scheduler_only_ticks_at_intervals_in_utc_and_stores_nothing(app: Flask) -> None:
    made = ticker.scheduler(app)
    assert made.timezone is UTC
    for job, _store, _replace in made._pending_jobs:
        assert isinstance(job.trigger, IntervalTrigger)
        assert job.trigger.timezone is UTC
    assert isinstance(made._create_default_jobstore(), MemoryJobStore)


def test_a_tick_that_fails_is_logged_and_the_next_one_comes(
    app: Flask, caplog: pytest.LogCaptureFixture
) -> None:
    done: list[str] = []

    def act() -> None:
        assert current_app
        done.append("ticked")
        if len(done) == 1:
            raise RuntimeError("on purpose")

    tick = ticker.inside(app, "trial", act)
    tick()
    tick()
    assert done == ["ticked", "ticked"]
    assert "tick trial failed" in caplog.text


@pytest.mark.slow
def test_the_worker_beats_sends_and_stops_when_told(app: Flask, tmp_path: Path) -> None:
    published()
    url = app.extensions["roster"].config.database_url
    environment = os.environ | {
        "ROSTER_DATABASE_URL": url,
        "ROSTER_SECRET_KEY": KEY,
        "ROSTER_TODAY": "2027-06-16",
    }
    worker = subprocess.Popen(
        [sys.executable, "-m", "roster", "jobs", "run"], cwd=ROOT, env=environment
    )
    try:
        for _ in range(100):
            if jobs.heartbeat_age_seconds() is not None:
                break
            time.sleep(0.2)
        assert jobs.heartbeat_age_seconds() is not None
        worker.send_signal(signal.SIGTERM)
        assert worker.wait(timeout=20) == 0
    finally:
        worker.kill()
        worker.wait()
