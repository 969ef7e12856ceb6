#!/usr/bin/env bash
# The command line: help, version, usage, messages, status, JSON. Usage: cli.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2 failed=0
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$source_dir HOME=$scratch TZ=UTC LC_ALL=C XDG_DATA_HOME=$scratch/data
unset XDG_CONFIG_HOME XDG_DATA_DIRS
cd "$scratch"

# expect STATUS PATTERN COMMAND...: the status, and the pattern in what is printed
expect() {
    local status=$1 pattern=$2 got
    shift 2
    "$@" > out 2>&1 < /dev/null
    got=$?
    [ $got -eq "$status" ] || { echo "status $got instead of $status: $*"; cat out; failed=1; }
    grep -qE -- "$pattern" out || { echo "no '$pattern': $*"; cat out; failed=1; }
}
expect 0 '^foreguy [0-9]+\.[0-9]+\.[0-9]+$' "$program" --version
expect 0 'Exit status' "$program" --help
for command in list see vet bill call wind run runs; do
    expect 0 "^Usage: foreguy $command" "$program" $command --help
    expect 2 '.' "$program" $command --no-such-option
done
for hostile in /dev/null "$source_dir" "$program"; do
    expect 2 'error|cannot' "$program" see ./"$(realpath --relative-to . "$hostile")"
    expect 2 'error|cannot' "$program" run dip-pole-jibe --plain --crew "$hostile"
    expect 2 'error|cannot' "$program" run dip-pole-jibe --plain --boat "$hostile"
done
expect 2 'is no key|cannot' "$program" run --keys "$program"
expect 2 'cannot' "$program" run --keys "$source_dir"
expect 0 'Muster' "$program" run --keys /dev/null
expect 2 'takes? no|extra|name one|unexpected|argument' "$program" list one two
expect 2 'name one' "$program" run one two
expect 2 "no command 'jibe'" "$program" jibe
expect 2 'name one procedure' "$program" see
expect 2 'walk, drill or afloat' "$program" run dip-pole-jibe --mode fast
expect 2 'port or starboard' "$program" see dip-pole-jibe --board left
for command in run see vet bill 'call --distance 800m --speed 6'; do # one wind for all
    expect 2 'true wind is 0 to 80 kn' "$program" $command dip-pole-jibe --wind strong
    expect 2 'a gust is the wind at least' "$program" $command dip-pole-jibe --wind 14g9
    expect 2 'the boat.s speed is 0 to 60' "$program" $command dip-pole-jibe --wind '14g19 700'
    expect 2 'the true angle is 0 to 180' "$program" $command dip-pole-jibe --wind '14g19 7 181'
    expect 2 'boat speed, true angle: 14g19 7 150' "$program" $command dip-pole-jibe --wind '14g19 7 150 3'
done
expect 0 'LOADS in 19 kn' "$program" see dip-pole-jibe --wind '14g19 7 150'
expect 0 'loads of 14 kn' "$program" vet dip-pole-jibe --wind '14kn 7 m/s 150deg'
expect 2 "did you mean 'dip-pole-jibe'" "$program" see dip-pole-gibe
expect 2 'cannot be read' "$program" see nowhere/none.yaml
expect 2 'self-tailers' "$program" see dip-pole-jibe --option self-tailer=yes
expect 2 "not all of 'Bram,Nemo'" "$program" run dip-pole-jibe --plain --hands Bram,Nemo
expect 2 'not a terminal' "$program" run
expect 2 'no run is open' "$program" run --resume --plain
pin() { # pin STATUS PATTERN PIN...: a bill of the shipped jibe with these pins
    local status=$1 pattern=$2 pins=()
    shift 2
    for one; do pins+=(--pin "$one"); done
    expect "$status" "$pattern" "$program" bill dip-pole-jibe "${pins[@]}"
}
pin 0 '^Pinned: Juno is Bow; costs nothing against 32\.5 s with nobody pinned\.$' bow=Juno
pin 0 'Juno is Mast, Juno is Bow; costs 2\.8 s against 32\.5 s' mast=Juno bow=Juno
pin 0 'does not know Quill as Bow: slow times are taken' bow=Quill
pin 1 '^This leaves no bill: Juno is Pit, Juno is Bow\.$' guy=Tamsin pit=Juno bow=Juno
pin 1 '^Pit, Bow in one person, at "clip": more than two hands' pit=Juno bow=Juno
grep -q 'No bill for' out && { echo "pins are not what is missing"; failed=1; }
pin 2 "'boww' is no role .*did you mean 'bow'" boww=Juno
pin 2 "'Jun' is no hand of .*did you mean 'Juno'" bow=Jun
pin 2 'a pin is ROLE=HAND' bow
pin 2 'bow is pinned to two hands' bow=Juno bow=Fenna
expect 2 'Juno is not aboard' "$program" bill dip-pole-jibe --hands Bram,Ines --pin bow=Juno
expect 1 'Without them there is no bill either' "$program" bill dip-pole-jibe --hands-count 4 --pin bow=Juno
expect 0 '"role": "bow", "hand": "Fenna", "known": true, "clashes": false.*"free_total_ms": 32500, .*"pins_cost_ms": 100' \
    "$program" bill dip-pole-jibe --pin bow=Fenna --json
