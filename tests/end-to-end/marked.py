"""Sentences that are not marked for translation: marked.py SOURCES

A string of the program in which two words stand beside each other passes through gettext, or it is one of
unmarked.txt: what is typed, written in files or told to other programs is the same in every language.
"""
import pathlib
import re
import subprocess
import sys

sources = pathlib.Path(sys.argv[1])
TEXT = r'((?:".*"\n)+)'


def strings(catalogue):
    """The texts of a catalogue, as C writes them."""
    return {"".join(re.findall(r'"(.*)"', text))
            for text in re.findall(rf"^msgid(?:_plural)? {TEXT}", catalogue, re.M)}


def is_sentence(text):
    """Two words, or a word and what printf() puts there, with a blank between; markup is none."""
    plain = re.sub(r"%[-+0-9.*]*[lz]*[a-zA-Z]", " % ", re.sub(r"\\.", " ", text))
    words = re.findall(r"[A-Za-z]*[a-z]{2}[A-Za-z]*|%", plain)
    return " " in text.strip() and len(words) >= 2 and set(words) != {"%"} and not text.startswith("<")


files = sorted(str(path.relative_to(sources)) for room in ("src", "sim")
               for path in (sources / room).rglob("*.c") if path.parts[-3:-1] != ("sim", "program"))
every = strings(subprocess.run(
    ["xgettext", "--extract-all", "--from-code=UTF-8", "--language=C", "--no-wrap", "-o", "-", *files],
    cwd=sources, check=True, capture_output=True, text=True).stdout)
marked = strings(subprocess.run([sources / "src/po/words"], check=True, capture_output=True, text=True).stdout)
kept = {line.strip() for line in open(pathlib.Path(__file__).with_name("unmarked.txt"))
        if not line.startswith("##") and line.strip()}

found = {text.strip() for text in every - marked if is_sentence(text)}
for text in sorted(found - kept):
    print(f"not marked: {text}")
for text in sorted(kept - found):
    print(f"in unmarked.txt, but no such string is left: {text}")
print(f"{len(every)} strings, {len(marked)} marked, {len(found)} sentences are not")
sys.exit(found != kept or len(every) < 2000 or len(marked) < 1000)
