#!/usr/bin/env bash
# Sets the kernel beside clasp (Debian's clasp 3.3.5, both ways to look for the least: by
# branching, and from cores) and Gecode (Debian's fzn-gecode 6.2) on the 30 hard published
# projects that we have: cells 9, 13, 25, 29, 41 and 45 of PSPLIB's j30 (Kolisch and
# Sprecher 1996). All start from the same horizon; one process at a time, in turn.
# Processor time of the whole process, reading included; what gringo takes to ground and
# minizinc to flatten is not counted against the others, but the first is told. Not a test;
# but a makespan that is not the published optimum ends it with 1.
#
#   bench_solvers.sh BUILD-FOLDER [DATA-FOLDER [LIMIT-SECONDS]]
set -euo pipefail
bench=$(realpath "$1")/tests/bench_hard
here=$(realpath "$(dirname "$0")")
data=$(realpath -m "${2:-$here/../../../shared/data}")/psplib_j30
limit=${3:-20}
[ -d "$data" ] || { echo "skipped: no $data"; exit 77; }
for tool in clasp gringo minizinc fzn-gecode; do
    command -v $tool > /dev/null || { echo "skipped: $tool is not installed"; exit 77; }
done
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cd "$scratch"
failed=0
declare -A sum proved worst

# run COMMAND...: its output in the file out; sets took, in processor seconds, of which it
# has no more than the limit
run() {
    TIMEFORMAT='%U %S'
    { time bash -c 'ulimit -t "$0"; exec "$@"' "$limit" "$@" > out 2> err || true; } 2> time
    took=$(tail -1 time | awk '{print $1 + $2}')
}

# count SOLVER MAKESPAN OPTIMUM PROJECT: what was proved counts with its time, what was
# not (MAKESPAN -) with the limit
count() {
    if [ "$2" = - ]; then
        took=$limit
    else
        proved[$1]=$((${proved[$1]:-0} + 1))
        [ "$2" -eq "$3" ] || { echo "WRONG $4: $1 says $2, published is $3"; failed=1; }
    fi
    sum[$1]=$(awk -v a="${sum[$1]:-0}" -v b="$took" 'BEGIN {print a + b}')
    worst[$1]=$(awk -v a="${worst[$1]:-0}" -v b="$took" 'BEGIN {print (a > b ? a : b)}')
    line+=$(printf ' %11s' "$([ "$2" = - ] && echo open || printf '%.3f' "$took")")
}

# by_clasp OPTION: sets makespan; the cost counts from the earliest start of the last job
by_clasp() {
    run clasp "$1" ground
    makespan=-
    if grep -q '^OPTIMUM FOUND' out; then
        makespan=$(($(sed -n 's/^Optimization : //p' out) + earliest))
    fi
}

by_gecode() {
    run fzn-gecode -f project.fzn
    makespan=-
    if grep -q '^==========' out; then
        makespan=$(sed -n 's/^makespan = \([0-9]*\);.*/\1/p' out | tail -1)
    fi
}

printf '%-10s %8s %11s %11s %11s %11s\n' project optimum kernel clasp-bb clasp-usc gecode
for cell in 9 13 25 29 41 45; do
    for number in 1 3 5 7 9; do
        name=j30${cell}_$number
        file=$data/$name.sm
        optimum=$(awk -F, -v name="$name" '$1 == name || $1 == name ".sm" {print $2 + 0}' "$data/optimum.csv")
        line=$(printf '%-10s %8s' "$name" "$optimum")
        "$bench" clasp "$file" > facts.lp
        earliest=$(awk -F'[(,]' '/^horizon/ {split($0, w, /last\(/); last = w[2] + 0}
            $0 ~ "window\\(" last "," {sub(/.*window\([0-9]*,/, ""); print $0 + 0}' facts.lp)
        run gringo "$here/project.lp" facts.lp
        mv out ground
        grounding=$(awk -v a="${grounding:-0}" -v b="$took" 'BEGIN {print a + b}')
        "$bench" gecode "$file" > project.dzn
        minizinc -c --solver gecode "$here/project.mzn" project.dzn --fzn project.fzn --no-output-ozn 2> warnings
        run "$bench" solve "$file"
        makespan=-
        read -r makespan _ < out || true
        count kernel "$makespan" "$optimum" "$name"
        by_clasp --opt-strategy=bb,lin; count bb "$makespan" "$optimum" "$name"
        by_clasp --opt-strategy=usc; count usc "$makespan" "$optimum" "$name"
        by_gecode; count gecode "$makespan" "$optimum" "$name"
        echo "$line"
    done
done
for solver in kernel bb usc gecode; do
    printf '%-7s %2d of 30 proved, worst %6.2f s, all %7.2f s\n' $solver "${proved[$solver]:-0}" "${worst[$solver]}" "${sum[$solver]}"
done
awk -v ground="$grounding" -v ours="${sum[kernel]}" -v bb="${sum[bb]}" -v usc="${sum[usc]}" -v gecode="${sum[gecode]}" 'BEGIN {
    better = bb < usc ? bb : usc
    printf "kernel: 1/%.1f of the time of clasp in its better way, 1/%.1f of Gecode with what it left open at the limit\n",
        better / ours, gecode / ours
    printf "clasp must have its statements from gringo, another %.2f s: with them 1/%.1f\n",
        ground, (better + ground) / ours }'
exit $failed