expect 0 'The logbook is empty' "$program" runs
expect 2 'no run 7' "$program" runs 7
expect 0 'dip-pole-jibe +both boards +SAFE.*, checked, port by mirror$' "$program" vet dip-pole-jibe
expect 0 'must not be missed: Main "heads"' "$program" vet dip-pole-jibe --slips
expect 0 'planned 32.5 s from the go, proved shortest' "$program" bill dip-pole-jibe
expect 0 'Vet: safe in every order' "$program" bill dip-pole-jibe --hands-count 7
expect 0 'without Juno: 35.6 s, longer by 3.1 s' "$program" bill dip-pole-jibe --what-if
expect 1 'Together too much for those who know them: ' "$program" bill dip-pole-jibe --hands-count 5
expect 1 'Pit from "foreguy-ease"' "$program" bill dip-pole-jibe --hands-count 5 --each-step
expect 0 'With each role in one hand: 35.3 s, proved shortest; sharing the roles out costs nothing' \
    "$program" bill dip-pole-jibe --hands-count 6 --each-step
expect 0 '"role_changes": 0, "role_changes_proved": true' "$program" bill dip-pole-jibe --each-step --json
expect 0 '^  Go .* m .* lengths   in 2:' "$program" call dip-pole-jibe --distance 600m --speed 7
expect 0 '"recovery": "shrimp-recovery"' "$program" call dip-pole-jibe --distance 600m --speed 7 --json
expect 1 '^  Go .*PASSED 1:' "$program" call dip-pole-jibe --distance 12lengths --speed 7 --rough --hazard
expect 1 'No bill for the 2 hands' "$program" call dip-pole-jibe --distance 1nm --speed 7 --hands Juno,Lubo
for wrong in '--distance 600' '--distance 6x' '--distance -4m' '--distance 1e3m' ''; do
    # shellcheck disable=SC2086 # the option and its value
    expect 2 'distance' "$program" call dip-pole-jibe --speed 7 $wrong
done
for wrong in 0 -3 x 1e2 nan inf 99999999; do
    expect 2 'the speed is a figure like 6kn|not reached' "$program" call dip-pole-jibe --distance 1nm --speed "$wrong"
done
expect 2 'that does not hold you up' "$program" call dip-pole-jibe --distance 1nm --speed 5 --current -5
expect 2 'hands-count is 1 to 64' "$program" bill dip-pole-jibe --hands-count 5x
expect 0 '"proved": true' "$program" bill dip-pole-jibe --json
expect 0 '^    trip +hurts 9 +barred +hurts 15 +hurts 5 +trip-unloaded$' "$program" vet dip-pole-jibe --slips
expect 0 'Main, heads: DANGER: Boom and mainsheet kill' "$program" see dip-pole-jibe
expect 0 '^    lazy-fast +hurts [0-9]+ +- +harmless +- +another.s line$' "$program" vet jaw-stuck-recovery --slips
expect 0 'rules NOT held here' "$program" vet end-for-end-jibe --slips
expect 0 'rules broken by two slips' "$program" vet end-for-end-jibe --pairs

