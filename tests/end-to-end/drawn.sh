#!/bin/sh
# The record as drawn pages, by the program itself: drawn.sh PEAKWARD SCENARIOS true|false
# The third says whether this build can draw; one that can't says so in words.
set -u
peakward=$(realpath "$1")
scenarios=$2
can_draw=$3
here=$(cd "$(dirname "$0")" && pwd)
. "$(dirname "$0")/checks.sh"

peak() { # KIT
    "$peakward" peak --job "$scenarios/$1.job" --source "sim:$scenarios/$1.scenario?hand=careful&seed=5" \
        --json --speed max --log "$work/$1.jsonl" </dev/null >/dev/null 2>&1
}
report() { # STATUS ARGUMENT...
    wanted=$1
    shift
    "$peakward" report "$@" </dev/null >"$work/out" 2>"$work/err"
    [ $? -eq "$wanted" ]
}
complains() { # WORDS STATUS ARGUMENT...
    words=$1
    shift
    report "$@" && grep -q "$words" "$work/err"
}

peak hut
head -c 60000 "$work/hut.jsonl" >"$work/cut.jsonl"
head -n 1 "$work/hut.jsonl" >"$work/bare.jsonl"

if [ "$can_draw" = false ]; then
    for kind in pdf svg; do
        check "no $kind, and why" complains 'built without drawings.*drawing' 1 \
            "$work/hut.jsonl" -o "$work/hut.$kind"
        check "no $kind is left" [ ! -e "$work/hut.$kind" ]
    done
    echo "$passed passed, $failed failed"
    [ "$failed" -eq 0 ]
    exit
fi

words() { # FILE.pdf: what stands on its pages, a blank between words
    pdftotext -layout "$1" - | tr -s ' \n' '  '
}
pages() { # FILE.pdf
    pdfinfo "$1" | awk '/^Pages:/ { print $2 }'
}
same_again() { # KIND
    report 0 "$work/hut.jsonl" -o "$work/again.$1" && cmp -s "$work/hut.$1" "$work/again.$1"
}
later_the_same() { # KIND: nothing of the clock, the language or the place gets in
    sleep 1
    (cd "$work" && TZ=Asia/Tokyo LC_ALL=C "$peakward" report hut.jsonl -o "$work/again.$1") &&
        cmp -s "$work/hut.$1" "$work/again.$1"
}
is_xml() {
    python3 - "$1" <<'END'
import sys, xml.etree.ElementTree as tree
svg = tree.parse(sys.argv[1]).getroot()
space = "{http://www.w3.org/2000/svg}"
assert svg.tag == space + "svg"
assert svg.find(space + "title").text == "Pointing record"
words = svg.find(space + "desc").text.split("\n")
for word in ("Rescue hut (invented)", "Judgement", "met", "peak azimuth", "Lobes"):
    assert word in words, word
END
}
says() { words "$1" | grep -q "$2"; }
ink() { # FILE.pdf: share of dark points on its first page
    pdftoppm -r 20 -gray -f 1 -l 1 "$1" "$work/ink" && tail -c +14 "$work"/ink*.pgm | od -An -v -tu1 |
        awk '{ for (i = 1; i <= NF; i++) { n++; dark += $i < 200 } } END { print dark / n }'
    rm -f "$work"/ink*.pgm
}
is_drawn() { ink "$1" | awk '{ good = $1 > 0.05 && $1 < 0.5 } END { exit !good }'; }

for kind in pdf svg; do
    check "$kind" report 0 "$work/hut.jsonl" -o "$work/hut.$kind"
    check "$kind twice is the same" same_again "$kind"
    check "$kind later and elsewhere is the same" later_the_same "$kind"
done
check 'an SVG is XML, with its words' is_xml "$work/hut.svg"
check 'one page' [ "$(pages "$work/hut.pdf")" = 1 ]
check 'there is something on it' is_drawn "$work/hut.pdf"
check 'its letters come with it' [ "$(pdffonts "$work/hut.pdf" | awk 'NR > 2 && $(NF - 4) != "yes"' | wc -l)" = 0 ]
check 'practice is called so' says "$work/hut.pdf" 'no antenna was pointed'
"$peakward" drill bolts --hand careful --seed 2 --json --log "$work/bolts.jsonl" </dev/null >/dev/null 2>&1
check 'one that was pushed and pulled' report 0 "$work/bolts.jsonl" -o "$work/bolts.pdf"
check 'what that showed' says "$work/bolts.pdf" 'by pushing'
check 'no clock got into it' [ -z "$(pdfinfo "$work/hut.pdf" | grep Date)" ]
digest=$(sha256sum "$work/hut.jsonl" | cut -d' ' -f1)
check 'it names its log' says "$work/hut.pdf" "SHA-256 $digest"

check 'cut off' report 0 "$work/cut.jsonl" -o "$work/cut.pdf"
check 'and said so' says "$work/cut.pdf" 'The log ends before the procedure did'
check 'no record at all' report 0 "$work/bare.jsonl" -o "$work/bare.pdf"
check 'nothing looks measured then' says "$work/bare.pdf" 'not measured: no meter said anything'

check 'several logs' report 0 "$work/hut.jsonl" "$work/cut.jsonl" "$work/bare.jsonl" -o "$work/all.pdf"
check 'a page each' [ "$(pages "$work/all.pdf")" = 3 ]
check 'an SVG is of one' complains 'more than one log.*PDF' 2 "$work/hut.jsonl" "$work/cut.jsonl" \
    -o "$work/all.svg"
check 'one bad log is named' complains 'none.jsonl' 2 "$work/hut.jsonl" "$work/none.jsonl" -o "$work/none.pdf"
check 'and nothing is written' [ ! -e "$work/none.pdf" ]
check 'a place that is not there' complains 'nowhere' 1 "$work/hut.jsonl" -o "$work/nowhere/hut.pdf"

for kit in hut-scale hut-nudges panel crowded nameless; do
    peak "$kit"
done
check 'the figures are those of the JSON' python3 "$here/drawn.py" "$peakward" "$work"/*.jsonl

# a page speaks the language of its log
peak_in() { # LANGUAGE KIT
    "$peakward" --language "$1" peak --job "$scenarios/$2.job" \
        --source "sim:$scenarios/$2.scenario?hand=careful&seed=5" --json --speed max \
        --log "$work/$1-$2.jsonl" </dev/null >/dev/null 2>&1
}
peak_in de hut
check 'two languages' report 0 "$work/de-hut.jsonl" "$work/hut.jsonl" -o "$work/both.pdf"
check 'one is German' says "$work/both.pdf" 'Übungsbericht'
check 'the other English' says "$work/both.pdf" 'Practice record'

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
