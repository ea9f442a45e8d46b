# `make run` and `make test` set up .venv by themselves; a second call costs seconds.
PYTHON ?= python3.11
BIN := .venv/bin
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes

.PHONY: run test lint format bench screenshots docs docs-refresh pins clean

run: .venv/run.done
	$(BIN)/doughwright serve

# The browser's tests run by themselves: its driver and the test client do not share a process.
test: .venv/dev.done lint
	$(BIN)/python -m pytest -n auto -m "not browser"
	$(BIN)/python -m pytest -m browser tests/browser

lint: .venv/dev.done
	$(BIN)/ruff format --check --quiet
	$(BIN)/ruff check --quiet
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo

format: .venv/dev.done
	$(BIN)/ruff format
	$(BIN)/ruff check --fix

bench: .venv/dev.done
	$(BIN)/python bench/speed.py
	$(BIN)/python bench/fermentation.py
	$(BIN)/python bench/baking.py
	$(BIN)/python bench/plan.py
	$(BIN)/python bench/web.py

screenshots: .venv/dev.done
	$(BIN)/python docs/screenshots.py

docs: .venv/dev.done
	$(BIN)/sphinx-build -q -W -b html docs docs/_build/html

# Pages that repeat the code: messages, constants, model cards, commands, schemas.
docs-refresh: .venv/dev.done
	$(BIN)/python docs/generate.py

# Pins with hashes; registry hosts stay out of the files.
pins: .venv/dev.done
	$(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header --no-annotate --no-emit-index-url --no-emit-find-links pyproject.toml -o requirements/run.txt
	$(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header --no-annotate --no-emit-index-url --no-emit-find-links pyproject.toml requirements/dev.in requirements/build.in -o requirements/dev.txt

.venv/bin/python:
	$(PYTHON) -m venv .venv || python3 -m venv .venv

.venv/run.done: .venv/bin/python requirements/run.txt requirements/build.txt pyproject.toml
	$(PIP) -r requirements/run.txt -r requirements/build.txt
	$(BIN)/python -m pip install --quiet --no-deps --no-build-isolation --editable .
	@touch $@

.venv/dev.done: .venv/run.done requirements/dev.txt
	$(PIP) -r requirements/dev.txt
	@touch $@

clean:
	rm -rf .venv .pytest_cache .mypy_cache .ruff_cache docs/_build
