#!/usr/bin/env bash
# The manual: clean mdoc, every message explained, every option told, the example loads.
# Usage: man.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2 failed=0
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$scratch HOME=$scratch TZ=UTC LC_ALL=C XDG_DATA_HOME=$scratch XDG_DATA_DIRS=/nonexistent
if command -v mandoc >/dev/null; then
    # the pages are not installed here, so they do not find one another
    found=$(mandoc -T lint -W style "$source_dir"/man/*.[15] 2>&1 | grep -v 'referenced manual not found' || true)
    [ -z "$found" ] || { echo "$found"; failed=1; }
else
    echo "skipped: mandoc is not installed"
fi
for id in $(sed -n 's/^MESSAGE(\([A-Z0-9_]*\),.*/\1/p' "$source_dir/src/base/messages.h"); do
    grep -q "MESSAGE_$id\$" "$source_dir"/man/*.5 || { echo "message $id is not in the manual"; failed=1; }
done
for command in list see vet run runs; do
    grep -q "^\.Cm $command" "$source_dir/man/foreguy.1" || { echo "command $command is not in the manual"; failed=1; }
    for option in $("$program" $command --help | sed -n 's/^  --\([a-z-]*\).*/\1/p'); do
        [ "$option" = help ] && continue
        grep -q "Fl -$option" "$source_dir/man/foreguy.1" || { echo "$command --$option is not in the manual"; failed=1; }
    done
done
mkdir -p "$scratch/procedures/rig"
awk -v rig="$scratch/procedures/rig/bucket.yaml" -v procedure="$scratch/procedures/haul-bucket.yaml" '
    /^\.Bd -literal/ { out = ++count == 1 ? rig : procedure; next }
    /^\.Ed/ { out = "" }
    out != "" { print > out }' "$source_dir/man/foreguy-procedure.5"
"$program" vet haul-bucket > "$scratch/out" 2>&1 || { echo "the example in the manual is not safe"; cat "$scratch/out"; failed=1; }
exit $failed
