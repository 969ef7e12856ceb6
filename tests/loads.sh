#!/usr/bin/env bash
# Loads on the command line: the figures worked by hand in the manual are the program's,
# every command sees the same procedure in a wind, a run taken up again too, and nonsense is
# refused. Usage: loads.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2 failed=0
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cd "$scratch" || exit 2
export FOREGUY_DATA=$source_dir HOME=$scratch XDG_DATA_HOME=$scratch/data TZ=UTC LC_ALL=C.UTF-8

# expect STATUS PATTERN COMMAND...: both are as said
expect() {
    local status=$1 pattern=$2 got
    shift 2
    "$@" > out 2>&1 < /dev/null
    got=$?
    [ $got -eq "$status" ] && grep -qE -- "$pattern" out && return
    echo "status $got, '$pattern' expected with $status: $*"
    cat out
    failed=1
}
see="$program see dip-pole-jibe"
boat=$source_dir/demo/boat.yaml
grep -v winch: "$boat" | grep -v '^winches' > bare.yaml
sed 's/self-tailing: yes/self-tailing: no/' "$boat" > plain.yaml

# as in the manual, LOADS AND TURNS
expect 0 '4500 N in all' $see --wind 16
expect 0 'sheet 1900 N: 3 turns leave 75 N' $see --wind 16
expect 0 'inboard end goes up to 2\.7 m' $see --wind 16
grep -q '= 4470 N' "$source_dir/man/foreguy.1" && grep -q '75 N: three' "$source_dir/man/foreguy.1" ||
    { echo "the manual's figures are others than those checked here"; failed=1; }

expect 0 'never for sizing gear' $see --wind '18.4 mph'
expect 0 'take both hands: sheet on\.' "$program" vet bear-away-set --wind 14 --boat plain.yaml
expect 1 'NOT SAFE' "$program" vet end-for-end-jibe --wind 14 --boat bare.yaml
expect 1 'WARNING: nobody can hold' "$program" vet end-for-end-jibe --wind 14 --boat bare.yaml
expect 0 'SAFE' "$program" vet end-for-end-jibe --wind 2 --boat bare.yaml
expect 0 'guy 3400 N: 3 turns leave 140 N' "$program" bill dip-pole-jibe --wind 16
expect 0 'Go ' "$program" call dip-pole-jibe --distance 900m --speed 6 --wind 16
expect 0 'guy 3400 N: 3 turns leave 140 N' "$program" call dip-pole-jibe --distance 900m --speed 6 --wind 16
expect 0 '"load": "guy"' "$program" call dip-pole-jibe --distance 900m --speed 6 --wind 16 --json
expect 0 '"note": "An estimate for planning hands and turns, never for sizing gear' "$program" call dip-pole-jibe --distance 900m --speed 6 --wind 16 --json
expect 0 '"stops": true' "$program" see dip-pole-jibe --wind 27 --json
"$program" see dip-pole-jibe > out && ! grep -q LOADS out || { echo "loads without a wind"; failed=1; }

for command in see vet bill; do
    expect 2 'the true wind is 0 to 80 kn' "$program" $command dip-pole-jibe --wind nan
    expect 2 'the true wind is 0 to 80 kn' "$program" $command dip-pole-jibe --wind -3
    expect 2 'the true wind is 0 to 80 kn' "$program" $command dip-pole-jibe --wind 1e2
    expect 2 'the true wind is 0 to 80 kn' "$program" $command dip-pole-jibe --wind 81
    expect 2 'cannot be read|no such|No such' "$program" $command dip-pole-jibe --wind 9 --boat none.yaml
done

# the brief of a run, and of one taken up again, are of the same wind
printf 'yes\n' | "$program" run dip-pole-jibe --plain --wind 16 > out
grep -q 'sheet 1900 N: 3 turns' out || { echo "no loads at the plain brief"; failed=1; }
mkfifo lines
"$program" run dip-pole-jibe --plain --wind 16 < lines > /dev/null &
killed=$!
exec 9> lines
echo yes >&9
for _ in {1..200}; do
    "$program" runs | grep -q open && break
    sleep 0.05
done
kill -9 "$killed"
exec 9>&-
"$program" run --resume --plain > out < /dev/null
grep -q 'sheet 1900 N: 3 turns' out || { echo "no loads in the run taken up"; cat out; failed=1; }

if command -v python3 > /dev/null; then
    for what in "see dip-pole-jibe" "vet dip-pole-jibe" "bill dip-pole-jibe" "bill end-for-end-jibe --boat bare.yaml"; do
        "$program" $what --wind 16 --json > out
        python3 -c 'import json, sys
text = json.dumps(json.load(sys.stdin))
assert "\"total_n\"" in text and "NaN" not in text' < out || { echo "$what --json"; failed=1; }
    done
else
    echo "skipped: no python3 to read the JSON with"
fi
exit $failed