# the three situations of the manual, and what else the wind command tells and refuses
wind() { # wind STATUS PATTERN OPTION...
    local status=$1 pattern=$2
    shift 2
    expect "$status" "$pattern" "$program" wind "$@"
}
wind 0 '^  now +8\.0 kn at 180 deg$' --true-wind 15kn --true-angle 180 --boat-speed 7kn
wind 0 '^  slowed to half +11\.5 kn at 180 deg +pull 2\.1 times$' --true-wind 15 --true-angle 180 --boat-speed 7
wind 0 '^  stopped +15\.0 kn at 180 deg +pull 3\.5 times$' --true-wind 15 --true-angle 180 --boat-speed 7
wind 0 '^WARNING: A small swing .*180 deg true, from 170 deg' --true-wind 15 --true-angle 180 --boat-speed 7
wind 0 '^True wind 8\.7 kn at 90 deg to port: Beaufort 3, gentle' --apparent 10 --apparent-angle 60 --boat-speed 5 --board port
wind 0 'straight .*5\.8 kn.*: 20:41$' --true-wind 14 --from 20 --to 200 --distance 2nm
wind 0 '^On both boards 23 s are saved' --true-wind 14 --from 20 --to 200 --distance 3704m
wind 0 '^At 20 s each, 1 jibe pays' --true-wind 14 --from 20 --to 200 --distance 2nm --jibe-costs 20s
wind 0 '^At 7 s each, 3 jibes pay' --true-wind 14 --from 20 --to 200 --distance 2nm --jibe-costs 7s
wind 0 'no jibe is needed' --true-wind 14 --from 20 --to 140 --distance 2nm
wind 0 'TAKE runner S2, 990 ft2' --true-wind 14 --true-angle 150 --units us
wind 0 'no +runner S2, 92 m2: too much true wind: 20\.0 kn, to 18 kn' --true-wind 20 --true-angle 150
wind 0 'Dip-pole jibe: needs 5 hands, 2 aboard' --true-wind 14 --true-angle 150 --hands Juno,Bram
wind 0 'from 083 at 13\.2 kn over the ground' --true-wind 12 --from 85 --heading 225 --boat-speed 6 --set 240 --drift 1.3
wind 0 '^Course over the ground 225 at 7\.3 kn' --true-wind 12 --from 85 --heading 225 --boat-speed 6 --set 225 --drift 1.3
wind 0 'comes from 045' --apparent 7.0710678 --apparent-angle 45 --board port --heading 135 --course 135 --over-ground 5
wind 0 '"angle_deg": 127\.8' --true-wind 14 --true-angle 150 --json
for wrong in nan inf -5 0x10 1e2 81 '' 'kn' '12 kts' 9999999999999999; do
    wind 2 'true wind is 0 to 80' --true-wind "$wrong" --true-angle 150 --boat-speed 6
    [ "$wrong" = 81 ] || wind 2 'true angle is 0 to' --true-wind 14 --true-angle "$wrong$wrong" --boat-speed 6
done
wind 2 'either --true-wind or --apparent'
wind 2 'either --true-wind or --apparent' --true-wind 12 --apparent 8 --apparent-angle 90
wind 2 'go together' --true-wind 12 --set 90
wind 2 'go together' --apparent 12
wind 2 'needs --heading' --true-wind 14 --true-angle 150 --to 200 --distance 1nm
wind 2 'has a unit' --true-wind 14 --from 20 --to 200 --distance 2
wind 2 'no polar tells' --true-wind 40 --true-angle 150
wind 2 'five times it at most' --true-wind 14 --true-angle 150 --gust 10
wind 2 'says nothing of the way' --true-wind 40 --true-angle 150 --boat-speed 9 --heading 20 --to 200 --distance 1nm
wind 2 'no names' --true-wind 14 --true-angle 150 runner
while read -r status command; do # one system at a time
    expect "$status" '1000 lbf in all' "$program" $command --wind 16 --units us
    grep -E '[0-9] (m|N|m2)\b' out && { echo "metric among US figures: $command"; failed=1; }
    expect "$status" '4500 N in all' "$program" $command --wind 16 --units metric
    grep -E '[0-9] (ft|lbf|ft2)\b' out && { echo "US among metric figures: $command"; failed=1; }
    expect 2 'metric or us' "$program" $command --units both
