# `make demo` shows what Plumbrep does; `make test` checks everything. The rest is for whoever changes it.
# .venv holds the exact versions of .requirements/; a stamp file in it remembers what is installed.

PYTHON ?= python3
BIN := .venv/bin
# One more than cores: a third of the tests wait for servers and workers. More makes the landmark model slower.
WORKERS ?= 3

INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check --no-input
COMPILE := $(BIN)/uv pip compile --quiet --no-config --universal --python-version 3.11 --fork-strategy fewest \
	--generate-hashes --no-emit-index-url --no-emit-find-links --no-annotate --no-header --extra build

# Scripts and styles of the pages; the programs for them come from npm, locked too.
WEB := service/web
PAGES := $(WEB)/dist/manifest.json
PAGES_FROM := $(WEB)/build.mjs $(shell find $(WEB)/src $(WEB)/styles)

.PHONY: demo serve pages test lint types bench clips lock clean
.DELETE_ON_ERROR:

demo: .venv/runtime-installed
	$(BIN)/plumbrep demo

serve: .venv/runtime-installed $(PAGES)
	$(BIN)/plumbrep serve

pages: $(PAGES)

test: lint types $(PAGES)
	$(BIN)/python -m pytest -n $(WORKERS) --dist worksteal --ignore tests/browser
	$(BIN)/python -m pytest -n $(WORKERS) --dist worksteal tests/browser

lint: .venv/dev-installed
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: .venv/dev-installed $(WEB)/node_modules/.package-lock.json
	$(BIN)/mypy
	$(BIN)/node $(WEB)/node_modules/typescript/bin/tsc --project $(WEB)
	$(BIN)/node $(WEB)/node_modules/typescript/bin/tsc --project $(WEB)/tsconfig.worker.json

# Accuracy and speed against the exact truth beside the sample clips.
bench: .venv/dev-installed
	$(BIN)/python -m tests.bench accuracy --clips sample_clips
	$(BIN)/python -m tests.bench speed

# Draws the sample clips anew: an hour and more, and a further environment, for it needs torch.
clips: .venv-render/installed
	.venv-render/bin/python -m sample_clips build --all

# Takes the newest versions that pyproject.toml allows. Names no index, so any mirror serves.
lock: .venv/dev-installed
	$(COMPILE) --upgrade --extra dev --output-file .requirements/dev.txt pyproject.toml
	$(COMPILE) --upgrade --constraint .requirements/dev.txt --output-file .requirements/runtime.txt pyproject.toml

clean:
	rm -rf .venv .venv-render .mypy_cache .pytest_cache .ruff_cache .hypothesis $(WEB)/node_modules $(WEB)/dist $(WEB)/dist.part
	find models vision service tests sample_clips -name __pycache__ -type d -prune -exec rm -rf {} +

.venv/created:
	$(PYTHON) -m venv .venv
	touch $@

.venv/runtime-installed: .requirements/runtime.txt pyproject.toml | .venv/created
	$(INSTALL) --require-hashes -r .requirements/runtime.txt
	$(INSTALL) --no-deps --no-build-isolation --editable .
	$(BIN)/python -m models.pose
	touch $@

.venv/dev-installed: .requirements/dev.txt .venv/runtime-installed
	$(INSTALL) --require-hashes -r .requirements/dev.txt
	touch $@

$(WEB)/node_modules/.package-lock.json: $(WEB)/package-lock.json | .venv/runtime-installed
	$(BIN)/npm --prefix $(WEB) ci --ignore-scripts
	touch $@

$(PAGES): $(PAGES_FROM) $(WEB)/node_modules/.package-lock.json
	$(BIN)/node $(WEB)/build.mjs

.venv-render/installed: pyproject.toml
	$(PYTHON) -m venv .venv-render
	.venv-render/bin/python -m pip install --quiet --editable '.[render]'
	touch $@
