#!/usr/bin/env bash
# Outside check: the general-purpose model checker spin (Debian's spin, 6.5.2) on the
# exported models must see the same number of states and transitions, find an error where
# vet finds a rule or a need broken, and a dead end where vet finds a stall: on the shipped
# procedures and on copies with one after or wait line deleted.
# Usage: spin.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2 failed=0 models=0 broken=0 stalls=0
command -v spin >/dev/null && command -v python3 >/dev/null || { echo "skipped: spin or python3 is not installed"; exit 77; }
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$source_dir HOME=$scratch TZ=UTC LC_ALL=C XDG_DATA_HOME=$scratch
cd "$scratch"

field() { python3 -c "
import json, sys
v = json.load(open('out.json'))['vetted'][0]
kinds = {f['kind'] for f in v['found']}
print(v['states'], v['transitions'], int('broken' in kinds), int('stall' in kinds))"; }

# compare FILE: one model, its begin lists cut to their first values (spin begins once)
compare() {
    awk '/^begin:/ {inside = 1} /^(tended|goal):/ {inside = 0}
        inside {$0 = gensub(/\[([^],]*),[^]]*\]/, "\\1", 1)} {print}' "$1" > one.yaml 2>/dev/null ||
        sed -E '/^begin:/,/^(tended|goal):/ s/\[([^],]*),[^]]*\]/\1/' "$1" > one.yaml
    "$program" vet one.yaml --promela model.pml --json > out.json 2> err
    [ $? -le 1 ] || { cat err; failed=1; return; }
    read -r states transitions is_broken is_stall <<< "$(field)"
    spin -a model.pml > /dev/null && cc -O0 -w -DSAFETY -DNOREDUCE -o pan pan.c
    ./pan -E -c0 -m20000 > pan.out
    local seen_states seen_transitions errors dead
    seen_states=$(sed -n 's/^ *\([0-9]*\) states, stored.*/\1/p' pan.out)
    seen_transitions=$(sed -n 's/^ *\([0-9]*\) transitions.*/\1/p' pan.out)
    errors=$(sed -n 's/.*errors: \([0-9]*\).*/\1/p' pan.out)
    spin -a -DSTALLS model.pml > /dev/null && cc -O0 -w -DSAFETY -DNOREDUCE -o pan pan.c
    ./pan -A -m20000 > pan.out
    dead=$(sed -n 's/.*errors: \([0-9]*\).*/\1/p' pan.out)
    models=$((models + 1)) broken=$((broken + is_broken)) stalls=$((stalls + is_stall))
    if [ "$seen_states" != "$states" ] || [ "$seen_transitions" != $((transitions + 1)) ]; then
        echo "$2: spin $seen_states states, $seen_transitions transitions; vet $states, $transitions"
        failed=1
    fi
    if [ $((errors > 0)) -ne "$is_broken" ] || [ $((dead > 0)) -ne "$is_stall" ]; then
        echo "$2: spin errors $errors, dead ends $dead; vet broken $is_broken, stall $is_stall"
        failed=1
    fi
}

for file in "$source_dir"/procedures/*.yaml; do
    compare "$file" "$(basename "$file")"
done
for name in dip-pole-jibe bear-away-set; do
    file=$source_dir/procedures/$name.yaml
    grep -nE '^    (after|wait): ' "$file" | cut -d: -f1 > lines
    while read -r line; do
        sed "${line}d" "$file" > cut.yaml
        compare cut.yaml "$name without line $line"
    done < lines
done
echo "$models models agree with spin, $broken broken and $stalls stalling among them"
[ $models -ge 40 ] && [ $broken -gt 3 ] && [ $stalls -ge 1 ] || { echo "too few kinds of models"; failed=1; }
exit $failed
