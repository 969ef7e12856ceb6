#!/usr/bin/env bash
# Who may call what, read from the objects: yaml in load, sqlite in logbook, curses in the
# terminal, clocks and chance in command; and no writable data outside terminal.c.
# Usage: symbols.sh PROGRAM SOURCE-FOLDER
set -euo pipefail
build=$(dirname "$1")
failed=0
cd "$build"
mapfile -t objects < <(find CMakeFiles -name '*.c.o' -path '*src/*' | sort)
[ ${#objects[@]} -gt 30 ] || { echo "only ${#objects[@]} objects found in $build"; exit 1; }

only() { # only PATTERN FOLDER...: undefined symbols of that pattern, allowed there alone
    local pattern=$1 object used folder allowed
    shift
    for object in "${objects[@]}"; do
        used=$(nm -u "$object" | awk '{print $2}' | sed 's/@.*//' | grep -E "^($pattern)$" | head -1 || true)
        [ -n "$used" ] || continue
        allowed=no
        for folder in "$@"; do [[ $object == *src/$folder* ]] && allowed=yes; done
        [ $allowed = yes ] || { echo "$object uses $used"; failed=1; }
    done
}
only 'yaml_(parser|event|document|token|emitter)_.*' load/yaml_tree
only 'sqlite3_.*' logbook/
only 'newterm|initscr|doupdate|setupterm|tigetstr|wget_wch' screens/terminal
only 'time|clock_gettime|gettimeofday|rand|random|srand' command/ screens/terminal
only 'fopen|open|opendir|getenv' command/ logbook/ screens/terminal

# the checker of vet has no part in the engines: it knows the rig's own functions alone
checker=$(find CMakeFiles -path '*src/vet/checker.c.o')
[ -n "$checker" ] || { echo "no checker found"; failed=1; }
foreign=$(nm -u $checker | awk 'NF == 2 {print $2}' | sed 's/@.*//' |
    grep -vE '^(rig_|arena_|finding|procedure_|mem(cpy|cmp|set|move)$|_|abort$)' || true)
[ -z "$foreign" ] || { echo "the checker uses $foreign"; failed=1; }

for object in "${objects[@]}"; do
    [[ $object == *screens/terminal* ]] && continue
    # sanitizers keep tables of their own, with names no C program can have
    data=$(objdump -t "$object" | awk '$0 ~ / O \.(data|bss)/ && $0 !~ /\.data\.rel\.ro/ && $NF !~ /^(__|\.L|_ZL|\.str|_?\.?LC)/ {print $NF}' |
        grep -vE '^\.|asan|ubsan|^\*' || true)
    [ -z "$data" ] || { echo "$object has writable data: $data"; failed=1; }
done
exit $failed
