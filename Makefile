# One command for each thing one does here; `make setup` is part of all of them.
PYTHON ?= $(shell command -v python3.11 || command -v python3)
BIN := .venv/bin
MANAGE := $(BIN)/python manage.py

.PHONY: help setup demo run test lint bench pictures lock

help:
	@echo "make demo   the site with an example season, on this machine"
	@echo "make run    the site and a worker, set up by the environment (README.md)"
	@echo "make test   every test; installs the Debian packages that they need"
	@echo "make lint   formatting, rules of style, types, import rules"
	@echo "make bench  how fast, how much memory"
	@echo "make pictures  the pictures of the papers, taken from the running demo (needs Chromium)"
	@echo "make lock   write requirements.lock anew from pyproject.toml"

setup: .venv/compiled

.venv/installed: requirements.lock
	@test -x $(BIN)/python || $(PYTHON) -m venv .venv
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	@touch .venv/installed

# The search is compiled once for this machine, so that no plan waits for it.
.venv/compiled: .venv/installed $(wildcard workdays/planner/*.py)
	@echo "Compiling the planner, once"
	@$(BIN)/python -m workdays.planner.warm
	@touch .venv/compiled

demo: setup
	@DEMO=true $(MANAGE) demo

run: setup
	@$(MANAGE) migrate --verbosity 0
	@$(MANAGE) serve

test: setup
	@sh tests/run.sh

lint: .venv/installed
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/djade --check --target-version 5.2 $$(git ls-files 'templates/*.html' 'templates/*.txt')
	$(BIN)/django-upgrade --target-version 5.2 $$(git ls-files '*.py')

bench: setup
	$(BIN)/python -m bench

pictures: setup
	@$(BIN)/python -m tests.pictures

lock: setup
	$(BIN)/pip-compile --quiet --allow-unsafe --extra=dev --generate-hashes --no-emit-find-links \
		--no-emit-index-url --no-emit-trusted-host --strip-extras \
		--output-file=requirements.lock pyproject.toml
