#!/bin/sh
# Logs in the hands of the program: logs.sh PEAKWARD SCENARIOS
# One writer at a time; nobody listens any more; no end in sight; as a table; without names.
set -u
peakward=$(realpath "$1")
scenarios=$(realpath "$2")
. "$(dirname "$0")/checks.sh"

peak() { # KIT SEED LOG FLAG...
    kit=$1
    seed=$2
    log=$3
    shift 3
    "$peakward" peak --job "$scenarios/$kit.job" \
        --source "sim:$scenarios/$kit.scenario?hand=careful&seed=$seed" --json --speed max \
        --log "$log" "$@" </dev/null
}

wait_for_text() { # FILE TEXT
    for _ in $(seq 100); do
        grep -q "$2" "$1" 2>/dev/null && return 0
        sleep 0.1
    done
    return 1
}

# --- one writer at a time ---

refused() { # NAME OF THE LOG
    echo quit | timeout 20 "$peakward" peak --resume "$1" --plain >"$work/out" 2>"$work/err"
    [ $? -eq 2 ] && grep -q 'another peakward is writing to this log' "$work/err"
}
taken_up() {
    echo quit | timeout 20 "$peakward" peak --resume "$1" --plain >"$work/out" 2>"$work/err"
    [ $? -eq 1 ] && grep -q 'log: ' "$work/out"
}
one_writer() {
    mkfifo "$work/words"
    "$peakward" peak --site=46.6,10.1,2200 --target=22.4E --pol=V --source keys: --plain \
        --log "$work/live.jsonl" <"$work/words" >"$work/live.out" 2>&1 &
    first=$!
    exec 3>"$work/words"
    echo 'note here' >&3
    ln -s live.jsonl "$work/other.jsonl"
    ln "$work/live.jsonl" "$work/third.jsonl" 2>/dev/null
    wait_for_text "$work/live.jsonl" '"note"' || return 1
    [ -e "$work/third.jsonl" ] || ln "$work/live.jsonl" "$work/third.jsonl"
    refused "$work/live.jsonl" && refused "$work/other.jsonl" && refused "$work/third.jsonl" &&
        (cd "$work" && refused ./live.jsonl) || return 1
    # looking on is allowed
    "$peakward" replay "$work/live.jsonl" --json </dev/null >/dev/null 2>&1 || return 1
    before=$(wc -c <"$work/live.jsonl")
    kill -KILL "$first"
    wait "$first" 2>/dev/null
    exec 3>&-
    [ "$(wc -c <"$work/live.jsonl")" -ge "$before" ] && taken_up "$work/other.jsonl" &&
        grep -q 'cut off here' "$work/live.jsonl"
}
check 'a log has one writer, and a crashed one leaves no lock' one_writer

resume_has_its_job() {
    echo quit | "$peakward" peak --resume "$work/live.jsonl" --job "$scenarios/hut.job" --plain \
        >/dev/null 2>"$work/err"
    [ $? -eq 2 ] && grep -q -e '--job: the log' "$work/err" || return 1
    echo 'quit' | "$peakward" peak --resume "$work/live.jsonl" --source "sim:$scenarios/hut.scenario" \
        --speed max --plain >/dev/null 2>&1
    tail -n 3 "$work/live.jsonl" | grep -q '"name":"sim"'
}
check 'a log that is gone on with has its job, and may get other sources' resume_has_its_job

not_a_log() {
    printf 'no log' >"$work/letter"
    "$peakward" peak --resume "$work/letter" --plain </dev/null >/dev/null 2>&1
    [ $? -eq 2 ] && [ "$(cat "$work/letter")" = 'no log' ]
}
check 'what is no log is left as it is' not_a_log

# --- an end ---

