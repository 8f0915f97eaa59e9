#!/bin/sh
# A replay that is steered: steering.sh PEAKWARD SCENARIOS
# Wherever it is taken, what comes from there on is what the log has from there on.
set -u
peakward=$1
scenarios=$2
. "$(dirname "$0")/checks.sh"

log=$work/hut.jsonl
"$peakward" peak --job "$scenarios/hut.job" --json --speed max --log "$work/unmarked.jsonl" \
    --source "sim:$scenarios/hut.scenario?hand=careful&seed=5" </dev/null >/dev/null 2>&1
# two marks, as the operator sets them: each behind what was recorded up to then
awk 'NR > 1 { match($0, /"t":[0-9.]*/); t = substr($0, RSTART + 4, RLENGTH - 4) + 0
        if (!one && t > 40) { print "{\"t\":40.0,\"mark\":{\"text\":\"one\"}}"; one = 1 }
        if (!two && t > 90) { print "{\"t\":90.0,\"mark\":{\"text\":\"two\"}}"; two = 1 } }
    { print }' "$work/unmarked.jsonl" >"$log"

steer() { # WORDS: the JSON face, standing still at the start
    printf "$1" | "$peakward" replay "$log" --json --paused >"$work/out" 2>"$work/err"
}
after() { # T: the log's records after a time
    awk -v after="$1" 'NR > 1 { match($0, /"t":[0-9.]*/)
        if (substr($0, RSTART + 4, RLENGTH - 4) + 0 > after) print }' "$log"
}
goes_on_from() { # T WORDS
    steer "$2\nspeed max\nplay\n"
    grep -v '^{"replay"' "$work/out" >"$work/records"
    after "$1" | cmp -s - "$work/records"
}
last() { # KEY: of the line that says where it stands
    grep '^{"replay"' "$work/out" | tail -n 1 | grep -o "\"$1\":[^,}]*" | cut -d: -f2-
}
stands() { # KEY VALUE WORDS
    steer "$3\n"
    [ "$(last "$1")" = "$2" ] || { echo "$3: $1 is $(last "$1"), not $2"; false; }
}
enters() { # N: when the Nth step was entered
    grep '"event":"enter"' "$log" | sed -n "$1p" | grep -o '"t":[0-9.]*' | cut -d: -f2
}

check 'from the start' goes_on_from 0 'seek 0'
check 'forward by time' goes_on_from 60 'seek 1:00'
check 'and back' goes_on_from 60 'seek 2:00\nseek 60'
check 'back from the end' goes_on_from 30 'seek end\nseek 30'
check 'there and back many times' goes_on_from 70 \
    'seek 100\nrewind\nforward 5\nseek start\nseek 90\nrewind 20'
check 'beyond the end is the end' goes_on_from 1e9 'seek 1:00:00'

check 'the next step' stands t "$(enters 2)" 'seek next step'
check 'the step after it' stands t "$(enters 3)" 'seek next step\nseek next step'
check 'the step before' stands t "$(enters 11)" 'seek step 12\nseek previous step'
check 'a step by its name' stands step '"peak elevation"' 'seek step peak el'
check 'its number' stands number 12 'seek step peak el'
check 'the next mark' stands t 40.0 'seek next mark'
check 'the mark after it' stands t 90.0 'seek next mark\nseek next mark'
check 'the mark before' stands t 40.0 'seek 90\nseek previous mark'
check 'the next advice' stands paused true 'seek 60\nseek next advice'
says_no() { # WORDS-OF-COMPLAINT WORDS
    steer "$2\n"
    grep -q "$1" "$work/err"
}
check 'no mark is left' says_no 'no mark comes' 'seek end\nseek next mark'
check 'no step is before the first' says_no 'first step' 'seek previous step'
check 'no such step' says_no 'no step of that name' 'seek step 77'
check 'a recording stays as it is' says_no 'nothing can be added' 'note hello'
check 'a live session is not steered' sh -c "
    printf 'seek 5\nquit\n' | '$peakward' peak --job '$scenarios/hut.job' --source keys --json \
        --log '$work/live.jsonl' 2>&1 >/dev/null | grep -q 'only be steered in a replay'"

