# Everything a fresh machine needs is set up by the first target that needs it.
PYTHON ?= python3
BIN := .venv/bin

.PHONY: demo test check coverage core validation reference docs pictures bench lock clean

demo: .venv/.ok
	@rm -rf demo && $(BIN)/rotorwright new demo
	@for craft in demo/crafts/*.toml; do echo; $(BIN)/rotorwright report $$craft || exit 1; done
	@echo; echo "The workshop is in demo/. Open it in the browser: $(BIN)/rotorwright open demo"

test: .venv/.ok
	$(BIN)/python -m pytest -n 2 tests

check: .venv/.ok
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

COVERED := tests/unit/physics tests/unit/checks tests/validation/test_fastener.py tests/validation/test_conductor.py
coverage: .venv/.ok # kernels uncompiled, so that their lines are seen; rotor tables are made before, compiled
	$(BIN)/python -m pytest -n 2 $(COVERED)
	NUMBA_DISABLE_JIT=1 $(BIN)/python -m pytest -n 2 -W ignore::RuntimeWarning --cov=rotorwright.physics \
		--cov=rotorwright.checks --cov-report= $(COVERED)
	$(BIN)/coverage report --skip-covered --include='*/physics/*' --fail-under=95
	$(BIN)/coverage report --skip-covered --include='*/checks/*' --fail-under=95

core: .venv/.ok # without extras: each is really optional
	$(BIN)/uv venv -q --clear .venv-core
	$(BIN)/uv pip install -q --python .venv-core/bin/python -c requirements.lock -e .
	.venv-core/bin/python tools/try_core.py

validation: .venv/.ok
	$(BIN)/python tools/validate_rotor.py
	$(BIN)/python tools/validate_stand.py

reference: .venv/.ok
	$(BIN)/python tools/write_reference.py
	$(BIN)/python tools/write_json_reference.py
	$(BIN)/python tools/write_rules.py
	$(BIN)/python tools/write_command_reference.py
	$(BIN)/python tools/write_licences.py

docs: .venv/.ok
	NO_MKDOCS_2_WARNING=1 $(BIN)/mkdocs build -q --strict

pictures: .venv/.ok
	$(BIN)/python tools/write_validation_plots.py
	$(BIN)/python tools/write_gallery.py
	$(BIN)/python tools/write_architecture.py

bench: .venv/.ok
	$(BIN)/python benchmarks/operating_point.py
	$(BIN)/python benchmarks/bounds.py
	$(BIN)/python benchmarks/flight.py
	$(BIN)/python benchmarks/frame.py
	$(BIN)/python benchmarks/checks.py
	$(BIN)/python benchmarks/commands.py
	$(BIN)/python benchmarks/swap.py
	$(BIN)/python benchmarks/search.py
	$(BIN)/python benchmarks/measure.py
	$(BIN)/python benchmarks/measure_coverage.py
	$(BIN)/python benchmarks/sheet.py
	$(BIN)/python benchmarks/web.py

lock: .venv/.ok
	$(BIN)/uv pip compile --python-version 3.11 --all-extras --generate-hashes --no-emit-index-url \
		--no-emit-find-links --no-header pyproject.toml -o requirements.lock

clean:
	rm -rf .venv .venv-core demo site

.venv/.ok: requirements.lock pyproject.toml
	$(PYTHON) -m venv .venv && $(BIN)/pip install -q --disable-pip-version-check uv
	$(BIN)/uv pip sync -q --python $(BIN)/python --compile-bytecode --require-hashes --only-binary :all: requirements.lock
	$(BIN)/uv pip install -q --python $(BIN)/python --no-deps --no-build-isolation -e . && touch $@
