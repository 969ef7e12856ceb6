#!/usr/bin/env bash
# kill -9 after each mark of one drill: every mark that was told is in the logbook, and the
# run is taken up and goes on to its goal. Usage: kill.sh PROGRAM SOURCE-FOLDER
set -euo pipefail
program=$1 source_dir=$2
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$source_dir HOME=$scratch TZ=UTC LC_ALL=C
unset XDG_CONFIG_HOME XDG_DATA_DIRS
steps=$("$program" see dip-pole-jibe | grep -cE '^  [0-9]+\. ')

# drill LINES: feeds LINES empty lines one by one, each after the answer to the one before,
# and kills the program when the last was answered.
drill() {
    mkfifo "$scratch/in"
    "$program" run dip-pole-jibe --plain --unproved < "$scratch/in" > "$scratch/out" &
    local pid=$! told
    exec 7> "$scratch/in"
    for ((line = 1; line <= $1; line++)); do
        echo >&7
        for ((look = 0; look < 2000; look++)); do
            told=$(grep -cE '^(checked$|[0-9.]+ s  (go$|made: ))' "$scratch/out" || true)
            [ "$told" -ge "$line" ] && break
            read -rt 0.005 <> <(:) || true
        done
        [ "$told" -ge "$line" ] || { echo "line $line was not answered"; cat "$scratch/out"; exit 1; }
    done
    kill -9 $pid
    wait $pid 2>/dev/null || true
    exec 7>&-
    rm "$scratch/in"
}

for ((marks = 1; marks < steps; marks++)); do
    export XDG_DATA_HOME=$scratch/run$marks
    drill $((6 + 1 + marks)) # six checks, the go, the marks
    stored=$("$program" runs 1 | grep -cE '^  [0-9.]+  made ')
    [ "$stored" -eq "$marks" ] || { echo "$marks marks told, $stored stored"; exit 1; }
    "$program" runs | grep -q 'still open' || { echo "run not open"; exit 1; }
    for ((line = 0; line < steps; line++)); do echo; done |
        "$program" run --resume --plain > "$scratch/resumed" || { echo "resume failed after $marks marks"; cat "$scratch/resumed"; exit 1; }
    "$program" runs | grep -q ' done in ' || { echo "not at the goal after $marks marks"; exit 1; }
done
# interrupted, asked to end, the pipe gone: the run stays, the status is that of the signal
for signal in INT TERM HUP PIPE; do
    export XDG_DATA_HOME=$scratch/$signal
    mkfifo "$scratch/in"
    : > "$scratch/out" # what the one before has said is not yet said
    (trap - INT; exec "$program" run dip-pole-jibe --plain --unproved < "$scratch/in" > "$scratch/out") &
    pid=$!
    exec 7> "$scratch/in"
    printf '\n\n\n\n\n\n\n\n' >&7
    for ((look = 0; look < 2000; look++)); do
        grep -q 'made: stand by' "$scratch/out" && break
        read -rt 0.005 <> <(:) || true
    done
    kill -$signal $pid
    status=0
    wait $pid || status=$?
    exec 7>&-
    rm "$scratch/in"
    [ $status -eq $((128 + $(kill -l $signal))) ] || { echo "SIG$signal: status $status"; exit 1; }
    "$program" runs | grep -q 'still open' || { echo "SIG$signal: run not open"; exit 1; }
done
echo "killed and taken up after each of $((steps - 1)) marks"
