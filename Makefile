# Springcase: every command a person or CI needs.
#   make demo    set up .venv and print a bench sheet, with its PDF
#   make test    set up .venv with the tools of a developer, and pass the tests
#   make bench   measure, beside a reference in the same run; exit 1 on a missed ratio
#   make lint    ruff, mypy and the import contracts, quick
#   make lock    write requirements/*.txt anew
#   make docs    write the generated pages anew
# PYTHON picks the interpreter (3.11 or newer). Nothing here needs root.
# All paths are relative, so that the checkout may lie below a folder with spaces.

PYTHON ?= python3
FAMILY ?= alder
SCOPE ?= soft-parts
TESTS ?= tests
BIN := .venv/bin
DEMO := build/demo/$(FAMILY)-$(SCOPE).pdf

# Behind a proxy with a certificate of its own uv must read the system's store.
export UV_SYSTEM_CERTS ?= 1
export PIP_DISABLE_PIP_VERSION_CHECK := 1
export PIP_ROOT_USER_ACTION := ignore

INSTALL := $(BIN)/uv pip install --quiet --python $(BIN)/python
# The build back end comes hash-checked from the lock, never from an isolated download.
INSTALL_SELF := $(INSTALL) --no-deps --no-build-isolation --editable .
COMPILE := $(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes \
	--no-header --no-emit-index-url --no-annotate

.PHONY: demo test bench lint lock docs clean
.DELETE_ON_ERROR:

demo: .stamps/demo
	@mkdir -p build/demo
	$(BIN)/springcase plan --family $(FAMILY) --scope $(SCOPE) --pdf "$(DEMO)"
	@echo "The same sheet as PDF: $(DEMO)"

test: .stamps/dev
	CHROMIUM="$$(sh tools/chromium.sh)" $(BIN)/python -m pytest -n auto --dist loadgroup $(TESTS)

bench: .stamps/dev
	$(BIN)/python -m benchmarks.run

lint: .stamps/dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy --strict src
	$(BIN)/lint-imports

docs: .stamps/dev
	$(BIN)/python -m tools.docs
	$(BIN)/python -m tools.tour

lock: .stamps/uv
	$(COMPILE) requirements/uv.in -o requirements/uv.txt
	$(COMPILE) --extra dev pyproject.toml requirements/build.in -o requirements/dev.txt
	$(COMPILE) --extra paper -c requirements/dev.txt pyproject.toml requirements/build.in \
		-o requirements/demo.txt

clean:
	rm -rf .venv .stamps build dist

.stamps/venv:
	@mkdir -p .stamps
	@"$(PYTHON)" -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
		echo "$(PYTHON) is missing or older than 3.11: name a newer one, make PYTHON=/path/to/python3" >&2; \
		exit 1; }
	@"$(PYTHON)" -c 'import ensurepip, venv' 2>/dev/null || { \
		echo "$(PYTHON) cannot make a virtual environment: install its venv package (Debian: python3-venv), or name another, make PYTHON=/path/to/python3" >&2; \
		exit 1; }
	"$(PYTHON)" -m venv .venv
	@touch $@

.stamps/uv: .stamps/venv requirements/uv.txt
	$(BIN)/python -m pip install --quiet --require-hashes -r requirements/uv.txt
	@touch $@

.stamps/demo: .stamps/uv requirements/demo.txt pyproject.toml
	$(INSTALL) --require-hashes -r requirements/demo.txt
	$(INSTALL_SELF)
	@touch $@

.stamps/dev: .stamps/uv requirements/dev.txt pyproject.toml
	$(INSTALL) --require-hashes -r requirements/dev.txt
	$(INSTALL_SELF)
	@touch $@ .stamps/demo