check 'as fast as it was before the pause' stands speed 4.0 'speed 4\nplay\npause\nplay\npause'
check 'a pause does not go on by a change of pace' stands paused true 'speed 0.25'
check 'as fast as it goes' stands speed null 'speed max'

# one reading at a time: the records of each moment, once
singly() {
    steer 'seek 60\nnext\nnext\nnext\nprevious\n'
    grep -v '^{"replay"' "$work/out" | grep -o '^{"t":[0-9.]*' | uniq >"$work/times"
    after 60 | grep -o '^{"t":[0-9.]*' | uniq | head -n 3 | cmp -s - "$work/times" &&
        [ "$(last t)" = "$(sed -n 's/.*://;2p' "$work/times")" ]
}
check 'one reading at a time' singly

plain() { # WORDS
    printf "$1" | "$peakward" replay "$log" --plain --paused >"$work/plain" 2>&1
}
says() { grep -q "$1" "$work/plain"; }
# the log's end as minutes and seconds
end=$(tail -n 1 "$log" | grep -o '"t":[0-9.]*' | head -n 1 | cut -d: -f2 |
    awk '{ printf "%d:%02d", $1 / 60, $1 % 60 }')
plain 'seek 2:05\nspeed 4\nseek end\n'
check 'plain says where it stands' says "^Paused at 2:05 of $end"
check 'and in which step' says '^Step 12 of 17: peak elevation\.'
check 'and how fast' says "^Paused at 2:05 of $end, 4 times as fast"
check 'and the end' says "^The end, $end"
check 'and not what lies between' sh -c "! grep -q 'Position found' '$work/plain'"

# a trainer's notes: in a copy, which replays as the original does
annotate() { # WORDS
    rm -f "$work/copy.jsonl"
    printf "$1" | "$peakward" replay "$log" --json --paused --notes "$work/copy.jsonl" \
        >"$work/out" 2>"$work/err"
}
sum=$(cksum <"$log")
annotate 'seek 1:00\nnote look at the needle\nseek 100\nmark\nseek 0:30\nnote before the others\nseek end\nnote done\n'
check 'four notes are in the copy' [ "$(grep -c '"mark":{"text":"trainer' "$work/copy.jsonl")" = 4 ]
check 'with their words' grep -q '"t":60.*"mark":{"text":"trainer: look at the needle"}' "$work/copy.jsonl"
check 'nothing else is' sh -c "grep -v trainer '$work/copy.jsonl' | cmp -s - '$log'"
check 'the original is untouched' [ "$(cksum <"$log")" = "$sum" ]
replays_as() { # LOG RECORDS
    "$peakward" replay "$1" --json </dev/null 2>/dev/null | cmp -s - "$2"
}
tail -n +2 "$work/copy.jsonl" >"$work/with"
check 'the copy replays as it is' replays_as "$work/copy.jsonl" "$work/with"
annotate 'seek 1:00\nnote one\nseek 0\nseek next mark\nseek next mark\nquit\n'
check 'a note can be gone to at once' [ "$(last t)" = 60.0 ]
annotate 'seek 1:00\nnote one\nspeed max\nplay\n'
grep -v '^{"replay"\|trainer' "$work/out" >"$work/records"
after 60 >"$work/wanted"
check 'it goes on behind a note as if there were none' cmp -s "$work/wanted" "$work/records"
keeps_what_is_there() {
    echo precious >"$work/there.jsonl"
    ! "$peakward" replay "$log" --json --notes "$work/there.jsonl" </dev/null >/dev/null 2>"$work/err" &&
        grep -q 'a log already' "$work/err" && grep -q precious "$work/there.jsonl"
}
check 'nothing is overwritten' keeps_what_is_there
check 'the original least of all' sh -c "
    ! '$peakward' replay '$log' --json --notes '$log' </dev/null >/dev/null 2>&1"

wrong() { # WORDS-OF-COMPLAINT ARGS...
    wanted=$1
    shift
    "$peakward" replay "$log" "$@" </dev/null >/dev/null 2>"$work/err"
    [ $? -eq 2 ] && grep -q "$wanted" "$work/err"
}
check 'ahead is dimmed or hidden' wrong 'dimmed or hidden' --ahead loud
check 'a slip of the keys is guessed' wrong 'perhaps --paused' --pasued
check 'a pace is a number' wrong 'give a number' --speed soon

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
