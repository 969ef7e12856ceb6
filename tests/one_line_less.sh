#!/usr/bin/env bash
# An author deletes one line, or a word of it, from a shipped procedure: what vet says must
# name the danger, the people and what is missing. Each is compared with
# tests/golden/NAME.out, status included. UPDATE=1 rewrites: read them before they are
# committed. Usage: one_line_less.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2 failed=0
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$source_dir HOME=$scratch TZ=UTC LC_ALL=C XDG_DATA_HOME=$scratch/data
unset XDG_CONFIG_HOME XDG_DATA_DIRS
cd "$scratch" || exit 2

# less NAME PROCEDURE STEP EXPRESSION MISSING: vets it with that sed expression applied
# within the step; MISSING is what the answer must name of it
less() {
    local shipped=$source_dir/procedures/$2.yaml golden=$source_dir/tests/golden/$1.out
    sed "/^  - step: $3\$/,/^  - step:/{/^  - step: $3\$/b;/^  - step:/b;$4}" "$shipped" > "$2.yaml"
    [ "$(diff "$shipped" "$2.yaml" | grep -c '^<')" -eq 1 ] || { echo "$1: not one line was changed"; failed=1; }
    "$program" vet "./$2.yaml" > all 2>&1
    echo "status $?" >> all
    grep -v 'left to chance' all > out # that has tests of its own
    [ "${UPDATE:-}" ] && cp out "$golden"
    diff -u "$golden" out || failed=1
    tail -1 out | grep -qx 'status 1' || { echo "$1: not found unsafe"; failed=1; }
    grep -qF -- "$5" out || { echo "$1: the answer does not name '$5'"; failed=1; }
}
less cue dip-pole-jibe trip 's/foreguy-ease, //' 'in step trip, after: [..., foreguy-ease]'
less effect dip-pole-jibe heads '/^    finish: /d' 'finish: {heads: down}'
less order bear-away-set lock '/^    after: /d' 'in step lock, after: [hoist]'
less release dip-pole-jibe ease-guy '/^    releases: /d' 'releases: old-guy'
less hold dip-pole-jibe dip '/^    tends: /d' 'tends: lift'
less stall dip-pole-jibe trip '/^    finish: /d' 'finish: {jaw: open}'
exit $failed
