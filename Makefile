# frostwatch: `make run` starts the demonstration, `make test` runs every test.
# The plain commands behind both stand in README.md.

PYTHON ?= python3
BIN := .venv/bin
# a process a core and one more; a file stays whole, so that what its tests share is made once
SIDE_BY_SIDE := --numprocesses auto --dist loadfile
PIP := $(BIN)/python -m pip --disable-pip-version-check install --quiet --constraint constraints.txt

# each process and every program that a test starts would compile everything anew
unexport PYTHONDONTWRITEBYTECODE

.PHONY: help run test check quick bench format catalogues migration constraints clean

help:
	@echo "make run          set up and start the demonstration"
	@echo "make test         set up and run every test"
	@echo "make quick        tests without those that take long"
	@echo "make check        style, types, layers, then the tests"
	@echo "make bench        the measured figures"
	@echo "make format       put the code into the house style"
	@echo "make catalogues   bring every language into step with the English texts"
	@echo "make migration NAME=\"what it does\"   write the next step of the database"
	@echo "make constraints  pin what is installed now"

# marker files: a second call starts at once
.venv/installed: pyproject.toml constraints.txt
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "frostwatch needs Python 3.11 or newer: make PYTHON=python3.12 ..."; exit 1; }
	@test -x $(BIN)/python || { echo "setting up .venv ..."; $(PYTHON) -m venv .venv; }
	@echo "installing ..."
	@$(PIP) --editable .
	@touch $@

.venv/installed-for-tests: .venv/installed
	@echo "installing what the tests need ..."
	@$(PIP) --editable '.[test]'
	@touch $@

run: .venv/installed
	@$(BIN)/python -m frostwatch run --demo

test: .venv/installed-for-tests
	@$(BIN)/python -m pytest $(SIDE_BY_SIDE)

quick: .venv/installed-for-tests
	@$(BIN)/python -m pytest $(SIDE_BY_SIDE) -m "not slow"

check: .venv/installed-for-tests
	@$(BIN)/ruff check .
	@$(BIN)/ruff format --check .
	@$(BIN)/mypy
	@$(BIN)/lint-imports
	@$(BIN)/python -m pytest $(SIDE_BY_SIDE)

bench: .venv/installed-for-tests
	@for file in tests/bench/bench_*.py; do \
	  echo "== $$file"; PYTHONPATH=. $(BIN)/python $$file || exit 1; \
	done

format: .venv/installed-for-tests
	@$(BIN)/ruff check --fix .
	@$(BIN)/ruff format .

catalogues: .venv/installed-for-tests
	@$(BIN)/python -m tests.catalogues

migration: .venv/installed-for-tests
	@test -n "$(NAME)" || { echo 'say what it does: make migration NAME="add ..."'; exit 1; }
	@$(BIN)/python -m frostwatch.storage.migrations "$(NAME)"
	@$(BIN)/ruff check --fix --quiet frostwatch/storage/migrations
	@$(BIN)/ruff format --quiet frostwatch/storage/migrations

constraints: .venv/installed-for-tests
	@$(BIN)/python -m pip --disable-pip-version-check freeze --exclude-editable \
	  | grep -E '^[A-Za-z0-9._-]+==' > constraints.txt

clean:
	rm -rf .venv build *.egg-info .mypy_cache .ruff_cache .pytest_cache .hypothesis