nobody_listens() {
    { peak hut 3 "$work/unheard.jsonl" 2>"$work/err"; echo $? >"$work/status"; } | head -n 40 >/dev/null
    [ "$(cat "$work/status")" -eq 1 ] && grep -q 'standard output: ' "$work/err" &&
        grep -q "log: $work/unheard.jsonl" "$work/err" || return 1
    lines=$(wc -l <"$work/unheard.jsonl")
    [ "$lines" -gt 40 ] && [ "$lines" -lt 1500 ] || return 1
    "$peakward" peak --resume "$work/unheard.jsonl" --json --speed max </dev/null >/dev/null 2>&1 &&
        tail -n 3 "$work/unheard.jsonl" | grep -q '"move":"done"\|true pointing loss'
}
check 'a session ends when nobody listens any more, and keeps its log' nobody_listens

full() {
    [ -w /dev/full ] || return 0
    peak hut 3 "$work/full.jsonl" >/dev/full 2>"$work/err"
    [ $? -eq 1 ] && grep -q 'standard output: ' "$work/err"
}
check 'a full disk behind standard output ends it, too' full

looked_through() {
    { "$peakward" replay "$work/unheard.jsonl" --json 2>"$work/err"; echo $? >"$work/status"; } </dev/null |
        head -n 1 >"$work/first"
    [ "$(cat "$work/status")" -eq 0 ] && [ -s "$work/first" ] && [ ! -s "$work/err" ]
}
check 'a replay whose reader has seen enough ends quietly' looked_through

replayed_to_full() {
    [ -w /dev/full ] || return 0
    "$peakward" replay "$work/unheard.jsonl" --json </dev/null >/dev/full 2>"$work/err"
    [ $? -eq 1 ] && grep -q 'standard output: .*disk' "$work/err" && ! grep -q session "$work/err"
}
check 'a replay to a full disk says so, and of no session' replayed_to_full

deaf() { # FLAG...
    "$peakward" peak --job "$scenarios/narrow.job" --plain \
        --source "sim:$scenarios/narrow.scenario?hand=deaf&seed=2" --speed max --log "$work/deaf.jsonl" "$@" </dev/null >"$work/out" 2>&1
    status=$?
    t=$(tail -n 1 "$work/deaf.jsonl" | sed 's/{"t":\([0-9]*\).*/\1/')
    rm "$work/deaf.jsonl"
}
limited() {
    deaf --time-limit 10
    [ $status -eq 1 ] && grep -q 'stopped after 10 min' "$work/out" && [ "$t" -ge 590 ] &&
        [ "$t" -le 600 ] || return 1
    deaf
    [ $status -eq 1 ] && grep -q 'stopped after 240 min' "$work/out" && [ "$t" -le 14400 ]
}
check 'a simulated session that nobody watches has a limit' limited

# --- a full disk behind the log ---

no_room() {
    (ulimit -f 32 && trap '' XFSZ && peak hut 3 "$work/cut.jsonl") >/dev/null 2>"$work/err"
    [ $? -eq 1 ] && grep -q 'cut.jsonl: .*lacks a part of the session' "$work/err" &&
        grep -q "the log can't be written: " "$work/err" &&
        "$peakward" peak --resume "$work/cut.jsonl" --json --speed max </dev/null >/dev/null 2>&1
}
check 'a log that could not be written whole is told of, and gone on with' no_room

no_folder() { # where nobody can make one, root neither: not merely that it is not there
    [ -d /sys ] || return 0
    echo quit | XDG_STATE_HOME=/sys/no-such-folder "$peakward" peak --site=46.6,10.1 --target=22.4E \
        --pol=V --source keys: --plain >/dev/null 2>"$work/err"
    [ $? -eq 2 ] && grep -q '/sys/no-such-folder/.*: give another place with --log' "$work/err" &&
        ! grep -q 'No such file' "$work/err"
}
check 'why the folder of logs can not be made is told' no_folder

# --- as a table ---

