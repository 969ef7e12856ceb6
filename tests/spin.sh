#!/usr/bin/env bash
# Outside check: the general-purpose model checker spin (Debian's spin, 6.5.2) on the
# exported models must see the same number of states and transitions and, searching breadth
# first, the same shortest way to something broken, to a dead end and to a wrong end: on
# the shipped procedures, on copies with one after or wait line deleted, and on random
# procedures of all kinds (tests/outside/spin_models.c).
# Usage: spin.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2
command -v spin >/dev/null && command -v python3 >/dev/null || { echo "skipped: spin or python3 is not installed"; exit 77; }
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$source_dir HOME=$scratch TZ=UTC LC_ALL=C XDG_DATA_HOME=$scratch
cd "$scratch"

# NAME.expected: states, transitions, fewest moves to a broken thing, a stall, a wrong end
expected() { python3 -c "
import json, sys
v = json.load(sys.stdin)['vetted'][0]
moves = [min([f['moves'] for f in v['found'] if f['kind'] == kind], default=-1)
         for kind in ('broken', 'stall', 'wrong end')]
print(v['states'], v['transitions'], *moves)"; }

# model FILE NAME: the model of a file and what vet says of it
model() {
    "$program" vet "$1" --promela "$2.pml" --json > out.json 2> err
    [ $? -le 1 ] || { cat err; exit 1; }
    expected < out.json > "$2.expected"
}

# What spin says of NAME.pml, in the same form. Each question is asked of one program: what
# the model asserts and whether an end is a dead end is read from its environment. Without
# -o2 spin forgets values that nobody reads, and sees fewer states.
seen() {
    local moves states transitions chosen_states chosen_transitions
    { echo '#define RULES (c_expr { (getenv("RULES") != 0) })'
      echo '#define ENDS (c_expr { (getenv("ENDS") != 0) })'
      cat "$1.pml"; } > model.pml
    spin -o2 -a model.pml > /dev/null && cc -O0 -w -DSAFETY -DNOREDUCE -DBFS -o pan pan.c || return 1
    ./pan -w18 -E -A > pan.out
    states=$(sed -n 's/^ *\([0-9]*\) states, stored.*/\1/p' pan.out)
    transitions=$(sed -n 's/^ *\([0-9]*\) transitions.*/\1/p' pan.out)
    read -r moves chosen_states chosen_transitions <<< "$(sed -n 's|.*/\* choosing: \([0-9]*\) moves, \([0-9]*\) states, \([0-9]*\) .*|\1 \2 \3|p' model.pml)"
    # spin counts its first state as a transition
    echo "$((states - chosen_states)) $((transitions - chosen_transitions - 1))" \
        "$(RULES=1 way "$moves" -E) $(ENDS=1 way "$moves" -A) $(ENDS=1 way "$moves" -E)"
}

# way MOVES FLAG: the length of the way spin finds, without so many moves; what is asserted
# is asserted by a move of its own, and a dead end adds one to the trail as well
way() {
    rm -f model.pml.trail
    ./pan -w18 "$2" > /dev/null
    if [ -f model.pml.trail ]; then echo $(($(grep -vc '^-' model.pml.trail) - $1 - 1)); else echo -1; fi
}

check() {
    mkdir "$1.work" && cd "$1.work" || return 1
    ln -s "../$1.pml" "../$1.expected" .
    seen "$1" > "../$1.seen"
    cmp -s "$1.expected" "../$1.seen" && return
    echo "$1: vet $(cat "$1.expected"); spin $(cat "../$1.seen")"
    grep -v '^#\|^byte\|^bool' "$1.pml" | head -60
    return 1
}
export -f check seen way

for file in "$source_dir"/procedures/*.yaml; do
    model "$file" "$(basename "$file" .yaml)"
done
for name in dip-pole-jibe bear-away-set; do
    file=$source_dir/procedures/$name.yaml
    for line in $(grep -nE '^    (after|wait): ' "$file" | cut -d: -f1); do
        sed "${line}d" "$file" > cut.yaml
        model cut.yaml "$name-without-line-$line"
    done
done
"$(dirname "$program")/tests/spin_models" . 60 || exit 1

failed=0
printf '%s\n' *.pml | sed 's/\.pml$//' | xargs -P "$(nproc)" -I NAME bash -c 'check NAME' || failed=1
models=$(cat ./*.seen | wc -l)
count() { cat ./*.seen | cut -d' ' -f"$1" | grep -vc '^-1$'; }
broken=$(count 3) stalls=$(count 4) wrong=$(count 5)
echo "$models models: spin breaks $broken, stalls $stalls and ends $wrong wrong, by the same fewest moves"
[ "$models" -ge 120 ] && [ "$broken" -ge 30 ] && [ "$stalls" -ge 10 ] && [ "$wrong" -ge 8 ] || { echo "too few kinds of models"; failed=1; }
exit $failed
