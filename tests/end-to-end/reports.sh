#!/bin/sh
# Records of whole sessions: reports.sh PEAKWARD SOURCES
# Every figure is recomputed from the log by another hand (recompute.py), every record is held against
# its schema; logs that are cut off, resumed, full of skipped steps, of a drill or a quiz are reported,
# too; what can't be reported is refused in words, and no half file is left.
set -u
peakward=$1
sources=$2
scenarios=$sources/sim/scenarios
here=$sources/tests/end-to-end
. "$(dirname "$0")/checks.sh"
unset LANGUAGE LC_ALL LC_MESSAGES
export LANG=C.UTF-8 PYTHONDONTWRITEBYTECODE=1
: >"$work/all.json"

peak() { # KIT SEED [OPTION...]: a session of the simulated technician's
    kit=$1 seed=$2
    shift 2
    timeout 100 "$peakward" peak --job "$scenarios/$kit.job" \
        --source "sim:$scenarios/$kit.scenario?hand=careful&seed=$seed" \
        --json --speed max --log "$work/$kit-$seed.jsonl" "$@" </dev/null >/dev/null 2>&1
}

# the record as JSON, kept for the schema, and its figures against the log
is_recomputed() { # NAME of a log
    "$peakward" report "$work/$1.jsonl" --json >"$work/$1.json" 2>"$work/err" || return 1
    cat "$work/$1.json" >>"$work/all.json"
    python3 "$here/recompute.py" "$work/$1.jsonl" "$work/$1.json" \
        "$sources/tests/reference/dvbs2-modcods.csv"
}

says() { # FILE TEXT...: each of them is in it
    file=$1
    shift
    for text; do
        grep -qF -e "$text" "$file" || {
            echo "'$text' is not in $file"
            return 1
        }
    done
}

# --- every kit -------------------------------------------------------------------------------------

for kit in hut hut-scale hut-nudges panel crowded narrow nameless; do
    for seed in 5 11; do
        peak "$kit" "$seed"
        check "$kit $seed is recomputed" is_recomputed "$kit-$seed"
    done
done

peak drifted 5 --procedure repeak
check 're-peaking is recomputed' is_recomputed drifted-5
peak calm 5 --procedure "$here/own.procedure"
check 'a procedure of one'"'"'s own is recomputed' is_recomputed calm-5

# --- a figure that is wrong is found: the other hand is no rubber stamp ---------------------------

is_found() { # WHAT SED-EXPRESSION
    sed -e "$2" "$work/hut-5.json" >"$work/wrong.json"
    ! cmp -s "$work/hut-5.json" "$work/wrong.json" &&
        ! python3 "$here/recompute.py" "$work/hut-5.jsonl" "$work/wrong.json" >"$work/found" &&
        grep -q "$1" "$work/found"
}
check 'a wrong final level is found' is_found final 's/"final":1/"final":2/'
check 'a wrong best is found' is_found best 's/"best":1/"best":2/'
check 'a wrong count is found' is_found records 's/"records":1/"records":2/'
check 'a wrong time is found' is_found 'ends at' 's/"ended_t":1/"ended_t":2/'
check 'a wrong verdict is found' is_found judged 's/"unit":"dB","verdict":"met"/"unit":"dB","verdict":"not met"/g'

# --- cut off anywhere ------------------------------------------------------------------------------

cuts_are_recomputed() {
    size=$(wc -c <"$work/hut-5.jsonl")
    head=$(head -n 1 "$work/hut-5.jsonl" | wc -c)
    for i in $(seq 0 24); do
        bytes=$((head + (size - head) * i / 24))
        head -c "$bytes" "$work/hut-5.jsonl" >"$work/cut.jsonl"
        is_recomputed cut || {
            echo "cut at $bytes"
            return 1
        }
    done
}
only_a_head() {
    head -n 1 "$work/hut-5.jsonl" >"$work/head.jsonl"
    "$peakward" report "$work/head.jsonl" >"$work/head.txt" &&
        says "$work/head.txt" 'NOT FINISHED' '0 met' 'not measured: no receiver gave one' \
            'not measured: no meter told a level'
}
cut_by_killing() { # gone on with after a cut: the record is of the whole
    head -c 60000 "$work/hut-5.jsonl" >"$work/resumed.jsonl"
    echo quit | timeout 20 "$peakward" peak --resume "$work/resumed.jsonl" --json >/dev/null 2>&1
    is_recomputed resumed
}
check 'a log that is cut anywhere is recomputed' cuts_are_recomputed
check 'a log of nothing but its first line measured nothing' only_a_head
check 'a session that was gone on with is recomputed' cut_by_killing

