#!/usr/bin/env bash
# Opens the page as it is served, in headless Chromium, and looks for what a first visit must show.
set -euo pipefail
cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'kill "$server" 2>/dev/null || true; rm -rf "$work"' EXIT
target/release/amp-larder serve --port 0 > "$work/address" &
server=$!
for _ in $(seq 600); do [ -s "$work/address" ] && break; sleep 1; done
address=$(head -n 1 "$work/address")
chromium --headless --no-sandbox --disable-gpu --no-first-run --disable-background-networking --disable-component-update \
  --disable-sync --user-data-dir="$work/profile" --virtual-time-budget=20000 --dump-dom "$address" > "$work/dom" 2> "$work/log"
passed=0; failed=0
holds() { if grep -q -- "$2" "$work/dom"; then passed=$((passed + 1)); echo "test page: $1 ... ok"; else failed=$((failed + 1)); echo "test page: $1 ... FAILED"; fi; }
holds "it becomes ready" 'data-state="ready"'
holds "it offers the three starting points" 'Estuary cutter'
holds "it offers a start from nothing" 'From nothing: five answers'
if grep -q 'Opening the larder' "$work/dom"; then failed=$((failed + 1)); echo "test page: the opening note is gone ... FAILED"; else passed=$((passed + 1)); echo "test page: the opening note is gone ... ok"; fi
if grep -qi 'content security policy' "$work/log"; then failed=$((failed + 1)); echo "test page: no policy violation ... FAILED"; else passed=$((passed + 1)); fi
echo "test result: page. $passed passed; $failed failed;"
[ "$failed" = 0 ]
