#!/usr/bin/env bash
# Plain mode, line by line: each tests/plain/NAME.keys is played as its first line says and
# compared with NAME.out, status included. UNSAFE stands for the shipped jibe without the
# cue of its trip, CREW for the demo pair. UPDATE=1 rewrites. Usage: plain.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2 failed=0
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$source_dir HOME=$scratch TZ=UTC LC_ALL=C XDG_DATA_HOME=$scratch/data
unset XDG_CONFIG_HOME XDG_DATA_DIRS
sed 's/after: \[in-up, ease-guy, foreguy-ease, foreguy-to-mark\]/after: [in-up]/
     s/wait: {old-guy: slack}/wait: {in-end: high}/' \
    "$source_dir/procedures/dip-pole-jibe.yaml" > "$scratch/unsafe.yaml"
cmp -s "$scratch/unsafe.yaml" "$source_dir/procedures/dip-pole-jibe.yaml" && { echo "the unsafe file is the shipped one"; exit 1; }
cd "$scratch"
for keys in "$source_dir"/tests/plain/*.keys; do
    name=$(basename "$keys" .keys)
    read -ra words <<< "$(head -1 "$keys" | sed "s/^# //; s|UNSAFE|unsafe.yaml|; s|CREW|$source_dir/demo/pair.yaml|")"
    "$program" "${words[@]}" --plain --keys "$keys" > out 2>&1
    echo "status $?" >> out
    [ "${UPDATE:-}" ] && cp out "$source_dir/tests/plain/$name.out"
    diff -u "$source_dir/tests/plain/$name.out" out || failed=1
done

# With nothing typed, afloat, the calls of the plan come by themselves.
mkfifo in
"$program" run broach-recovery --plain --mode afloat --no-logbook < in > out 2>&1 &
exec 3> in
echo 'go anyway' >&3
for ((tries = 0; tries < 600; tries++)); do grep -q '^PLAN ' out && break; sleep 0.1; done
echo all-made >&3
exec 3>&-
wait $!
grep -q '^PLAN ' out && grep -q 'done, untimed' out || { echo "no call of the plan came"; cat out; failed=1; }
exit $failed