# --- what the operator says ------------------------------------------------------------------------

typed() { # NAME, words on standard input: no meter, no hand but these
    "$peakward" peak --job "$scenarios/hut-nudges.job" --source keys --site 46.6,10.1,2200 \
        --plain --log "$work/$1.jsonl" >/dev/null 2>&1
}
skipped() {
    rm -f "$work/skipped.jsonl"
    printf 'done\nskip\ndone\ndone\nskip\nskip\nskip\nskip\nnote loose nut\nskip\nskip\nskip\nskip\nskip\nskip\nskip\nskip\n' |
        typed skipped
    is_recomputed skipped && "$peakward" report "$work/skipped.jsonl" >"$work/skipped.txt" &&
        says "$work/skipped.txt" 'skipped           heights, ' 'NOT MET' 'NOT confirmed: skipped' 'loose nut' 'fixed by          the job file' \
            'found: not measured, nothing on the mount'
}
told() {
    printf 'done\ndownload 42.5\nupload 8.1 Mbit/s\nisolation 31\nquit\n' | typed told
    is_recomputed told && "$peakward" report "$work/told.jsonl" >"$work/told.txt" &&
        says "$work/told.txt" '42.5 Mbit/s down, a speed test, typed in by the operator' \
            '8.1 Mbit/s up' "read and typed in: 31.0 dB, as the network's operator"
}
check 'what was skipped is said' skipped
check 'what the operator tells is kept apart from what was measured' told

# --- a link that is known, a meter that sees both polarisations -------------------------------------

linked() {
    sed -e '/^\[coach\]/i [link]\nsymbol_rate = 30\nmargin = 1\nisolation = 25\n' "$scenarios/hut.job" \
        >"$work/linked.job"
    sed -e 's/^\[meter\]/[meter]\ncross_port = yes/' "$scenarios/hut.scenario" >"$work/linked.scenario"
    "$peakward" peak --job "$work/linked.job" --source "sim:$work/linked.scenario?hand=careful&seed=5" \
        --json --speed max --log "$work/linked.jsonl" </dev/null >/dev/null 2>&1
    is_recomputed linked && grep -q '"isolation":{"origin":"measured"' "$work/linked.json" &&
        grep -q '"what":"isolation","step":null' "$work/linked.json" &&
        grep -q '"expected_mbps":[1-9]' "$work/linked.json"
}
check 'a link that is known has its modulation and throughput' linked

# --- speed tests ------------------------------------------------------------------------------------

speed() { # FILE WAY MBPS: against the standard library's reading of the same file
    "$peakward" report "$work/hut-5.jsonl" --json --iperf3 "$here/speed/$1" >"$work/speed.json" &&
        cat "$work/speed.json" >>"$work/all.json" &&
        python3 - "$here/speed/$1" "$work/speed.json" <<'END'
import json
import sys

test, record = (json.load(open(path)) for path in sys.argv[1:])
end, reverse = test["end"], test["start"]["test_start"]["reverse"]
forward = end["sum_received"]["bits_per_second"] / 1e6
back = end.get("sum_received_bidir_reverse", {}).get("bits_per_second")
down = forward if reverse else back / 1e6 if back else None
said = record["speed_test"]
good = said["origin"] == "measured" and all(
    a is b is None or abs(a - b) < 1e-3
    for a, b in ((said["down_mbps"], down), (said["up_mbps"], None if reverse else forward)))
sys.exit(not good)
END
}
for file in down.json up.json both.json udp.json; do
    check "iperf3 $file" speed $file