peak hut 5 "$work/hut.jsonl" >/dev/null 2>&1
table() {
    "$peakward" readings "$work/hut.jsonl" >"$work/hut.csv" || return 1
    # every line of the table has the fields of its head; numbers are those of the log
    [ "$(grep -c '^' "$work/hut.csv")" -eq $((1 + $(grep -c \
        '^{"t":[0-9.]*,"\(angles\|level\|lock\|aux\|move\|note\|mark\)"' "$work/hut.jsonl"))) ] || return 1
    jq -r 'select(.level) | .level.value' "$work/hut.jsonl" | sort -g | tail -n 1 >"$work/most"
    awk -F, '$4 == "level" && (most == "" || $6 + 0 > most) { most = $6 + 0 } END { print most }' \
        "$work/hut.csv" | diff - "$work/most" >/dev/null
}
check 'the readings of a log as a table' table
awkward() {
    head -n 1 "$work/hut.jsonl" >"$work/awkward.jsonl"
    printf '%s\n' '{"t":1.0,"note":{"text":"wind, \"strong\""}}' >>"$work/awkward.jsonl"
    "$peakward" readings "$work/awkward.jsonl" "$work/awkward.jsonl" | tr -d '\r' | tail -n 1 |
        grep -q '^[^,]*,1.000,,note,,,,,,,,,,,"wind, ""strong"""$'
}
check 'commas and quotes in a note' awkward
in_sqlite() {
    command -v sqlite3 >/dev/null || return 0
    most=$(sqlite3 :memory: ".import --csv $work/hut.csv readings" \
        "select max(cast(level as real)) from readings where kind = 'level'")
    [ "$most" = "$(cat "$work/most")" ]
}
check 'sqlite3 reads the table' in_sqlite

# --- without names ---

for kit in hut hut-nudges crowded; do
    peak "$kit" 5 "$work/$kit-5.jsonl" >/dev/null 2>&1
    "$peakward" anonymise "$work/$kit-5.jsonl" "$work/$kit-copy.jsonl" --east=-77.5 --later 1000
done

nameless() { # KIT: no name of the job is in the copy, nor the longitude, nor the day
    sed 's/"sim:[^"]*"//' "$work/$1-copy.jsonl" >"$work/out"
    grep -i -q -e 'hut\b' -e 'ptarmigan' -e 'ibex' -e 'marmot' -e 'chamois' -e 'swift' -e invented \
        -e finder -e '"lon":10\.' -e '"22\.4' -e '"unix_s":1778' "$work/out" && return 1
    grep -q '"lon":-67\.[34]' "$work/$1-copy.jsonl"
}
check 'no name is left' nameless hut
check 'no name is left where turns are counted' nameless hut-nudges

replays() { # KIT
    "$peakward" replay "$work/$1-copy.jsonl" --json </dev/null 2>/dev/null >"$work/out" &&
        tail -n +2 "$work/$1-copy.jsonl" | cmp -s - "$work/out"
}
same_way() { # KIT: the same steps at the same times, the same turns to a hundredth of a degree
    for log in "$1-5" "$1-copy"; do
        jq -r 'select(.step) | [.t, .step.event, .step.name] | @tsv' "$work/$log.jsonl" >"$work/$log.steps"
        jq -r 'select(.advice) | [.t, .advice.move, (.advice.deg // 0)] | @tsv' "$work/$log.jsonl" \
            >"$work/$log.turns"
    done
    cmp -s "$work/$1-5.steps" "$work/$1-copy.steps" &&
        paste "$work/$1-5.turns" "$work/$1-copy.turns" | awk '{ off = $3 - $6; if ($1 != $4 ||
            $2 != $5 || off > 0.01 || off < -0.01) bad++ } END { exit bad > 0 || NR < 20 }'
}
for kit in hut hut-nudges crowded; do
    check "the copy of $kit replays as it is" replays "$kit"
    check "the copy of $kit is coached the same way" same_way "$kit"
done
kept() {
    "$peakward" anonymise "$work/hut-5.jsonl" "$work/hut-copy.jsonl" --east 10 2>"$work/err"
    [ $? -eq 2 ] && grep -q 'there is a file already' "$work/err" || return 1
    "$peakward" anonymise "$work/hut-5.jsonl" "$work/new.jsonl" 2>"$work/err"
    [ $? -eq 2 ] && grep -q -e '--east' "$work/err" && [ ! -e "$work/new.jsonl" ]
}
check 'nothing is overwritten, and the offset has to be said' kept

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
