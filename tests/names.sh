#!/usr/bin/env bash
# No two files of src share a name. Usage: names.sh PROGRAM SOURCE-FOLDER
set -euo pipefail
twice=$(find "$2/src" -name '*.[ch]' -printf '%f\n' | grep -vx internal.h | sort | uniq -d)
[ -z "$twice" ] || { echo "twice in src: $twice"; exit 1; }
