# The studio's menu. `make help` reads it out.
PYTHON ?= python3
VENV := .venv
ifeq ($(OS),Windows_NT)
BIN := $(VENV)/Scripts
else
BIN := $(VENV)/bin
endif
FILMING := $(VENV)/filming
READY := $(VENV)/ready

.DEFAULT_GOAL := help
.PHONY: help setup film test lint format bench reference pictures wheel clean

help: ## say what there is to make
	@sed -n 's/^\([a-z]*\):.*## \(.*\)/  make \1	\2/p' Makefile

setup: $(READY) ## make .venv and install splitpin into it with what its tests need

# Whoever makes films waits for no test tools.
$(FILMING): pyproject.toml
	@echo "Setting up in $(VENV): a few minutes, once."
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade "pip>=25.1"
	$(BIN)/python -m pip install --quiet --editable .
	@touch $(FILMING)

# The page of the workbench is checked with node; the page itself needs none.
$(READY): $(FILMING) package.json
	$(BIN)/python -m pip install --quiet --editable . --group dev
	npm install --silent --no-package-lock --no-audit --no-fund
	@touch $(READY)

film: $(FILMING) ## write the example film folder, make the film and say where it is
	@test -f exact-change/film.toml || $(BIN)/splitpin new exact-change --example
	$(BIN)/splitpin make exact-change
	@echo "The program is $(BIN)/splitpin; after  . $(BIN)/activate  it is called splitpin."

test: $(READY) ## run the whole suite
	$(BIN)/python -m pytest -n auto --dist worksteal
	node --test tests/bench/core/*.test.js

lint: $(READY) ## format, lint, types, and the walls between the rooms
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	npx --no-install tsc -p tsconfig.json

format: $(READY) ## put the code into its usual form
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

bench: $(READY) ## measure; prints ratios against a reference in the same run
	$(BIN)/python benchmarks/compose.py
	$(BIN)/python benchmarks/whole_film.py
	$(BIN)/python benchmarks/mending.py

reference: $(READY) ## write the film folder reference anew from the documents' own definitions
	$(BIN)/python -m splitpin.folder.reference docs/film-folder.md

pictures: $(READY) ## draw the pictures of the README anew from the example film
	$(BIN)/python docs/pictures.py

wheel: $(READY) ## build the wheel into dist/
	$(BIN)/python -m build --wheel

clean: ## throw away what was made here, but no film
	rm -rf $(VENV) dist build .mypy_cache .ruff_cache .pytest_cache .hypothesis