done
both_ways() {
    "$peakward" report "$work/hut-5.jsonl" --json --iperf3 "$here/speed/down.json" \
        --iperf3 "$here/speed/up.json" | grep -q '"down_mbps":[0-9.]*,"up_mbps":[0-9.]*,'
}
check 'two tests make both ways' both_ways
status() { # WANTED PART-OF-THE-WORDS ARGS...
    wanted=$1 words=$2
    shift 2
    timeout 20 "$peakward" "$@" </dev/null >"$work/out" 2>"$work/err"
    [ $? -eq "$wanted" ] && [ "$(wc -l <"$work/err")" -le 1 ] && says "$work/err" "$words"
}
log=$work/hut-5.jsonl
check 'a test that failed' status 2 'the test failed: unable to connect' \
    report "$log" --iperf3 "$here/speed/failed.json"
check 'a file that is no test' status 2 'no result of iperf3' report "$log" --iperf3 "$work/hut-5.json"
echo '{"start":' >"$work/half.json"
check 'half a test' status 2 'is no JSON' report "$log" --iperf3 "$work/half.json"
check 'no such test' status 2 'No such file' report "$log" --iperf3 "$work/none.json"
check 'a speed that is none' status 2 'no number of Mbit/s' report "$log" --download fast
check 'one test for two logs' status 2 'one speed test' report "$log" "$log" --csv --upload 3

# --- practice and quiz ------------------------------------------------------------------------------

drilled() {
    "$peakward" drill calm --hand careful --seed 5 --json --log "$work/drill.jsonl" \
        </dev/null >"$work/drill.out" 2>/dev/null
    points=$(tail -n 1 "$work/drill.out" | grep -o '"points":[0-9]*' | cut -d: -f2)
    is_recomputed drill && grep -q "\"score\":{\"points\":$points.0," "$work/drill.json" &&
        "$peakward" report "$work/drill.jsonl" >"$work/drill.txt" &&
        says "$work/drill.txt" 'PRACTICE RECORD' "Score: $points of 100."
}
quizzed() {
    yes 'left 0.5 deg' | head -n 40 | "$peakward" replay "$log" --quiz --log "$work/quiz.jsonl" \
        >"$work/quiz.out" 2>&1
    "$peakward" report "$work/quiz.jsonl" >"$work/quiz.txt" &&
        "$peakward" report "$work/quiz.jsonl" --json >>"$work/all.json" &&
        says "$work/quiz.txt" 'QUIZ RECORD' "$(grep -o 'Score: [0-9]* of 100' "$work/quiz.out")" &&
        ! grep -q 'Judgement' "$work/quiz.txt" && ! grep -q 'Lobes' "$work/quiz.txt"
}
check 'a drill is reported with its score' drilled

pushed() {
    "$peakward" drill bolts --hand careful --seed 2 --json --log "$work/bolts.jsonl" \
        </dev/null >/dev/null 2>&1
    is_recomputed bolts && grep -q '"azimuth_off_deg":[-0-9]' "$work/bolts.json" &&
        "$peakward" report "$work/bolts.jsonl" >"$work/bolts.txt" &&
        says "$work/bolts.txt" 'off by pushing'
}
check 'where an antenna stood that was pushed and pulled is in the record' pushed
check 'a quiz is reported with its score, and nothing else' quizzed

# --- files ------------------------------------------------------------------------------------------