done << 'END'
0 see dip-pole-jibe
0 see end-for-end-jibe
0 bill dip-pole-jibe
1 run dip-pole-jibe --plain --no-logbook
0 call dip-pole-jibe --distance 2000ft --speed 6
END
expect 0 'the mark is 2000 ft away' env FOREGUY_UNITS=us "$program" call dip-pole-jibe --distance 2000ft --speed 6
expect 0 "FOREGUY_UNITS is metric or us, not 'both'" env FOREGUY_UNITS=both "$program" see dip-pole-jibe
wind 2 'metric or us' --true-wind 14 --units both
printf 'deg,10 kn,14 kn\n90,7,8\n150,5.5,6.8\n' > slow.csv
wind 0 'Boat speed 6\.8 kn by her polar' --true-wind 14 --true-angle 150 --polar slow.csv
wind 0 'The polar ends at that angle' --true-wind 14 --polar slow.csv
printf 'format: 1\nboat: Slow\nlength: 9 m\npolar: slow.csv\n' > slow.yaml
wind 0 'Boat speed 6\.8 kn by her polar' --true-wind 14 --true-angle 150 --boat ./slow.yaml
printf 'deg,10 kn,14 kn\n90,7\n' > slow.csv
wind 2 '^./slow.csv:2:1: error: 1 speeds stand here for 2 winds' --true-wind 14 --true-angle 150 --boat ./slow.yaml
wind 2 'cannot be read' --true-wind 14 --true-angle 150 --polar none.csv
# what a jibe costs at most is known from the logbook, and none is made to look
XDG_DATA_HOME=$scratch/jibes wind 0 'one jibe pays if it costs less' --true-wind 14 --from 20 --to 200 --distance 6nm
[ -e jibes ] && { echo "a logbook was made to look for jibes"; failed=1; }
XDG_DATA_HOME=$scratch/jibes expect 0 'done in 31\.4 s' "$program" run dip-pole-jibe --keys "$source_dir/demo/drill.keys"
XDG_DATA_HOME=$scratch/jibes wind 0 'took 31 s .median of 1.; one loses no more' --true-wind 14 --from 20 --to 200 --distance 6nm
XDG_DATA_HOME=$scratch/jibes wind 0 '"median_jibe_s": 31\.4' --true-wind 14 --from 20 --to 200 --distance 6nm --json

printf 'format: 1\nboat: Long\nlength: 30 m\nstations: {pulpit: {forward: 14 m}}\n' > long.yaml
expect 1 'planned 32\.5 s' "$program" run dip-pole-jibe --plain --no-logbook
expect 1 'planned 45\.0 s' "$program" run dip-pole-jibe --plain --no-logbook --boat long.yaml
expect 0 'planned 45\.0 s' "$program" bill dip-pole-jibe --boat long.yaml
expect 0 '45\.0 s' "$program" bill dip-pole-jibe --boat long.yaml
sed -i 's/pulpit/bowsprit/' long.yaml
expect 2 "long.yaml:4:12: error: 'bowsprit' is no station of any rig" \
    "$program" run dip-pole-jibe --plain --no-logbook --boat long.yaml
printf 'format: 1\nprocedure: x\n' > bad.yaml
expect 2 '^bad.yaml:[0-9]+:[0-9]+: error: ' "$program" see bad.yaml
expect 0 '5 hands: +6951 ways, 0 safe in any order, 0 in' "$program" vet dip-pole-jibe --crews
expect 0 "not in the file's order: +Helm, Mast cannot leave the helm" "$program" vet dip-pole-jibe --crews
expect 2 'error' "$program" vet bad.yaml
sed 's/after: \[in-up, ease-guy, foreguy-ease, foreguy-to-mark\]/after: [in-up, foreguy-ease, foreguy-to-mark]/
     s/wait: {old-guy: slack}/wait: {in-end: high}/' \
    "$source_dir/procedures/dip-pole-jibe.yaml" > early-trip.yaml
expect 1 'WARNING: Opened under load the jaw jerks' "$program" vet early-trip.yaml
# an author's slip of the pen: what is waited for passes, and the note says where
sed 's/finish: {in-end: high}/finish: {in-end: set}/; s/start: {in-end: lifting}/start: {in-end: high}/' \
    "$source_dir/procedures/dip-pole-jibe.yaml" > passing.yaml
expect 1 "^passing.yaml:[0-9]+:[0-9]+: note: 'dip' may wait for this for ever: 'in-up' can end it" "$program" vet passing.yaml
expect 1 '"note": "LINT_WAIT_PASSES", "file": "passing.yaml", "line": [0-9]+' "$program" vet passing.yaml --json
"$program" vet > out 2>&1 || failed=1
grep -q 'note: ' out && { echo "a note on what is shipped"; cat out; failed=1; }
expect 1 'one line mends it: in step trip, after: \[..., ease-guy\]' "$program" vet early-trip.yaml

sed 's/^    role: pit$/    role: pit\n    uses: [halyard-winch]/' "$source_dir/procedures/bear-away-set.yaml" > winch.yaml
expect 0 'bear-away-set +port +SAFE.*, checked$' "$program" vet winch.yaml
expect 0 'not the mirror image of starboard: the halyard winch is fixed to starboard; both' "$program" vet winch.yaml

"$program" list > /dev/full 2> out && { echo "a full disk went unnoticed"; failed=1; }
[ -s out ] || { echo "a full disk was not told"; failed=1; }
for what in --version --help "see dip-pole-jibe" "runs" "run --keys /dev/null" "run dip-pole-jibe --plain"; do
    "$program" $what > /dev/full 2> out < /dev/null
    [ $? -eq 2 ] && [ -s out ] || { echo "a full disk: $what"; failed=1; }
