#!/bin/sh
# Whole sessions by the program itself: sessions.sh PEAKWARD SCENARIOS
# The simulated technician goes through the procedure with each kit; the log replayed gives the very
# records again; wrong files and flags are told from each other.
set -u
export LANGUAGE=en
peakward=$1
scenarios=$2
. "$(dirname "$0")/checks.sh"

peak() { # KIT SEED
    "$peakward" peak --job "$scenarios/$1.job" --source "sim:$scenarios/$1.scenario?hand=careful&seed=$2" \
        --json --speed max --log "$work/$1-$2.jsonl" </dev/null >"$work/$1-$2.out" 2>/dev/null
}

log_is_what_was_shown() {
    tail -n +2 "$work/$1.jsonl" | cmp -s - "$work/$1.out"
}

replay_is_live() {
    "$peakward" replay "$work/$1.jsonl" --json </dev/null 2>/dev/null | cmp -s - "$work/$1.out"
}

loss_is_small() { # the true loss that the simulator notes: at most 0.5 dB, common practice
    grep -o 'true pointing loss [-0-9.]*' "$work/$1.out" | awk '{ good = $4 <= 0.5 } END { exit !good }'
}

for kit in hut hut-scale hut-nudges panel crowded narrow nameless; do
    check "$kit ends" peak "$kit" 5
    check "$kit logs what it shows" log_is_what_was_shown "$kit-5"
    check "$kit replays as it was" replay_is_live "$kit-5"
done
for kit in hut hut-scale hut-nudges panel crowded narrow; do
    check "$kit is peaked" loss_is_small "$kit-5"
done

damaged() {
    sed '20s/.*/{"t":1,"level":{}}/' "$work/hut-5.jsonl" >"$work/damaged.jsonl"
    "$peakward" peak --resume "$work/damaged.jsonl" --plain </dev/null 2>&1 | grep -q 'line 20'
}
status() { # WANTED ARGS...
    wanted=$1
    shift
    timeout 20 "$peakward" "$@" </dev/null >/dev/null 2>"$work/err"
    [ $? -eq "$wanted" ] && { [ "$wanted" -ne 2 ] || grep -q . "$work/err"; }
}
check 'a damaged log is named with its line' damaged
check 'plan says where' status 0 plan --site=46.6,10.1,2200 --target=21.5E --pol=V
check 'plan below the horizon is not done' status 1 plan --site=46.6,10.1,2200 --target=170E --pol=V
check 'a bad longitude is wrong usage' status 2 plan --site=46.6,10.1,2200 --target=521E --pol=V
check 'a wrong flag is wrong usage' status 2 peak --no-such-flag
check 'a missing job is wrong usage' status 2 peak --job "$work/none.job"
check 'an unknown command is wrong usage' status 2 point
check 'a log is never overwritten' status 2 peak --job "$scenarios/hut.job" --log "$work/hut-5.jsonl"
check 'no log is no replay' status 2 replay "$work/none.jsonl"

capture() { # what gpspipe -w writes, as gpsd_json(5) has it
    cat >"$work/capture.json" <<'END'
{"class":"VERSION","release":"3.22","rev":"3.22","proto_major":3,"proto_minor":14}
{"class":"TPV","device":"/dev/ttyS0","mode":3,"time":"2026-11-25T20:00:00.000Z","lat":46.6,"lon":10.1,"altHAE":2200.0}
{"class":"ATT","device":"/dev/ttyS0","heading":163.20,"pitch":35.10,"roll":-11.00}
END
    "$peakward" replay "$work/capture.json" --json </dev/null >"$work/capture.out" 2>/dev/null &&
        grep -q '"lat":46.6' "$work/capture.out" && grep -q '"azimuth":163.2' "$work/capture.out"
}
check 'a captured stream of gpsd is replayed' capture

# cut anywhere, as by a flat battery: it goes on where it was, and replays as it was
resumed() {
    for bytes in 60000 60200 60400 60600 60800 61000 61200 61400; do
        head -c $bytes "$work/hut-5.jsonl" >"$work/cut.jsonl"
        before=$(wc -l <"$work/cut.jsonl")
        echo quit | timeout 20 "$peakward" peak --resume "$work/cut.jsonl" --json >/dev/null 2>&1
        "$peakward" replay "$work/cut.jsonl" --json </dev/null >"$work/cut.out" 2>/dev/null &&
            [ "$(wc -l <"$work/cut.jsonl")" -ge "$before" ] &&
            tail -n +2 "$work/cut.jsonl" | cmp -s - "$work/cut.out" || return 1
    done
}
check 'a session that was cut off goes on' resumed

plan_names() {
    "$peakward" plan --site=46.6,10.1,2200 --target=21.5E --pol=V --json >"$work/plan.json" || return 1
    for key in azimuth_deg azimuth_magnetic_deg declination_deg elevation_deg elevation_apparent_deg \
        skew_deg range_km visible; do
        grep -q "\"$key\"" "$work/plan.json" || return 1
    done
}
check 'plan --json has every name' plan_names

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
