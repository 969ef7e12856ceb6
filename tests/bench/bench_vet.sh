#!/usr/bin/env bash
# Sets vet's sweep beside the general-purpose model checker spin (Debian's spin, 6.5.2) on
# the same models in one run: states and transitions of both, processor time, memory of
# the states, and the ratios. Then the large grids of ours alone. Not a test; but where the
# two count differently, or a grid has not (N + 1)^K states and K N (N + 1)^(K - 1)
# transitions, it says so and ends with 1.
#
#   bench_vet.sh BUILD-FOLDER [MODEL]...      e.g. bench_vet.sh build 'grid 7 9'
set -euo pipefail
bench=$(realpath "$1")/tests/bench_vet
shift
[ $# -gt 0 ] || set -- 'grid 6 9' 'grid 7 9' 'counters 7 9' 'cards 6 5 10' 'cards 8 5 40'
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cd "$scratch"
failed=0

say() { echo "$*"; failed=1; }

# check_grid K N STATES TRANSITIONS
check_grid() {
    [ "$3" -eq $((($2 + 1) ** $1)) ] && [ "$4" -eq $(($1 * $2 * ($2 + 1) ** ($1 - 1))) ] ||
        say "  grid $1 $2 has not $3 states and $4 transitions"
}

# run_spin MODEL: sets spin_states, spin_transitions, spin_s, spin_mb
run_spin() {
    "$bench" model $1 > model.pml
    spin -o2 -a model.pml > /dev/null # -o2: keeps the values of parts nobody reads
    cc -O2 -w -DSAFETY -DNOREDUCE -o pan pan.c
    TIMEFORMAT='%U %S'
    { time ./pan -E -c0 > pan.out; } 2> took
    spin_s=$(awk '{print $1 + $2}' took)
    spin_states=$(sed -n 's/^ *\([0-9]*\) states, stored.*/\1/p' pan.out)
    # spin counts its first state as a transition
    spin_transitions=$(($(sed -n 's/^ *\([0-9]*\) transitions.*/\1/p' pan.out) - 1))
    spin_mb=$(sed -n 's/^ *\([0-9.]*\)\tactual memory usage for states.*/\1/p' pan.out)
}

# run_ours HOW MODEL: sets states, transitions, took_s, state_bytes, peak_kb
run_ours() { read -r states transitions took_s state_bytes peak_kb <<< "$("$bench" "$1" $2)"; }

command -v spin > /dev/null || { echo "spin is not installed"; exit 1; }
spin -V
cc --version | head -1
printf '%-16s %-6s %11s %12s %10s %11s %10s\n' model by states transitions seconds Mstates/s 'states MiB'
row() { # row MODEL BY STATES TRANSITIONS SECONDS MEGABYTES
    awk -v model="$1" -v by="$2" -v states="$3" -v transitions="$4" -v s="$5" -v mb="$6" 'BEGIN {
        printf "%-16s %-6s %11s %12s %10.4f %11.2f %10.2f\n", model, by, states, transitions, s, states / s / 1e6, mb }'
}
for model in "$@"; do
    run_spin "$model"
    run_ours sweep "$model"
    ours_mb=$(awk -v bytes="$state_bytes" 'BEGIN {print bytes / 1048576}')
    row "$model" spin "$spin_states" "$spin_transitions" "$spin_s" "$spin_mb"
    row "$model" sweep "$states" "$transitions" "$took_s" "$ours_mb"
    awk -v spin="$spin_s" -v ours="$took_s" -v spin_mb="$spin_mb" -v ours_mb="$ours_mb" -v kb="$peak_kb" 'BEGIN {
        printf "  %.0f times as fast; 1/%.0f of the state memory (all of our process at its peak: %.1f MiB)\n",
            spin / ours, spin_mb / ours_mb, kb / 1024 }'
    [ "$spin_states $spin_transitions" = "$states $transitions" ] || say "  they do not agree"
    case $model in
    grid* | counters*) read -r _ k n <<< "$model"; check_grid "$k" "$n" "$states" "$transitions" ;;
    cards*) if [ "$states" -le 1000000 ]; then
            run_ours search "$model"
            row "$model" search "$states" "$transitions" "$took_s" "$(awk -v kb="$peak_kb" 'BEGIN {print kb / 1024}')"
        fi ;;
    esac
done
echo "ours alone:"
for model in 'grid 8 9' 'grid 9 9'; do
    run_ours sweep "$model"
    row "$model" sweep "$states" "$transitions" "$took_s" "$(awk -v bytes="$state_bytes" 'BEGIN {print bytes / 1048576}')"
    awk -v kb="$peak_kb" 'BEGIN {printf "  all of our process at its peak: %.1f MiB\n", kb / 1024}'
    read -r _ k n <<< "$model"
    check_grid "$k" "$n" "$states" "$transitions"
done
exit $failed
