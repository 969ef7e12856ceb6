#!/usr/bin/env bash
# The layout is that of .clang-format. Usage: format.sh PROGRAM SOURCE-FOLDER
set -euo pipefail
command -v clang-format >/dev/null || { echo "skipped: clang-format is not installed"; exit 77; }
cd "$2"
clang-format --dry-run -Werror src/*/*.[ch] tests/*/*.[ch]
