#!/usr/bin/env bash
# No function over 70 lines but those named here, each one table or one switch.
# Usage: length.sh PROGRAM SOURCE-FOLDER
set -euo pipefail
cd "$2"
allowed='^(fold_live|run_kind_name|take_flag|means_something)$'
awk '
    FNR == 1 { inside = 0 }
    /^[a-z].*\($|^[a-z][^;=]*\(.*[^;]$/ && !inside { name = $0; sub(/\(.*/, "", name); sub(/.*[ *]/, "", name) }
    /^{/ { inside = 1; start = FNR }
    /^}/ && inside { inside = 0; lines = FNR - start + 1; if (lines > 70) print name, lines, FILENAME }
' src/*/*.c | while read -r name lines file; do
    echo "$name" | grep -qE "$allowed" || echo "$file: $name has $lines lines"
done > "${TMPDIR:-/tmp}/foreguy-length.$$"
found=$(cat "${TMPDIR:-/tmp}/foreguy-length.$$")
rm -f "${TMPDIR:-/tmp}/foreguy-length.$$"
[ -z "$found" ] || { echo "$found"; exit 1; }
