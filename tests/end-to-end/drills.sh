#!/bin/sh
# Practice, unattended: drills.sh PEAKWARD
# A careful hand goes through every scenario to a score; the faces, the coach's silence and wrong
# words are tried on the easy one.
set -u
export LANGUAGE=en
peakward=$1
. "$(dirname "$0")/checks.sh"

field() { # FILE KEY: of the score's object
    tail -n 1 "$1" | grep -o "\"$2\":[^,}]*" | cut -d: -f2-
}

drill() { # NAME
    "$peakward" drill "$1" --hand careful --seed 5 --json --log "$work/$1.jsonl" \
        </dev/null >"$work/$1.out" 2>/dev/null
}

# on the target, within the half decibel that common practice accepts, and nobody was hurt
is_good() {
    [ "$(field "$work/$1.out" finished)" = true ] && [ "$(field "$work/$1.out" on_target)" = true ] &&
        [ "$(field "$work/$1.out" cautions_skipped)" = "[]" ] &&
        field "$work/$1.out" loss_db | awk '{ good = $1 <= 0.5 } END { exit !good }'
}

score_is_logged() {
    grep -q "\"score: Score: $(field "$work/$1.out" points) of 100" "$work/$1.jsonl"
}

"$peakward" drill --json >"$work/list"
check 'ten scenarios or more' [ "$(wc -l <"$work/list")" -ge 10 ]
for lesson in $(grep -o '"drill":"[^"]*"' "$work/list" | cut -d'"' -f4); do
    check "$lesson ends" drill "$lesson"
    check "$lesson is done well by a careful hand" is_good "$lesson"
    check "$lesson has its score in the log" score_is_logged "$lesson"
    echo "$lesson: $(field "$work/$lesson.out" points) points"
done

status_2() {
    "$peakward" "$@" </dev/null >/dev/null 2>&1
    [ $? -eq 2 ]
}
plain() { # COACH WORDS
    rm -f "$work/plain.jsonl"
    printf "$2" | "$peakward" drill calm --plain --coach "$1" --log "$work/plain.jsonl" \
        >"$work/plain.out" 2>"$work/plain.err"
}
says() { grep -q "$1" "$work/plain.out"; }
does_not_say() { ! says "$1"; }

limited() {
    "$peakward" drill calm --hand deaf --json --time-limit 2 --log "$work/limited.jsonl" </dev/null \
        >"$work/limited.out" 2>"$work/limited.err"
    [ $? -eq 1 ] && grep -q 'stopped after 2 min' "$work/limited.err" &&
        [ "$(field "$work/limited.out" finished)" = false ] &&
        field "$work/limited.out" time_s | awk '{ good = $1 >= 119 && $1 <= 121 } END { exit !good }'
}
check 'a drill has the length that is asked for' limited

cautions='done\ndone\ndone\ndone\n'
plain ask "done\nskip\nquit\n"
check 'leaving early is not done' [ $? -eq 1 ]
check 'cautions that were skipped are named' says 'Not answered with done: heights, '
check 'and cost the session' says '^Score: 0 of 100'

# the words wait for the position, two seconds into the session
ask() { (printf "$cautions"; sleep 3; printf "$1"; sleep 0.3; printf 'quit\n') |
    "$peakward" drill calm --plain --coach "$2" --log "$work/$2-$3.jsonl" >"$work/plain.out"; }
ask '' ask 1
check 'silent until it is asked' does_not_say 'elevation to\|Up \|Down '
check 'but in the log' grep -q '"move":"up"' "$work/ask-1.jsonl"
ask 'ask\n' ask 2
check 'asked, it speaks' says 'elevation to\|Up \|Down '
check 'and that is counted' says 'Times that the coach was asked: 1'
ask '' off 1
check 'off, the pointing is one step' says 'Find Ptarmigan 1'
check 'and the log has no advice on it' [ "$(grep -c '"move":"up"' "$work/off-1.jsonl")" = 0 ]

