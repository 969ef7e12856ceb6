#!/usr/bin/env bash
# Every procedure on both boards in walk, drill and afloat by 1 to 7 demo hands:
# to its goal, or a message that says what is missing. Usage: crews.sh PROGRAM SOURCE-FOLDER
set -uo pipefail
program=$1 source_dir=$2 failed=0 goals=0 refusals=0
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
export FOREGUY_DATA=$source_dir HOME=$scratch TZ=UTC LC_ALL=C XDG_DATA_HOME=$scratch
unset XDG_CONFIG_HOME XDG_DATA_DIRS
cd "$source_dir"
for ((line = 0; line < 60; line++)); do echo; done > "$scratch/lines"
# crew file, hands, options
crews=("demo/pair.yaml|Merle,Anselm|--pilot" "demo/dinghy.yaml|Pia,Tove|"
    "demo/pair.yaml|Merle|--pilot" "demo/dinghy.yaml|Pia|"
    "demo/crew.yaml|Ottilie,Juno|" "demo/crew.yaml|Ottilie,Bram,Lubo,Juno|"
    "demo/crew.yaml|Ottilie,Bram,Tamsin,Lubo,Juno|"
    "demo/crew.yaml|Ottilie,Bram,Tamsin,Lubo,Juno|--option self-tailers=yes --option foreguy-mark=yes"
    "demo/crew.yaml|Ottilie,Bram,Tamsin,Lubo,Juno|--option foreguy-mark=yes"
    "demo/crew.yaml|Ottilie,Bram,Ines,Tamsin,Lubo,Fenna,Juno|")
for file in procedures/*.yaml; do
    name=$(basename "$file" .yaml)
    reached=0
    for crew in "${crews[@]}"; do
        IFS='|' read -r people hands more <<< "$crew"
        for board in port starboard; do
            for mode in walk drill afloat; do
                # shellcheck disable=SC2086
                "$program" run "$name" --plain --no-logbook --crew "$people" --hands "$hands" \
                    --board $board --mode $mode $more < "$scratch/lines" > "$scratch/out" 2>&1
                status=$?
                if [ $status -eq 0 ]; then
                    grep -q '^.*goal$' "$scratch/out" || { echo "$name $hands $board $mode: no goal"; failed=1; }
                    reached=$((reached + 1))
                elif [[ $name == *-recovery ]] && grep -q '^NO GO: not proved' "$scratch/out"; then
                    # enough hands for its first begin, too few for another it takes up
                    refusals=$((refusals + 1))
                elif ! grep -qE 'No bill for|autopilot|has no option' "$scratch/out"; then
                    echo "$name $hands $board $mode: status $status"
                    tail -5 "$scratch/out"
                    failed=1
                else
                    refusals=$((refusals + 1))
                fi
            done
        done
    done
    [ $reached -ge 6 ] || { echo "$name was reached by no demo crew"; failed=1; }
    goals=$((goals + reached))
done
echo "$goals runs to their goal, $refusals refused with the reason"
exit $failed
