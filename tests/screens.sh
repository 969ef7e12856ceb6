#!/usr/bin/env bash
# Keys in, screens out: each tests/screens/NAME.keys is played on a canvas of its own and
# compared with NAME.screen; NAME.ascii.screen where there is one is the same with --ascii.
# A line "# run OPTION..." adds options; UNSAFE stands for the shipped jibe without the cue
# of its trip, BROKEN for a file with mistakes, BARE for the demo's boat without winches, LIGHT for that boat without her heavy runner. NAME.then.keys follows in the same home.
# UPDATE=1 rewrites them: read them before they are committed.
# Usage: screens.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2 failed=0
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$source_dir HOME=$scratch TZ=UTC LC_ALL=C.UTF-8
unset XDG_CONFIG_HOME XDG_DATA_DIRS NO_COLOR
jibe=$source_dir/procedures/dip-pole-jibe.yaml
sed 's/after: \[in-up, ease-guy, foreguy-ease, foreguy-to-mark\]/after: [in-up]/
     s/wait: {old-guy: slack}/wait: {in-end: high}/' "$jibe" > "$scratch/unsafe.yaml"
sed 's/^  - step: trip/  - stepp: trip/; s/^revised: .*/revised: soon/' "$jibe" > "$scratch/broken.yaml"
grep -v winch "$source_dir/demo/boat.yaml" > "$scratch/bare.yaml"
sed '/sail: heavy runner/,/cloth: 1.5 oz/d' "$source_dir/demo/boat.yaml" > "$scratch/light.yaml"
cmp -s "$scratch/light.yaml" "$source_dir/demo/boat.yaml" && { echo "the heavy runner is there"; exit 1; }
cmp -s "$scratch/unsafe.yaml" "$jibe" && { echo "the unsafe file is the shipped one"; exit 1; }
cd "$scratch" || exit 2

check() { # check NAME HOME EXPECTED-FILE OPTION...
    local keys=$source_dir/tests/screens/$1.keys home=$2 expected=$3 words
    shift 3
    export XDG_DATA_HOME=$scratch/$home
    words=$(sed -n 's/^# run //p' "$keys" | sed 's|UNSAFE|unsafe.yaml|; s|BROKEN|broken.yaml|; s|BARE|bare.yaml|; s|LIGHT|light.yaml|')
    # shellcheck disable=SC2086
    "$program" run --keys "$keys" $words "$@" > out 2>&1
    echo "status $?" >> out
    [ "${UPDATE:-}" ] && cp out "$expected"
    diff -u "$expected" out || failed=1
}
for keys in "$source_dir"/tests/screens/*.keys; do
    name=$(basename "$keys" .keys)
    [[ $name == *.then ]] && continue
    check "$name" "$name" "${keys%.keys}.screen"
    [ -e "${keys%.keys}.then.keys" ] && check "$name.then" "$name" "${keys%.keys}.then.screen"
    [ -e "${keys%.keys}.ascii.screen" ] &&
        check "$name" "$name.ascii" "${keys%.keys}.ascii.screen" --ascii
done
[ "$(ls "$source_dir"/tests/screens/*.keys | wc -l)" -ge 18 ] || { echo "key scripts missing"; failed=1; }
exit $failed
