#!/usr/bin/env bash
# Installs what the tests need and runs them all: format, lints, unit, integration, reference,
# script and browser tests. TEST_DATA may name a folder of further public files.
set -euo pipefail
cd "$(dirname "$0")/.."
export CARGO_TERM_COLOR=never

say() { printf '\n== %s\n' "$*"; }

as_root() { if [ "$(id -u)" = 0 ]; then "$@"; else sudo "$@"; fi; }

need() { # need COMMAND PACKAGE...: installs Debian packages where the command is missing
  local command=$1
  shift
  command -v "$command" >/dev/null && return
  if ! command -v apt-get >/dev/null; then
    echo "The tests need $command; install it and run them again." >&2
    exit 1
  fi
  [ -n "${apt_updated:-}" ] || as_root apt-get update -q
  apt_updated=1
  as_root env DEBIAN_FRONTEND=noninteractive apt-get install -qy --no-install-recommends "$@"
}

say "tools"
need cc build-essential
need node nodejs npm
need python3 python3 python3-venv
need chromium chromium
need pdftotext poppler-utils
if [ ! -x target/venv/bin/python ]; then
  mkdir -p target
  python3 -m venv target/venv
fi
target/venv/bin/python -c 'import openpyxl' 2>/dev/null \
  || target/venv/bin/pip install -q --disable-pip-version-check openpyxl
(cd tests/browser && { [ -d node_modules/playwright-core ] || npm ci --silent --no-fund; })

say "format"
cargo fmt --check

say "lints"
cargo clippy --locked --all-targets -- -D warnings

say "unit, integration and reference tests"
if cargo nextest --version >/dev/null 2>&1; then
  cargo nextest run --locked --no-fail-fast
else
  cargo test --locked --no-fail-fast
fi

say "script tests"
node --test tests/js/*.test.js
(cd tests/browser && npx --no-install tsc --project tsconfig.json)

say "browser tests"
# With the tests, so that the libraries they ask more of are not built a second time without it.
cargo build --locked --bins --tests
BRATTICE_BIN="$PWD/target/debug/brattice" node tests/browser/run.mjs
