# The verbs of Seed Muster. Recipes call Python, so that any make and any shell will do.
PYTHON = $(shell for p in python3.11 python3.12 python3.13 python3 python; do if command -v $$p >/dev/null 2>&1; then echo $$p; break; fi; done)
VENV = .venv/bin/python

.PHONY: help demo test check quick fix lint bench drill lock outdated pictures words setup setup-tests

help:
	@echo "make demo      everything from nothing to a served demo season"
	@echo "make test      rules, SQLite, PostgreSQL, pages, real browser; says what it could not run"
	@echo "make check     lint, types, import contracts, then make test"
	@echo "make quick     the fast tests only"
	@echo "make fix       format and mend what a tool can mend"
	@echo "make bench     speed and memory as ratios;  make drill   races, kills, fuzzing at length"
	@echo "make lock      pin requirements anew;       make outdated what has newer versions"
	@echo "make words     catalogues of translations;  make pictures screenshots for the tour"

setup:
	@if [ -z "$(PYTHON)" ]; then echo "Python is not installed: Seed Muster needs Python 3.11 or newer." >&2; exit 2; fi
	@"$(PYTHON)" .ci/setup.py

setup-tests:
	@if [ -z "$(PYTHON)" ]; then echo "Python is not installed: Seed Muster needs Python 3.11 or newer." >&2; exit 2; fi
	@"$(PYTHON)" .ci/setup.py --tests

demo: setup
	@$(VENV) .ci/demo.py

test: setup-tests
	@$(VENV) .ci/test.py

quick: setup-tests
	@$(VENV) -m pytest -q -m "not slow and not postgres and not browser"

lint: setup-tests
	@$(VENV) .ci/lint.py

check: setup-tests
	@$(VENV) .ci/lint.py
	@$(VENV) .ci/test.py

fix: setup-tests
	@$(VENV) -m ruff check --fix .
	@$(VENV) -m ruff format .

bench: setup-tests
	@$(VENV) -m roster bench

drill: setup-tests
	@$(VENV) -m roster drill

words: setup-tests
	@$(VENV) .ci/words.py update

pictures: setup-tests
	@$(VENV) tests/pictures.py

lock:
	@$(VENV) .ci/lock.py

outdated:
	@$(VENV) .ci/lock.py --outdated
