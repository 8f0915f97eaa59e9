#!/bin/sh
# Words in other languages: words.sh PEAKWARD SOURCES
# Every catalogue is complete; a session in German replays as it was on a machine that speaks English;
# and nothing that is said escapes translation, seen by a made-up language that shouts.
set -u
peakward=$(realpath "$1")
sources=$(realpath "$2")
scenarios=$sources/sim/scenarios
. "$(dirname "$0")/checks.sh"
unset LANGUAGE LC_ALL LC_MESSAGES
export LANG=C.UTF-8

"$sources/src/po/words" >"$work/peakward.pot"

is_complete() { # LANGUAGE
    msgmerge --quiet --no-fuzzy-matching "$sources/src/po/$1.po" "$work/peakward.pot" -o "$work/$1.po" &&
        msgfmt --check --statistics -o /dev/null "$work/$1.po" 2>"$work/statistics" &&
        ! grep -q 'untranslated\|fuzzy' "$work/statistics" || {
        cat "$work/statistics"
        msgattrib --untranslated "$work/$1.po"
        return 1
    }
}
for language in $(cat "$sources/src/po/LINGUAS"); do
    check "$language is complete" is_complete "$language"
done

peak() { # PROGRAM LANGUAGE KIT
    "$1" --language "$2" peak --job "$scenarios/$3.job" \
        --source "sim:$scenarios/$3.scenario?hand=careful&seed=5" \
        --json --speed max --log "$work/$2-$3.jsonl" </dev/null >"$work/$2-$3.out" 2>/dev/null
}

replay_is_live() { # LANGUAGE KIT
    LANG=C.UTF-8 "$peakward" replay "$work/$1-$2.jsonl" --json </dev/null 2>/dev/null |
        cmp -s - "$work/$1-$2.out" &&
        LANG=C "$peakward" replay "$work/$1-$2.jsonl" --json </dev/null 2>/dev/null |
        cmp -s - "$work/$1-$2.out"
}

speaks() { # WORD PROGRAM ARGUMENT...
    word=$1
    shift
    "$@" </dev/null 2>/dev/null | grep -q "$word"
}

# the same moves whatever the language: only what is said differs, and of a note its figures stay
moves() {
    sed -e 's/"say":.*//' -e 's/"result":.*//' -e '/"note":/s/[^0-9.]//g' -e 1d "$1"
}
moves_are_the_same() { # LANGUAGE KIT
    peak "$peakward" en "$2" && moves "$work/en-$2.jsonl" >"$work/en" &&
        moves "$work/$1-$2.jsonl" >"$work/other" && cmp -s "$work/en" "$work/other"
}

for kit in hut hut-scale hut-nudges crowded; do
    check "$kit ends in German" peak "$peakward" de "$kit"
    check "$kit replays as it was" replay_is_live de "$kit"
    check "$kit goes the same way in English" moves_are_the_same de "$kit"
done
check 'it was German' grep -q 'Nach rechts' "$work/de-hut.out"
check 'replay speaks the language asked for' speaks 'Right [0-9.]*°' \
    "$peakward" --language en replay "$work/de-hut.jsonl" --json
check 'an English log stays English' speaks 'Right [0-9.]*°' \
    env LANG=de_DE.UTF-8 "$peakward" replay "$work/en-hut.jsonl" --json

# cut off in German, gone on with on a machine that speaks English
resumes() {
    head -c 60000 "$work/de-hut.jsonl" >"$work/cut.jsonl"
    echo quit | LANG=C "$peakward" peak --resume "$work/cut.jsonl" --json >/dev/null 2>&1
    "$peakward" replay "$work/cut.jsonl" --json </dev/null >"$work/cut.out" 2>/dev/null &&
        tail -n +2 "$work/cut.jsonl" | cmp -s - "$work/cut.out"
}
check 'a German session goes on in German' resumes

resumes_whatever_is_asked() {
    head -c 60000 "$work/de-hut.jsonl" >"$work/cut.jsonl"
    echo quit | "$peakward" --language en peak --resume "$work/cut.jsonl" --json >/dev/null 2>&1
    "$peakward" replay "$work/cut.jsonl" --json </dev/null >"$work/cut.out" 2>/dev/null &&
        tail -n +2 "$work/cut.jsonl" | cmp -s - "$work/cut.out"
}
check 'it does when English is asked for, too' resumes_whatever_is_asked

unknown_language_is_not_gone_on_with() {
    head -n 300 "$work/de-hut.jsonl" | sed '1s/"language":"de"/"language":"zz"/' >"$work/cut.jsonl"
    cp "$work/cut.jsonl" "$work/before.jsonl"
    echo quit | "$peakward" peak --resume "$work/cut.jsonl" --json >/dev/null 2>"$work/err"
    [ $? -eq 2 ] && grep -q '^peakward: zz: ' "$work/err" &&
        cmp -s "$work/before.jsonl" "$work/cut.jsonl"
}
check 'a log in an unknown language stays as it is' unknown_language_is_not_gone_on_with