done

# what stands behind a line too long, or is no text, makes no step and steers no terminal
odd() { XDG_DATA_HOME=$scratch/odd "$program" "$@"; }
ready='\n\n\n\n\n\n\n'
printf "${ready}note %0394d\n\0\nnote \033[2J \377 \302\233m\nstop" 0 | odd run dip-pole-jibe --plain > out
grep -q 'made:' out && { echo "junk made a step"; failed=1; }
odd runs 1 >> out
LC_ALL=C grep -q '[^[:print:][:space:]]' out && { echo "a note steers the terminal"; cat -v out; failed=1; }
printf "${ready}note %s\nstop\n" "x$(printf 'é%.0s' {1..150})" | odd run dip-pole-jibe --plain > out
iconv -f UTF-8 -t UTF-8 out > out2 || { echo "a long note is cut within a character"; failed=1; }

# a run caught up is short, not quick: it is no pace
printf '%s\n' enter enter enter enter enter enter enter 'wait 500' > start.keys
{ cat start.keys; printf '%s\n' down down down down c y space 1 4 show; } > caught-up.keys
{ cat start.keys; printf '%s\n' space show; } > next.keys
expect 0 'Done: no time, .* of 21 steps without one' odd run dip-pole-jibe --keys caught-up.keys
expect 0 'done, no time$' odd runs
odd run dip-pole-jibe --keys next.keys > out
grep -q 'stand by answered' out && ! grep -q 'pace [+-]' out || { echo "a run caught up became the pace"; cat out; failed=1; }
printf 'wait 5x\n' > wrong.keys
expect 2 'wrong.keys:1: error' "$program" run --keys wrong.keys
printf 'w\ntype nan\nenter\n' > nan.keys
expect 0 'No: the true wind is 0 to 80 kn' "$program" run --keys nan.keys
expect 2 'true wind is 0 to 80 kn' "$program" run dip-pole-jibe --wind 0x10

FOREGUY_DATA=/nonexistent XDG_DATA_DIRS=/nonexistent expect 2 'No procedures found' "$program" list
(unset HOME XDG_DATA_HOME; "$program" list > /dev/null) || { echo "no HOME, no list"; failed=1; }
printf '%s\n' enter enter enter enter enter enter enter enter space > go.keys
# no folder can be made in /dev/null, by nobody
for where in "XDG_DATA_HOME=/dev/null/data" "-u HOME -u XDG_DATA_HOME" "HOME= XDG_DATA_HOME="; do
    (cd / && env $where "$program" run dip-pole-jibe --keys "$scratch/go.keys" > "$scratch/out" 2>&1)
    [ $? -eq 0 ] && grep -q 'NOT RECORDED' out && grep -q 'stand by answered' out ||
        { echo "not run, or not told that nothing is recorded: $where"; cat out; failed=1; }
done
XDG_DATA_HOME=/dev/null/data expect 2 'no-logbook goes without' "$program" run dip-pole-jibe --plain

mkdir -p own/foreguy && echo 'this is no logbook, and it must stay as it is' > own/foreguy/logbook.db
before=$(cksum < own/foreguy/logbook.db)
XDG_DATA_HOME=$scratch/own expect 2 'cannot be used' "$program" run dip-pole-jibe --plain
printf 'show\n' > keys
XDG_DATA_HOME=$scratch/own expect 0 'NOT RECORDED' "$program" run --keys keys
[ "$before" = "$(cksum < own/foreguy/logbook.db)" ] || { echo "a foreign file was written to"; failed=1; }

if command -v python3 >/dev/null; then
    for board in port starboard; do
        "$program" see dip-pole-jibe --board $board --json | python3 -m json.tool >/dev/null || { echo "see --json"; failed=1; }
    done
    printf '\n\n\n\n\n\n\n\n\n' | "$program" run dip-pole-jibe --plain >/dev/null
    for what in "list" "wind --true-wind 14 --from 20 --to 200 --distance 2nm" "runs" "runs 1" "vet dip-pole-jibe" "vet dip-pole-jibe --slips" \
        "vet end-for-end-jibe --pairs --crews" "vet early-trip.yaml"; do
        "$program" $what --json > out
        python3 -m json.tool out >/dev/null || { echo "$what --json"; failed=1; }
    done
else
    echo "skipped: no python3 to read the JSON with"
fi
exit $failed
