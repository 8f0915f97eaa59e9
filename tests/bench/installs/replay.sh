#!/bin/sh
# An install of each family, and its log replayed: the very records again. And installs in which
# something goes wrong that the coach is to notice. replay.sh BENCH PEAKWARD
set -u
bench=$1
peakward=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
failed=0

replays_as_it_was() { # FAMILY SEED
    "$bench" --family "$1" --seed "$2" --count 1 --log "$work/$1-$2.jsonl" >/dev/null &&
        "$peakward" replay "$work/$1-$2.jsonl" --json </dev/null >"$work/out" 2>/dev/null &&
        [ "$(wc -l <"$work/out")" -gt 100 ] &&
        tail -n +2 "$work/$1-$2.jsonl" | cmp -s - "$work/out"
}

for family in easy narrow panel arc; do
    for seed in 1 2 3 4 5; do
        replays_as_it_was "$family" "$seed" || {
            failed=$((failed + 1))
            echo "FAILED: $family $seed"
        }
    done
done

# what went wrong, where, and the pointing loss in dB that is to be left at most
mended() { # WHAT FAMILY SEED LOSS
    "$bench" --family "$2" --seed "$3" --count 1 --dump - |
        awk -F '\t' -v most="$4" '$2 == '"$3"' { ok = $5 == "finished" && $8 < most } END { exit !ok }' || {
        failed=$((failed + 1))
        echo "FAILED: $1 ($2 $3)"
    }
}
mended "the wrong bolt, seen by its sensor" easy 329 0.2
mended "twice as far as told" narrow 12 0.4
mended "the wrong way, and told" narrow 121 0.4
[ "$failed" -eq 0 ]