by_ending() {
    for ending in txt json csv; do
        "$peakward" report "$log" -o "$work/page.$ending" >"$work/out" && [ ! -s "$work/out" ] ||
            return 1
    done
    "$peakward" report "$log" | cmp -s - "$work/page.txt" &&
        "$peakward" report "$log" --json | cmp -s - "$work/page.json" &&
        "$peakward" report "$log" --csv | cmp -s - "$work/page.csv"
}
replaced_whole() { # the file is there as before when the new one can't be written
    mkdir -p "$work/full"
    echo before >"$work/full/page.txt"
    (ulimit -f 4 && trap '' XFSZ && "$peakward" report "$log" -o "$work/full/page.txt" 2>"$work/err")
    [ $? -eq 1 ] && [ "$(cat "$work/full/page.txt")" = before ] && [ "$(ls "$work/full")" = page.txt ] &&
        says "$work/err" 'File too large: give another place with -o'
}
table_of_many() {
    "$peakward" report "$log" "$work/panel-5.jsonl" "$work/cut.jsonl" --csv >"$work/many.csv" &&
        python3 - "$work/many.csv" "$work/hut-5.json" <<'END'
import csv
import json
import sys

rows = list(csv.DictReader(open(sys.argv[1], newline="")))
record = json.load(open(sys.argv[2]))
row, level = rows[0], record["level"]
numbers = [(row[k], level[k]) for k in ("final", "best", "below_best", "expected", "below_expected")]
numbers += [(row[a + "_found_deg"], record["axes"][a]["found_deg"]) for a in record["axes"]]
numbers += [(row["isolation_db"], record["isolation"]["db"]), (row["esn0_db"], record["link"]["esn0_db"])]
good = len(rows) == 3 and all(abs(float(a) - b) < 0.06 for a, b in numbers)
good &= row["sha256"] == record["log"]["sha256"] and row["target"] == record["target"]["name"]
good &= [int(row[k]) for k in ("met", "not_met", "not_measured")] == [
    record["judgement"][k] for k in ("met", "not_met", "not_measured")]
sys.exit(not good)
END
}
a_line_each() {
    "$peakward" report "$log" "$work/panel-5.jsonl" --json >"$work/two.json" &&
        [ "$(wc -l <"$work/two.json")" -eq 2 ] && head -n 1 "$work/two.json" | cmp -s - "$work/hut-5.json"
}
ascii() {
    LC_ALL=C "$peakward" report "$log" >"$work/ascii.txt" &&
        ! LC_ALL=C grep -q "$(printf '[\200-\377]')" "$work/ascii.txt" && says "$work/ascii.txt" ' deg'
}
german() {
    "$peakward" --language de peak --job "$scenarios/hut.job" \
        --source "sim:$scenarios/hut.scenario?hand=careful&seed=5" \
        --json --speed max --log "$work/german.jsonl" </dev/null >/dev/null 2>&1
    is_recomputed german
}
another_version() { # advice that this program would not have given
    sed -e 's/"say":"Right/"say":"To the right/' -e 's/"software":"[^"]*"/"software":"peakward 0.0.9"/' \
        "$log" >"$work/older.jsonl"
    "$peakward" report "$work/older.jsonl" >"$work/older.txt" &&
        says "$work/older.txt" 'CAUTION' 'recorded by peakward 0.0.9'
}
check 'the ending says what is written' by_ending
check 'a file is replaced as a whole or not at all' replaced_whole
check 'many logs are a table' table_of_many
check 'many logs are a line each' a_line_each
check 'where the locale has no more, the page is plain ASCII' ascii
check 'a German session is recomputed' german
check 'a log of another version is told' another_version
check 'no log' status 2 'no log' report
check 'no such log' status 2 'No such file' report "$work/none.jsonl"
check 'a folder is no log' status 2 'directory' report "$work"
check 'a text is no log' status 2 'not a session log' report "$sources/README.md"
sed '20s/.*/{"t":1,"level":{}}/' "$log" >"$work/damaged.jsonl"
check 'a damaged log is named with its line' status 2 'line 20' report "$work/damaged.jsonl"
check 'an ending that is none' status 2 'let the name end with .txt' report "$log" -o "$work/page.doc"
check 'an ending that is another' status 2 'another kind' report "$log" --csv -o "$work/page.json"
check 'a flag that is none' status 2 'no such flag' report "$log" --jsn
check 'two logs on one page' status 2 'more than one log' report "$log" "$log" -o "$work/page.svg"
check 'a place that is none' status 1 'give another place' report "$log" -o "$work/none/page.txt"

check 'every record keeps to the schema' \
    python3 "$here/schema.py" "$sources/docs/handover.schema.json" <"$work/all.json"

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
