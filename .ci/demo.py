"""Fills a demo season and serves it on this machine, the job process beside it."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PYTHON = sys.executable
FIRST_PORT, LAST_PORT = 8000, 8099
PATIENCE_SECONDS = 60


def free_port(first=FIRST_PORT, last=LAST_PORT):
    """The first port from 8000 on that nobody listens on, or None."""
    for port in range(first, last + 1):
        with socket.socket() as probe:
            if os.name != "nt":
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    return None


def seed():
    """Fill the demo; its answer tells the demo's today."""
    words = [PYTHON, str(ROOT / "seed_demo.py"), "--size", "small", "--json"]
    done = subprocess.run(words, stdout=subprocess.PIPE, text=True, cwd=ROOT)
    if done.returncode:
        sys.exit(done.returncode)
    return json.loads(done.stdout.strip().splitlines()[-1])


def server_words(port):
    """How to serve: gunicorn, or Flask's own server where gunicorn does not run."""
    if os.name == "nt":
        return [PYTHON, "-m", "roster", "run", "--port", str(port)]
    return [PYTHON, "-m", "gunicorn", "--workers", "1", "--threads", "8", "--bind",
            f"127.0.0.1:{port}", "--log-level", "warning", "roster:create_app()"]  # fmt: skip


def wait_for(address, server):
    """Wait until the service answers."""
    until = time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < until:
        if server.poll() is not None:
            break
        try:
            with urllib.request.urlopen(address + "/healthz", timeout=2):  # noqa: S310 - our own
                return
        except urllib.error.HTTPError:
            return
        except OSError:
            time.sleep(0.2)
    print("The service did not start; what it printed above says why.", file=sys.stderr)
    sys.exit(1)


def ways_in(environment):
    """The /enter links of the four people."""
    done = subprocess.run([PYTHON, "-m", "roster", "enter-codes"], stdout=subprocess.PIPE,
                          text=True, cwd=ROOT, env=environment, check=True)  # fmt: skip
    return json.loads(done.stdout)


def stop(children):
    """End the children, politely first."""
    for child in children:
        if child.poll() is None:
            child.terminate()
    for child in children:
        try:
            child.wait(timeout=10)
        except subprocess.TimeoutExpired:
            child.kill()


def main():
    """Seed, serve, print the links, stop on Ctrl-C."""
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
    port = free_port()
    if port is None:
        print(f"No port from {FIRST_PORT} to {LAST_PORT} is free: stop what listens there.",
              file=sys.stderr)  # fmt: skip
        return 2
    told = seed()
    address = f"http://127.0.0.1:{port}"
    quiet = {"ROSTER_LOG_LEVEL": "WARNING"}  # so that the links stay in sight
    here = {"ROSTER_BASE_URL": address, "ROSTER_TODAY": told["today"]}
    environment = {**quiet, **os.environ, **here}
    server = subprocess.Popen(server_words(port), cwd=ROOT, env=environment)
    jobs = subprocess.Popen([PYTHON, "-m", "roster", "jobs", "run"], cwd=ROOT, env=environment)
    try:
        wait_for(address, server)
        if port != FIRST_PORT:
            print(f"Port {FIRST_PORT} is taken; this demo uses {port}.")
        print(f"\nSeed Muster shows its demo season at {address} (the demo's day: {told['today']})")
        for way in ways_in(environment):
            print(f"  {way['role']:12} {way['name']:24} {address}{way['path']}")
        print(f"  messages it would have mailed: {address}/outbox\nCtrl-C stops it.", flush=True)
        server.wait()
    except KeyboardInterrupt:
        print("\nStopped.")
    finally:
        stop([server, jobs])
    return 0


if __name__ == "__main__":
    sys.exit(main())
