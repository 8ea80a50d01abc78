# make run     set up, load the demo on first use, serve.   PORT=8000 DATA=./data
# make test    set up, run every test that needs no outside server.   ARGS="tests/vessel -x"
# make check   lint, types, contracts
# make fmt     put the code into shape
# make bench   measure: name, figure, unit, target, met or not
# make cover   the tests once more, with the share of code they reach
# make lock    choose package versions anew and write the lock files

PYTHON := .venv/bin/python
ARGS ?=
COMPILE := uv pip compile --quiet --universal --generate-hashes --no-emit-index-url --python-version 3.11 --upgrade

.DEFAULT_GOAL := help
.PHONY: help run test check fmt bench cover lock

help:
	@sed -n 's/^# make /make /p' Makefile

run:
	@sh .ci/set_up run
	@exec $(PYTHON) manage.py serve --with-demo

test:
	@sh .ci/set_up test
	@DATA=build/test-data $(PYTHON) -m pytest -q -n 2 $(ARGS)

check:
	@sh .ci/set_up test
	@sh .ci/check

fmt:
	@sh .ci/set_up test
	@.venv/bin/ruff check --fix-only .
	@.venv/bin/ruff format .

bench:
	@sh .ci/set_up test
	@DATA=build/bench-data $(PYTHON) -m tests.benchmarks $(ARGS)

cover:
	@sh .ci/set_up test
	@DATA=build/test-data $(PYTHON) -m pytest -q -n 2 --cov --cov-branch --cov-report=term-missing:skip-covered $(ARGS)

lock:
	@sh .ci/set_up run
	@$(PYTHON) -m venv build/lock
	@build/lock/bin/python -m pip install --quiet --disable-pip-version-check uv
	@build/lock/bin/$(COMPILE) pyproject.toml -o requirements.txt
	@build/lock/bin/$(COMPILE) -c requirements.txt --group dev -o requirements-dev.txt
