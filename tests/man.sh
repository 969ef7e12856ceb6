#!/usr/bin/env bash
# The manual: clean mdoc, every message explained in its own words, every command and option
# told, its examples load, are safe and can be sailed. Usage: man.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2 failed=0
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$scratch HOME=$scratch TZ=UTC LC_ALL=C
export XDG_DATA_HOME=$scratch XDG_DATA_DIRS=/nonexistent XDG_CONFIG_HOME=$scratch

# fail WORDS...: says so and goes on
fail() {
    echo "$*"
    failed=1
}

if command -v mandoc > /dev/null; then
    # the pages are not installed here, so they do not find one another
    found=$(mandoc -T lint -W style "$source_dir"/man/*.[15] 2>&1 |
        grep -v 'referenced manual not found')
    [ -z "$found" ] || fail "$found"
else
    echo "skipped: the pages are not linted, mandoc is not installed"
fi
long=$(awk 'length > 80 { print FILENAME ":" FNR ": longer than 80" }' "$source_dir"/man/*.[15])
[ -z "$long" ] || fail "$long"

# "ID words" of each message: what printf fills in is three dots, here and in the pages
tr '\n' ' ' < "$source_dir/src/base/messages.h" | sed 's/MESSAGE(/\n&/g' |
    sed -n 's/^MESSAGE(\([A-Z0-9_]*\), *LEVEL_[A-Z]*, *"\(.*\)") *\(\/\*.*\)*$/\1 \2/p' |
    sed 's/" *"//g; s/\\\\/\\/g; s/%zu/.../g; s/%04X/.../g; s/%[a-z]/.../g' |
    sort > "$scratch/messages"
cat "$source_dir"/man/*.5 | awk '
    /^\.\\" MESSAGE_/ { id = substr($2, 9) }
    id != "" && /^\.It Xo/ { text = ""; within = 1; next }
    /^\.Xc/ && within { print id text; id = ""; within = 0 }
    within { sub(/^\\&/, ""); text = text " " $0 }' |
    sed "s/\\\\(aq/'/g; s/\\\\-/-/g; s/\\\\e/\\\\/g" | sort > "$scratch/entries"
[ "$(wc -l < "$scratch/messages")" -gt 50 ] || fail "the messages of messages.h were not found"
difference=$(diff "$scratch/messages" "$scratch/entries") ||
    fail "messages.h (<) and the entries of the manual (>) differ:" "$difference"

commands=$("$program" --help | sed -n 's/^  \([a-z]*\)  .*/\1/p')
[ -n "$commands" ] || fail "the help names no commands"
for command in $commands; do
    grep -q "^\.It Cm $command\$" "$source_dir/man/foreguy.1" ||
        fail "command $command is not in the manual"
    options=$("$program" "$command" --help | sed -n 's/^  --\([a-z-]*\).*/\1/p')
    [ -n "$options" ] || fail "the help of $command names no options"
    for option in $options; do
        [ "$option" = help ] || grep -qw -- "Fl -$option" "$source_dir/man/foreguy.1" ||
            fail "$command --$option is not in the manual"
    done
done

# the examples, each under the name the line before it gives
mkdir -p "$scratch/procedures/rig"
cat "$source_dir"/man/*.5 | awk -v folder="$scratch" '
    /^\.\\" EXAMPLE / { out = folder "/" $3; next }
    /^\.Bd/ { next }
    /^\.Ed/ { out = "" }
    out != "" { print > out }'
cd "$scratch" || exit 2
# expect WORDS COMMAND...: no message, status 0, and the words in what is printed
expect() {
    local words=$1
    shift
    "$@" > out 2>&1 || fail "the example in the manual: status $? of $*" "$(cat out)"
    grep -q "$words" out || fail "the example in the manual: no '$words'" "$(cat out)"
    ! grep -qE 'error: |warning: ' out || fail "the example in the manual:" "$(cat out)"
}
for board in port starboard; do
    expect "on $board" "$program" see drop-jib --board $board
done
expect 'SAFE' "$program" vet drop-jib
expect 'SAFE' "$program" vet drop-jib --option tie=no
printf 'yes\ngo\n\n\n\n\n\n' > lines
expect 'Lubo' "$program" run drop-jib --plain --no-logbook --crew crew.yaml --boat boat.yaml < lines
exit $failed