# the environment, without a single locale of the language being installed
helps() { # WORD VARIABLE=VALUE...
    word=$1
    shift
    env "$@" "$peakward" --help </dev/null 2>/dev/null | grep -q "$word"
}
check 'LANG chooses' helps Aufruf LANG=de_AT.UTF-8
check 'LANGUAGE goes before LANG' helps Aufruf LANG=en_GB.UTF-8 LANGUAGE=zz:de
check 'LC_ALL=C is English' helps usage LC_ALL=C LANGUAGE=de LANG=de_DE.UTF-8
check 'what is not ASCII is folded where nothing else can be shown' \
    helps 'Schritt fur Schritt' LC_ALL=de_DE.ISO-8859-1

# A made-up language that writes all in capitals; the program finds it beside itself.
mkdir -p "$work/src/po"
cp "$peakward" "$work/src/peakward"
cp "$(dirname "$peakward")/peakward-drawing.so" "$work/src" 2>/dev/null
"$sources/tests/shout" "$sources" "$work/src/po"
shout=$work/src/peakward

# Names of satellites, and a word to type, are as they are.
say_nothing_small() { # FILE
    ! sed -e 's/Ptarmigan\|Razorbill\|Guillemot\|Sandgrouse\|SAY done//g' "$1" | grep '[a-z][a-z][a-z]'
}
shouts() { # KIT
    peak "$shout" xx "$1" || return 1
    grep -o '"say":"[^"]*"\|"why":"[^"]*"\|"result":"[^"]*"' "$work/xx-$1.jsonl" |
        sed 's/^"[a-z]*"://' | sort -u >"$work/said"
    [ "$(wc -l <"$work/said")" -gt 30 ] && say_nothing_small "$work/said"
}
for kit in hut crowded hut-nudges panel; do
    check "nothing that is said in $kit escapes" shouts "$kit"
done

# the plain face, without what a source or a file's name says
tells() { # KIT
    "$shout" replay "$work/xx-$1.jsonl" --plain </dev/null 2>/dev/null |
        grep -v '^REPLAYING\|^SOURCE .*:' | sed 's/\bsim\b//' | sort -u >"$work/told"
    [ "$(wc -l <"$work/told")" -gt 50 ] && say_nothing_small "$work/told"
}
for kit in hut hut-nudges crowded; do
    check "nothing that is told of $kit escapes" tells "$kit"
done

unnamed() { # a target without a name has one of the language
    printf 'done\ndone\ndone\ndone\nquit\n' | "$shout" --language xx peak --site=46.6,10.1,2200 --target=21.5E \
        --pol=V --source keys: --plain --log "$work/unnamed.jsonl" 2>&1 |
        grep -v '^SOURCE\|jsonl' >"$work/told"
    [ "$(wc -l <"$work/told")" -gt 10 ] && grep -q 'THE TARGET' "$work/told" && say_nothing_small "$work/told"
}
check 'nothing of an unnamed target escapes' unnamed

# what is printed; names that a job gives are as they are
prints() { # JOB ARGUMENT...
    names=$(sed -n -e 's/^name = //p' -e 's/^\[neighbour \(.*\)\]/\1/p' "$1" | tr -s ' ()' '|' |
        sed -e ':a' -e 'N' -e '$!ba' -e 's/\n/|/g' -e 's/||*/|/g' -e 's/|$//')
    shift
    "$shout" --language xx "$@" </dev/null 2>&1 |
        sed -E -e "s/$names//g" -e 's/peakward:|tty[A-Za-z0-9]*|dev|\b(plan|peak|replay|drill|report|check)\b|\.[a-z]+\b|[^ ]*\.(job|jsonl|csv)|--[a-z-]*//g' \
            -e 's/^  [a-z]+ //' >"$work/printed"
    [ -s "$work/printed" ] && say_nothing_small "$work/printed"
}
hut=$scenarios/hut.job
check 'no help escapes' prints "$hut" --help
for command in plan peak replay report check; do
    check "no help of $command escapes" prints "$hut" $command --help
    check "no complaint of $command escapes" prints "$hut" $command --no-such
