#!/usr/bin/env bash
# Each header compiles alone. Usage: headers.sh PROGRAM SOURCE-FOLDER
set -euo pipefail
cd "$2/src"
failed=0
for header in */*.h; do
    [ "$header" = base/messages.h ] && continue # a table, included with its own macro
    ${CC:-cc} -std=c11 -D_POSIX_C_SOURCE=200809L -Wall -Wextra -Wpedantic -Werror -I. \
        -fsyntax-only -x c "$header" || { echo "$header does not stand alone"; failed=1; }
    guard=$(echo "$header" | tr 'a-z/.' 'A-Z__')
    grep -q "^#ifndef $guard$" "$header" || { echo "$header: guard is not $guard"; failed=1; }
done
exit $failed
