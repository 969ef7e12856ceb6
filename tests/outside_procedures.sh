#!/usr/bin/env bash
# Outside check: the general-purpose solver Gecode 6.2 behind MiniZinc 2.6 (Debian's
# minizinc) must find the same least time for the shipped procedures with random crews,
# or that there is no bill. Its model is tests/outside/procedure.mzn; what it is told:
# tests/outside/bill_models.c. Nothing is later than our own last end, so it has to find
# that time and that none is shorter. What it cannot settle in time is counted.
# Usage: outside_procedures.sh PROGRAM SOURCE-FOLDER [CREWS]
set -euo pipefail
models=$(dirname "$1")/tests/bill_models
model=$2/tests/outside/procedure.mzn
crews=${3:-1}
command -v minizinc > /dev/null && command -v fzn-gecode > /dev/null ||
    { echo "skipped: minizinc with Gecode is not installed"; exit 77; }
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
"$models" "$scratch" "$crews" > "$scratch/said"
grep 'not said' "$scratch/said" || true
equal=0 none=0 open=0 wrong=0
for data in "$scratch"/*.dzn; do
    ours=$(cat "${data%.dzn}.expected")
    answer=$(minizinc --solver gecode --time-limit 10000 "$model" "$data" 2> "$scratch/errors")
    case $answer in
    *=====UNSATISFIABLE=====*) theirs=-1 ;;
    *==========*) theirs=$(head -1 <<< "$answer") ;;
    *) theirs= ;;
    esac
    if [ -z "$theirs" ]; then
        open=$((open + 1))
    elif [ "$theirs" != "$ours" ]; then
        wrong=$((wrong + 1))
        echo "$(basename "$data" .dzn): foreguy $ours, Gecode $theirs"
    elif [ "$ours" -lt 0 ]; then
        none=$((none + 1))
    else
        equal=$((equal + 1))
    fi
done
echo "$equal bills with the same least time, $none without a bill; $open left open by Gecode; $wrong differ"
[ $wrong -eq 0 ] && [ $((4 * open)) -le $((equal + none)) ] && [ $equal -ge 20 ] && [ $none -ge 2 ]