wrong() { # WORDS-OF-COMPLAINT ARGS...
    wanted=$1
    shift
    "$peakward" drill "$@" --log "$work/wrong.jsonl" </dev/null >/dev/null 2>"$work/err"
    [ $? -eq 2 ] && grep -q "$wanted" "$work/err" && [ ! -e "$work/wrong.jsonl" ]
}
check 'a slip of the keys is guessed' wrong 'perhaps backlash was meant' baklash
check 'two names are too many' wrong 'name one' calm lag
check 'a limit is a number' wrong 'such as 30' calm --time-limit soon
check 'an unknown hand is refused' wrong 'careful, hasty' calm --hand gentle
check 'a hand needs the coach' wrong 'follows the coach' calm --hand careful --coach off
check 'an unknown way of coaching is refused' wrong 'on, ask or off' calm --coach loud
check 'a seed is a number' wrong 'seed' calm --seed many --plain
check 'a pace is a number' wrong 'give a number' calm --speed soon --plain

quiz() { # WORDS
    rm -f "$work/quiz.jsonl"
    printf "$1" | "$peakward" replay --quiz "$work/calm.jsonl" --log "$work/quiz.jsonl" \
        >"$work/plain.out" 2>"$work/plain.err"
}
asked() { grep -c '^Question' "$work/plain.out"; }
quiz 'up 5 deg\nup\nsideways\n\nquit\n'
check 'leaving a quiz early is not done' [ $? -eq 1 ]
check 'a quiz asks at each new turn' [ "$(asked)" = 4 ]
check 'and tells what the coach said' says '  The coach said: Up 5'
check 'and what the technician did' says '  The technician turned it up'
check 'a right answer is right' says '^Which way, and how far? Right\.'
check 'another axis is missed' says 'Missed: no answer (1), the wrong axis (1)'
check 'the score is kept' grep -q '"quiz: Score: 33 of 100: 1 of 3' "$work/quiz.jsonl"
check 'the log of a quiz can be replayed' "$peakward" replay "$work/quiz.jsonl" --plain </dev/null >/dev/null
awk -F'"' '/"move":"(right|left|up|down|clockwise|anticlockwise)"/ {
    key = $8 $12 $16
    if (key != last) { match($0, /"deg":[0-9.]*/)
        print $16, substr($0, RSTART + 6, RLENGTH - 6), "deg" }
    last = key }
    /"move":"(hold|wait|tighten|confirm|done)"/ { last = "" }' "$work/calm.jsonl" >"$work/answers"
"$peakward" replay --quiz "$work/calm.jsonl" --log "$work/all.jsonl" <"$work/answers" >"$work/plain.out"
check 'who answers as the coach does gets all points' says '^Score: 100 of 100'
check 'a quiz does not stand still by itself' status_2 replay --quiz "$work/calm.jsonl" --paused
json_quiz() { # ANSWERS
    rm -f "$work/quiz.jsonl"
    "$peakward" replay --quiz "$work/calm.jsonl" --json --log "$work/quiz.jsonl" <"$1" >"$work/json" 2>/dev/null
}
count() { grep -c "^{\"$1\":" "$work/json"; }
json_quiz "$work/answers"
check 'as objects, too: a question' [ "$(count question)" = "$(wc -l <"$work/answers")" ]
check 'each is answered' [ "$(count answer)" = "$(count question)" ]
check 'what came of each is told' [ "$(count outcome)" = "$(count question)" ]
check 'and the score' grep -q '^{"score":{"points":100.0,.*"finished":true' "$work/json"
check 'between them stand the records as they were logged' sh -c "
    grep '^{\"t\"' '$work/json' >'$work/records'; tail -n +2 '$work/calm.jsonl' |
        cmp -s - '$work/records'"
held_back() { # no advice before its question is answered
    awk '/^{"question"/ { asking = 1 } /^{"answer"/ { asking = 0 }
        asking && /"advice":/ { bad = 1 } END { exit bad }' "$work/json"
}
check 'advice is held back until there is an answer' held_back
check 'the log of the quiz is reported' sh -c "
    '$peakward' report '$work/quiz.jsonl' | grep -q 'Score: 100 of 100'"
check 'a replay keeps no log' status_2 replay "$work/calm.jsonl" --log "$work/none.jsonl"

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
