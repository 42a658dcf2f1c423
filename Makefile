# Every target makes the virtual environment first; it does nothing when that is current.
PYTHON ?= python3
PORT ?= 8000
# One more than there are cores: a test waits now and then, for a page or a lock.
WORKERS ?= $(shell expr $$(getconf _NPROCESSORS_ONLN) + 1)
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.current
AT_ONCE := -n $(WORKERS) --dist load --maxschedchunk 1

.PHONY: help setup run test test-long mutate check bench docs lock clean

help:
	@echo "make run [PORT=8000]   the app with a demonstration household"
	@echo "make test [WORKERS=N]  the whole suite, in one worker more than this machine has cores"
	@echo "make test-long         the long generated runs"
	@echo "make mutate [NAME=...] mutants of a core module that no test notices"
	@echo "make check             format, lint, types (of the scripts too), layers, generated pages"
	@echo "make bench [NAME=...]  the figures this project promises, beside their peers"
	@echo "make docs              write the generated pages anew"

setup: $(STAMP)

$(STAMP): requirements.lock pyproject.toml tools/setup.sh
	@PYTHON="$(PYTHON)" VENV="$(VENV)" sh tools/setup.sh
	@touch $(STAMP)

run: setup
	@$(BIN)/fillmark serve --demo --port $(PORT)

test: setup
	@sh tools/test-machine.sh
	@$(BIN)/python -m pytest $(AT_ONCE)

test-long: setup
	@sh tools/test-machine.sh
	@$(BIN)/python -m pytest $(AT_ONCE) -m "long or not long" --hypothesis-profile=long

mutate: setup
	@$(BIN)/python -m tools.mutate $(NAME)

check: setup
	@$(BIN)/ruff format --check .
	@$(BIN)/ruff check .
	@$(BIN)/mypy
	@$(BIN)/lint-imports
	@sh tools/check-machine.sh
	@tsc --project tsconfig.json
	@$(BIN)/python -m tools.pages --check

docs: setup
	@$(BIN)/python -m tools.pages

bench: setup
	@$(BIN)/python -m benchmarks $(NAME) $(if $(JSON),--json)

# Hashed, for every supported Python and system at once, and without an address.
lock: setup
	@$(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header \
		--group dev pyproject.toml -o requirements.lock

clean:
	rm -rf $(VENV) build dist .pytest_cache .mypy_cache .ruff_cache .import_linter_cache .coverage
