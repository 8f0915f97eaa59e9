#!/bin/sh
# Many logs at once: fleet.sh PEAKWARD SOURCES
# A summary, a table and a line each; one that can't be read spoils none of the others; the questions of
# docs/fleet.md, asked of SQLite as they are written there, have the answers that the records have.
set -u
peakward=$(realpath "$1")
sources=$2
scenarios=$sources/sim/scenarios
. "$(dirname "$0")/checks.sh"
unset LANGUAGE LC_ALL LC_MESSAGES
export LANG=C.UTF-8
cd "$work" || exit 1

for kit in hut hut-scale hut-nudges panel narrow crowded; do
    "$peakward" peak --job "$scenarios/$kit.job" \
        --source "sim:$scenarios/$kit.scenario?hand=careful&seed=7" \
        --json --speed max --log "$kit.jsonl" </dev/null >/dev/null 2>&1
done
head -c 40000 hut.jsonl >cut.jsonl # not finished

"$peakward" report *.jsonl --csv >fleet.csv
"$peakward" report *.jsonl --json >fleet.json
"$peakward" report *.jsonl >fleet.txt

summary_is_of_the_records() {
    python3 - <<'END'
import json
import re
import statistics
import sys

records = [json.loads(line) for line in open("fleet.json")]
page = open("fleet.txt").read()
losses = [r["level"]["below_best"] for r in records
          if r["level"]["below_best"] is not None and r["level"]["unit"].startswith("dB")]
counts = [sum(r["judgement"][k] for r in records) for k in ("met", "not_met", "not_measured")]
good = len(records) == 7 and len(losses) >= 4
good &= f"logs              {len(records)}; 0 could not be read" in page
good &= "judgement         {} met, {} not met, {} not measured".format(*counts) in page
good &= f"not measured      {len(records) - len(losses)} of {len(records)}" in page
half = float(re.search(r"half of them +([\d.]+)", page).group(1))
good &= abs(half - max(statistics.median_low(losses), 0)) < 0.0051
bars = re.findall(r"^  [\d.]+ (?:to [\d.]+|and more) +(\d+)", page, re.M)
good &= sum(map(int, bars)) == len(losses)
for record in records:
    row = next(line for line in page.split("\n") if line.startswith(record["log"]["path"] + " "))
    final = record["level"]["final"]
    good &= ("{:.2f} ".format(final) if final is not None else " - ") in row
sys.exit(not good)
END
}

# the questions: the indented SQL of the section, from its comment to its semicolon
ask() { # NUMBER of the question
    awk -v wanted="$1" '/^SQLite/ { section = 1 } /^PostgreSQL/ { section = 0 }
        section && /^    -- / { number++; next }
        section && number == wanted && /^    / { print substr($0, 5); if (/;$/) exit }' \
        "$sources/docs/fleet.md" >question.sql
    grep -q 'SELECT' question.sql &&
        sqlite3 -csv -header :memory: '.import --csv fleet.csv jobs' ".read question.sql" >answer.csv
}
answers_are_the_records() {
    ask 1 && mv answer.csv again.csv && ask 2 && python3 - <<'END'
import csv
import json
import statistics
import sys

records = [json.loads(line) for line in open("fleet.json")]
again = [row["log"] for row in csv.DictReader(open("again.csv", newline=""))]
want = {r["log"]["path"] for r in records
        if (r["level"]["below_best"] or 0) > 0.1 or r["judgement"]["not_met"] > 0}
good = set(again) == want and "cut.jsonl" in want
for row in csv.DictReader(open("answer.csv", newline="")):
    of = [r for r in records if r["target"]["name"] == row["target"]]
    losses = [r["level"]["below_best"] for r in of if r["level"]["below_best"] is not None]
    good &= int(row["jobs"]) == len(of)
    good &= not losses or abs(float(row["mean_loss"]) - statistics.fmean(losses)) < 0.0061
    minutes = statistics.fmean(r["duration_s"] for r in of) / 60
    good &= abs(float(row["minutes"]) - minutes) < 0.051
sys.exit(not good)
END
}

one_bad_spoils_none() { # FLAG
    printf 'no log\n' >bad.txt
    # shellcheck disable=SC2086 # an empty flag is none
    "$peakward" report hut.jsonl bad.txt none.jsonl panel.jsonl $1 >rest 2>err
    [ $? -eq 1 ] && [ "$(wc -l <err)" -eq 2 ] && grep -q 'bad.txt:1: ' err &&
        grep -q 'none.jsonl: No such file' err && grep -q 'hut.jsonl' rest && grep -q 'panel.jsonl' rest
}
all_bad() {
    "$peakward" report bad.txt none.jsonl -o rest.csv 2>err
    [ $? -eq 2 ] && [ ! -e rest.csv ]
}
memory_kb() { # LOG...
    python3 - "$peakward" "$@" <<'END'
import resource
import subprocess
import sys

subprocess.run([sys.argv[1], "report", "--csv", *sys.argv[2:]], stdout=subprocess.DEVNULL, check=True)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
END
}
memory_is_flat() { # fifty logs take what two do, and half a megabyte for the heap's own ways
    two=$(memory_kb hut.jsonl panel.jsonl)
    fifty=$(memory_kb $(yes 'hut.jsonl panel.jsonl' | head -n 25))
    echo "two logs: $two kB, fifty: $fifty kB"
    [ "$fifty" -lt $((two + 512)) ]
}

check 'the summary is of the records' summary_is_of_the_records
check 'the questions of the manual have the answers of the records' answers_are_the_records
check 'one bad log spoils no summary' one_bad_spoils_none ''
check 'one bad log spoils no table' one_bad_spoils_none --csv
check 'one bad log spoils no lines' one_bad_spoils_none --json
check 'of nothing but bad logs nothing is written' all_bad
# what the sanitizers keep in quarantine is no memory of ours
[ -n "${PEAKWARD_SANITIZED:-}" ] || check 'memory is flat' memory_is_flat

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