done
for job in "$scenarios"/*.job; do
    check "the sheet of $(basename "$job") does not escape" prints "$job" plan --job "$job" \
        --site=46.6,10.1,2200 --date=2026-03-01T12:00
done
check 'no sheet from below the horizon escapes' prints "$hut" plan --site=46.6,10.1,0 \
    --target=170E --pol=V
check 'no warning escapes' prints "$hut" plan --site=80.0,-100.0,0 --target=100W --pol=H \
    --date=1990-01-01
check 'no check escapes' prints "$hut" check
check 'no report that fails escapes' prints "$hut" report
check 'no job without a source escapes' prints "$hut" peak --site=46.6,10.1,2200 --target=21.5E --pol=V
check 'no replay of nothing escapes' prints "$hut" replay

check 'no broken file escapes' python3 "$(dirname "$0")/broken.py" "$shout" "$sources" "$work/en-hut.jsonl"

# what a German operator reads of broken files, to the letter
explains() { # SENTENCE ARGUMENT...
    echo "peakward: $1" >"$work/wanted"
    shift
    (cd "$work" && "$peakward" --language de "$@") </dev/null 2>"$work/explained" >/dev/null
    [ $? -eq 2 ] && cmp "$work/wanted" "$work/explained"
}
printf '[antenna]\ndiameter = gross\n' >"$work/broken.job"
printf '[step Azimut]\ndo = peak\n' >"$work/broken.procedure"
sed 's/^\[target\]$/&\nelements = broken.txt/' "$scenarios/hut.job" >"$work/orbit.job"
printf '%s\n' '1 99001U 26001A   26329.50000000 -.00000200  00000+0  00000+0 0  9991' >"$work/broken.txt"
{ head -n 3 "$work/de-hut.jsonl" && echo '{"t":0,"level":{"value":1}'; } >"$work/broken.jsonl"
check 'a broken job is explained in German' explains \
    'broken.job:2: diameter = gross: erlaubt ist eine Zahl von 0.05 bis 40' plan --job broken.job
check 'a broken procedure is explained in German' explains \
    'broken.procedure:2: [step Azimut]: do = peak braucht axis' \
    peak --job "$scenarios/hut.job" --procedure broken.procedure
check 'broken elements are explained in German' explains \
    'broken.txt: Zeile 1: die Prüfsumme am Ende müsste 6 sein: ein Zeichen ist falsch' plan --job orbit.job
check 'a broken log is explained in German' explains \
    'broken.jsonl: Zeile 4: kein JSON-Objekt: es endet zu früh (Spalte 26): gib das Protokoll einer Sitzung an, wie peak es geschrieben hat' \
    report broken.jsonl
check 'a missing file is explained in German' explains \
    'none.job: nicht lesbar: Datei oder Ordner nicht gefunden' plan --job none.job

quizzes() {
    yes 'left 0.4 deg' | "$shout" replay "$work/xx-hut.jsonl" --quiz --log "$work/quiz.jsonl" 2>&1 |
        grep -v jsonl | sed "s/\"left 0.4 deg\"//" >"$work/quizzed"
    [ "$(wc -l <"$work/quizzed")" -gt 20 ] && say_nothing_small "$work/quizzed" &&
        sed -n 's/^{.*"note":{"text":"\(.*\)"}}$/\1/p' "$work/quiz.jsonl" | sed -e 's/left 0.4 deg//' -e 's/^quiz: //' -e '/jsonl$/d' \
            >"$work/quizzed" && say_nothing_small "$work/quizzed"
}
drills() { # COACH
    "$shout" --language xx drill "$scenarios/calm.scenario" --coach "$1" --hand careful --plain \
        --log "$work/drill-$1.jsonl" </dev/null 2>&1 |
        grep -v '^RECORDING\|^SOURCE .*:\|jsonl' | sed 's/SOURCE mount//' >"$work/drilled"
    [ "$(wc -l <"$work/drilled")" -gt 20 ] && say_nothing_small "$work/drilled"
}
reports() { # KIT
    "$shout" report "$work/xx-$1.jsonl" 2>/dev/null |
        grep -v 'SHA-256\|jsonl\|[0-9][0-9]T[0-9]' |
        sed -e 's/Rescue hut (invented)//' -e 's/finder\|linear\|sim\|peakward//' >"$work/reported"
    [ "$(wc -l <"$work/reported")" -gt 50 ] && say_nothing_small "$work/reported"
}
sums_up() {
    "$shout" --language xx report "$work"/xx-*.jsonl "$work/cut.jsonl" 2>/dev/null |
        sed -e 's/[a-z-]*\.jsonl//' -e 's/percent//' >"$work/summed"
    [ "$(wc -l <"$work/summed")" -gt 30 ] && say_nothing_small "$work/summed"
}
draws() { # KIT: by the words that a picture is described with
    "$shout" report "$work/xx-$1.jsonl" -o "$work/drawn.svg" 2>/dev/null &&
        sed -n '/<desc>/,/<\/desc>/p' "$work/drawn.svg" |
        grep -v 'SHA-256\|jsonl' |
            sed -e 's/&[a-z]*;//g' -e 's/<[^>]*>//g' -e 's/Rescue hut (invented)//' \
                -e 's/finder\|linear\|sim\|peakward//' >"$work/described"
    [ "$(wc -l <"$work/described")" -gt 100 ] && say_nothing_small "$work/described"
}
if [ -e "$work/src/peakward-drawing.so" ]; then
    check 'no page of hut escapes' draws hut
    check 'no page of hut-nudges escapes' draws hut-nudges
fi
check 'no report of hut escapes' reports hut
check 'no report of hut-nudges escapes' reports hut-nudges
check 'no summary of many jobs escapes' sums_up
check 'nothing that is asked escapes' quizzes
check 'no drill escapes' drills on
check 'no silent drill escapes' drills ask

# sheets and pages for 80 columns
fits() { # PROGRAM ARGUMENT...
    "$@" </dev/null >"$work/page" 2>/dev/null
    [ -s "$work/page" ] && [ "$(wc -L <"$work/page")" -le 80 ]
}
german="$peakward --language de"
for job in "$scenarios"/*.job; do
    check "the German sheet of $(basename "$job") fits" fits $german plan --job "$job" --site=46.6,10.1,2200
done

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
