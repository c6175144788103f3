# The two commands are `make run` and `make test`; both set up what they need and can be called as often as you like.
# RECIPE=file.yaml make run   begins with a recipe.        PYTHON=python3.12 make test   uses another interpreter.

PYTHON ?= python3
VENV   ?= .venv
RECIPE ?=
BIN     = $(VENV)/bin

unexport PYTHONDONTWRITEBYTECODE  # a program that is started some hundred times is compiled once, as an installed one is

.PHONY: run test check ready quiet bench planted attack dark pictures manual clean

run: $(VENV)/.run
	@if [ -t 0 ] && [ -t 1 ]; then exec $(BIN)/traycall-dark run $(RECIPE); \
	else echo "No terminal to tap on: here is a rehearsal instead."; $(BIN)/traycall rehearse $(or $(RECIPE),slipway-edition); fi

test: $(VENV)/.test
	@$(MAKE) --no-print-directory -j 2 check ready
	$(BIN)/pytest -n 5 --dist loadgroup -m "not rig and not quiet"
	$(BIN)/pytest -n 6 --dist loadgroup -m "rig and not quiet" tests/heard tests/devices tests/sound_helper

check: $(VENV)/.test
	$(BIN)/ruff check assistant tests
	$(BIN)/ruff format --check --quiet assistant tests
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo 2>/dev/null || $(BIN)/lint-imports
	$(BIN)/traycall check recipes/*.yaml
	$(BIN)/traycall schema | cmp - recipes/recipe.schema.json

# What each of the tests' workers would else work out for itself, beside the checks: their modules compiled, Unicode sorted.
ready: $(VENV)/.test
	$(BIN)/pytest -q -n 0 -k test_any_text tests

quiet: $(VENV)/.test
	$(BIN)/pytest -n 0 -m quiet

bench: $(VENV)/.test
	$(BIN)/python -m tests.bench

planted: $(VENV)/.test
	$(BIN)/python -m tests.planted

attack: $(VENV)/.test
	$(BIN)/python -m tests.attack

dark: $(VENV)/.test
	PYTHON=$(PYTHON) VENV=$(VENV) bash .ci/system dark
	$(BIN)/python -m tests.dark.xterm

pictures: $(VENV)/.test
	$(BIN)/python -m tests.pictures.draw

manual: $(VENV)/.test
	$(BIN)/python -m tests.manual.write

$(VENV)/.run: pyproject.toml .ci/system
	PYTHON=$(PYTHON) VENV=$(VENV) bash .ci/system run
	$(BIN)/pip install --quiet --editable .
	$(BIN)/python -m compileall -q assistant
	@touch $@

$(VENV)/.test: pyproject.toml .ci/system
	PYTHON=$(PYTHON) VENV=$(VENV) bash .ci/system test
	$(BIN)/pip install --quiet --no-compile --editable '.[test]'  # most of it is never read, and compiled when it is
	$(BIN)/python -m compileall -q assistant
	@touch $@

clean:
	rm -rf $(VENV) build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis .attack
