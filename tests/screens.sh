#!/usr/bin/env bash
# Keys in, screens out: each tests/screens/NAME.keys is played on a canvas of its own and
# compared with NAME.screen; NAME.ascii.screen where there is one is the same with --ascii.
# UPDATE=1 rewrites them: read them before they are committed.
# Usage: screens.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2 failed=0
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$source_dir HOME=$scratch TZ=UTC LC_ALL=C.UTF-8
unset XDG_CONFIG_HOME XDG_DATA_DIRS NO_COLOR

check() { # check NAME EXPECTED-FILE OPTION...
    local name=$1 expected=$2
    shift 2
    export XDG_DATA_HOME=$scratch/$name$#
    "$program" run --keys "$source_dir/tests/screens/$name.keys" "$@" > "$scratch/out" 2>&1
    echo "status $?" >> "$scratch/out"
    [ "${UPDATE:-}" ] && cp "$scratch/out" "$expected"
    diff -u "$expected" "$scratch/out" || failed=1
}
for keys in "$source_dir"/tests/screens/*.keys; do
    name=$(basename "$keys" .keys)
    check "$name" "${keys%.keys}.screen"
done
check hold "$source_dir/tests/screens/hold.ascii.screen" --ascii
check debrief "$source_dir/tests/screens/debrief.ascii.screen" --ascii
[ "$(ls "$source_dir"/tests/screens/*.keys | wc -l)" -ge 10 ] || { echo "key scripts missing"; failed=1; }
exit $failed
