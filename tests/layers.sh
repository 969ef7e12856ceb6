#!/usr/bin/env bash
# Data flows one way: a folder of src includes only headers of folders before it in
# src/LAYERS, and nobody else's internal.h. Fails as well when a planted violation is not
# seen. Usage: layers.sh PROGRAM SOURCE-FOLDER
set -euo pipefail
source_dir=$2

# Prints every include of FOLDER/src that points the wrong way.
violations() {
    awk -v root="$1" '
        BEGIN { while ((getline line < (root "/LAYERS")) > 0) rank[line] = ++count }
        { file = FILENAME; sub(root "/", "", file); split(file, parts, "/"); mine = parts[1] }
        /^#include "/ {
            split($2, quoted, "\""); header = quoted[2]; split(header, to, "/"); theirs = to[1]
            if (!(theirs in rank) || !(mine in rank))
                print file ": " header " is in no folder of LAYERS"
            else if (rank[theirs] > rank[mine])
                print file ": " theirs " comes after " mine ": " header
            else if (theirs != mine && to[2] == "internal.h")
                print file ": " header " is private to " theirs
        }
        /^#include <yaml.h>/ && file != "load/yaml_tree.c" { print file ": yaml.h" }
        /^#include <sqlite3.h>/ && mine != "logbook" { print file ": sqlite3.h" }
        /^#include <(n?curses|term)\.h>/ && file != "screens/terminal.c" { print file ": curses" }
    ' "$1"/*/*.[ch]
}

found=$(violations "$source_dir/src")
[ -z "$found" ] || { echo "$found"; exit 1; }

planted=$(mktemp -d)
trap 'rm -rf "$planted"' EXIT
cp -r "$source_dir/src" "$planted/src"
{
    echo '#include "screens/app.h"'
    echo '#include "bill/internal.h"'
    echo '#include "load/internal.h"'
    echo '#include <sqlite3.h>'
} >> "$planted/src/rig/rig_make.c"
[ "$(violations "$planted/src" | wc -l)" -eq 4 ] || { echo "planted violations not seen"; violations "$planted/src"; exit 1; }
echo "layers hold"
