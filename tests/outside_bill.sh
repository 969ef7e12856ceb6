#!/usr/bin/env bash
# Outside check: the general-purpose solver Gecode 6.2 behind MiniZinc 2.6 (Debian's
# minizinc) must find the same least time for random crews, or that there is no bill. Its
# model is tests/outside/crew.mzn; what kind of crews: tests/outside/bill_minizinc.py.
# Usage: outside_bill.sh PROGRAM SOURCE-FOLDER
set -euo pipefail
program=$1 source_dir=$2
command -v minizinc >/dev/null && command -v fzn-gecode >/dev/null && command -v python3 >/dev/null ||
    { echo "skipped: minizinc with Gecode or python3 is not installed"; exit 77; }
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
mkdir -p "$scratch/procedures/rig"
export FOREGUY_DATA=$scratch HOME=$scratch TZ=UTC LC_ALL=C XDG_DATA_HOME=$scratch
python3 "$source_dir/tests/outside/bill_minizinc.py" "$program" \
    "$source_dir/tests/outside/crew.mzn" "$scratch" 40
