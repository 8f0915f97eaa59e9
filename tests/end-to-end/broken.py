"""Broken files in a language that shouts: broken.py PEAKWARD SOURCES LOG

PEAKWARD speaks the made-up language of tests/shout; LOG is a session. What it says of each broken file is in
capitals, but for what stands in the file and for names that files have; and every sentence of the rooms that
read files is said of one of them at least.
"""
import os
import pathlib
import re
import subprocess
import sys
import tempfile

peakward, sources = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2])
log_lines = open(sys.argv[3]).read().split("\n")
head = log_lines[0]

SITE = "[site]\nlat = 46.6\nlon = 10.1\n"
GOOD = SITE + "[target]\nlongitude = 22.4E\npolarisation = V\n"
DISH = GOOD + "[antenna]\n"

JOBS = [  # what stands in a job file, or behind a good one where it begins with a section of its own
    SITE, SITE + "[target]\nlongitude = 22.4E\n", "[site]\nlat = 1\n[target]\nlongitude = 1\npolarisation = V\n",
    "[target]\nlongitude = 1\npolarisation = V\n", GOOD + "[neighbour Ibex 4]\nid = IBEX\n",
    DISH + "kind = panel\ndiameter = 1\n", DISH + "diameter = 1\nwidth = 1\n", DISH + "height = 1\n",
    DISH + "kind = panel\nwidth = 1\nfrequency = 12\n", DISH + "kind = panel\nbeam_width = 2\n",
    DISH + "width = 1\n", GOOD + "[link]\nrain = 3\n", GOOD + "[transmitter]\npower = 2\n",
    GOOD + "[meter finder]\nminimum = 3\nmaximum = 2\n", GOOD + "[source typed]\nmeter = finder\n",
    GOOD + "[source typed]\naddress = keys:\nmeter = finder\n",
    # one key
    "[weather]\nwind = 3\n", "[Site]\nlat = 1\n", "[antenna]\ncolour = red\n", "[antenna]\nbeamwidth = 2\n",
    "[site here]\nlat = 1\n", "[neighbour]\nid = IBEX\n", "[site]\nname = \x01\n", "[site]\nlat =\n",
    "[site]\nname = " + 64 * "n" + "\n", "[antenna]\ndiameter = big\n", "[meter m]\nbaud = 0.5\n",
    "[antenna]\nkind = horn\n", "[mount]\nskew_scale_sense = 0\n", "[site]\nlat = 91\n", "[site]\nlon = x\n",
    "[target]\npolarisation = diagonal\n", "[meter m]\nframing = 8X1\n", "[meter m]\nunit = furlong\n",
    "[skyline]\npoint = 1\n", "[skyline]\nobject = 1\n", "[antenna]\nkit =\n",
    # too many, too much
    "".join(f"[meter m{i}]\nbaud = 9600\n" for i in range(5)),
    "".join(f"[source s{i}]\naddress = keys:\n" for i in range(9)),
    "".join(f"[neighbour n{i}]\nid = N\n" for i in range(33)),
    "[skyline]\n" + 65 * "point = 1 1\n", "[skyline]\n" + 33 * "object = 1 1 1\n",
    "[site]\n" + 385 * "name = hut\n", "[site]\nname = " + 250 * "n" + "\n", "[" + 60 * "n" + "]\nlat = 1\n",
    # no such file
    "lat = 1\n", "[site]\nlat\n", "[site] lat = 1\n", "[site]\n\0\n", "[site]\nname = a\rb\n", b"[site]\nname = \xff\n",
    "[site]\nname = a\x7f\n", 300000 * ";\n",
]
KITS = [("small", "[antenna small]\nkit = large\n"), ("small", "[antenna large]\n"), (64 * "n", "")]
STEP = "[step only]\n"
PROCEDURES = [
    "[ste only]\ndo = fix\n", STEP + "dwel = 3\n", STEP + "colour = red\n", STEP + "do = dance\n", STEP + "axis = x\n",
    STEP + "text =\n", STEP + "span = far\n", STEP + "axis = skew\n", STEP + "do = fix\naxis = skew\n",
    STEP + "do = peak\n", STEP + "do = confirm\n", STEP + "do = sweep\naxis = skew\n",
    STEP + "do = null\naxis = azimuth\n", "; empty\n", STEP + "do = set\naxis = skew\n", STEP + "do = measure\n",
    STEP + 193 * "axis = skew\n", "".join(f"[step {i}]\ndo = measure\n" for i in range(33)),
]
FIRST = "1 99001U 26001A   26329.50000000 -.00000200  00000+0  00000+0 0  9990"
SECOND = "2 99001   3.1000  80.2000 0004000 120.0000 240.0000  1.00271000  1234"


def checked(line):
    """A line of a pair with its checksum made right: all digits, a minus as 1, modulo 10."""
    total = sum(int(c) if c.isdigit() else c == "-" for c in line[:68])
    return f"{line[:68]}{total % 10}\n"


def changed(line, first, text):
    return checked(line[:first - 1] + text + line[first - 1 + len(text):])


PAIR = checked(FIRST) + checked(SECOND)
KVN = ("CCSDS_OMM_VERS = 2.0\nOBJECT_NAME = PTARMIGAN\nCENTER_NAME = EARTH\nREF_FRAME = TEME\nTIME_SYSTEM = UTC\n"
       "MEAN_ELEMENT_THEORY = SGP4\nEPOCH = 2026-11-25T12:00:00\nMEAN_MOTION = 1.0027\nECCENTRICITY = 0.0004\n"
       "INCLINATION = 3.1\nRA_OF_ASC_NODE = 80\nARG_OF_PERICENTER = 120\nMEAN_ANOMALY = 240\n")
ELEMENTS = [
    "", 300 * "n", "no elements\n", PAIR + changed(FIRST, 3, "99002") + changed(SECOND, 3, "99002"),
    FIRST[:60] + "\n", FIRST[:68] + "x\n", changed(FIRST, 19, "x6"), changed(FIRST, 21, "400.0"), changed(FIRST, 54, " 1234567"),
    changed(FIRST, 63, "4"), checked(FIRST) + changed(SECOND, 3, "99002"), checked(FIRST) + changed(SECOND, 27, "x"),
    checked(SECOND), checked(FIRST) + "PTARMIGAN\n",
] + [checked(FIRST) + changed(SECOND, column, "x") for column in (9, 18, 35, 44, 53)] + [
    KVN + "no equals sign\n", KVN.replace("= SGP4", "= OTHER"), KVN.replace("3.1", "200"), KVN.replace("0.0004", "2"),
    KVN.replace("2026-11-25", "today "), KVN + "EPOCH = 2026-11-25T12:00:00\n", KVN.replace("UTC", 100 * "u"),
    KVN.replace("EPOCH", "epoch"), "[1]", '{"EPOCH": [1]}', "[{}]", "{", '{"a":1} x', '{"a":1,"a":2}', '{"a":1e999}', "{a}",
    b'{"a":"\xff"}', b'{"a":"\\u0000"}', 3000 * "[", "1\0", (32 << 20) * " " + " 12",
]
WANTED = [PAIR]  # where another satellite is asked for
CUTS = [
    "1\n", "1 x\n", "1 1\n1 1\n", "".join(f"{i / 10} 0\n" for i in range(1025)), 130 * " " + "1 1\n", "1 1\n2 1\n",
    "1 1\n2 1\n3 1\n", "1 1\0\n", (1 << 20) * " " + " 12",
]
PATTERNS = [
    33 * "a[b]", "{foo}", "{level}{level}", 5 * "{aux a}", "[{skip}]", "{skip}{skip}", "{azimuth}{compass}", "{level x}",
    "{level", "{aux}", "[a", "{id}", "a||b", "[[a]]", "a]", "a[]", "a}", "\\x", "{word}",
]
SPEEDS = [
    "{", '{"error":"gone"}', "{}", '{"start":{"test_start":{}},"end":{}}',
]
RECORDS = [
    '{"t":1}', "[]", head, '{"t":-1,"note":{"text":"x"}}', '{"t":1e12,"note":{"text":"x"}}', '{"t":1,"fix":{"mode":3,"lat":91,"lon":0}}',
    '{"t":1,"utc":{}}', '{"t":1,"angles":{"azimuth":721}}', '{"t":1,"level":{"unit":"dB"}}', '{"t":1,"level":{"value":1e11,"unit":"dB"}}',
    '{"t":1,"level":{"value":1,"unit":"x"}}',
    '{"t":1,"lock":{}}', '{"t":1,"aux":{}}', '{"t":1,"move":{"axis":"x"}}', '{"t":1,"move":{"axis":"skew"}}',
    '{"t":1,"source":{"status":"x"}}', '{"t":1,"step":{"event":"x"}}', '{"t":1,"advice":{"move":"x"}}', "no record",
    '{"t":2,"note":{"text":"x"}}\n{"t":1,"note":{"text":"x"}}', '{"t":1,"note":{"text":"' + 70000 * "n" + '"}}',
]
HEADS = [
    "", "{}", '{"peakward":99}', '{"peakward":1,"job":[["site","name","\\u0001"]]}',
    '{"peakward":1,"job":[["' + 70 * "n" + '","lat","1"]]}', '{"peakward":1,"job":[[1]]}', '{"peakward":1,"procedure":{"steps":[[1]]}}',
]
ORBIT = "[satellite Ptarmigan 1]\nlon = 22.4\n[target]\nsatellite = Ptarmigan 1\n"
SCENARIOS = [
    "[sky]\nx = 1\n", "[site]\ncolour = red\n", "[site]\nlat = far\n", "[site]\nutc = now\n", "[target]\npolarisation = x\n",
    "[meter]\nname = " + 64 * "n" + "\n", "".join(f"[satellite s{i}]\nlon = {i}\n" for i in range(33)),
    "".join(f"[blocked b{i}]\nfrom = 1\n" for i in range(33)), ORBIT.replace("e = P", "e = R"), "no line\n",
]

def names_in(file, first, last):
    """What stands in quotes in a part of a file: a table of names."""
    part = (sources / file).read_text().split(first, 1)[1].split(last, 1)[0]
    return set(re.findall(r"[A-Za-z]{2,}", " ".join(re.findall(r'"([^"\n]*)"', part))))


# What files have for names: the same in every language.
NAMES = (names_in("src/job/job_keys.c", "job_keys[] =", "job_keys_find") | names_in("src/job/job_set.c", "kinds[] =", ";")
         | names_in("src/coach/procedure.c", "act_names", "procedure_do_name") | names_in("src/peaking/level.c", "units[", ";")
         | names_in("src/source/pattern.c", "field_table", "struct compiler") | {"peakward", "broken"})
SCENARIO_NAMES = names_in("sim/scenario.c", "enum type", "/* --- reading")

# Not to be met with a broken file: no fault, the system's doing, or another limit is met before.
NOT_MET = {"the target", "out of memory", "kit: the path of the kit file is too long", "the pattern is too long"}
ROOMS = ["src/job/", "src/coach/procedure.c", "src/sky/elements", "src/session/record", "src/session/log",
         "src/record/speed_test.c", "src/source/pattern.c", "sim/scenario.c", "sim/world.c"]

scratch = tempfile.TemporaryDirectory()
work = pathlib.Path(scratch.name)
said, failed = [], []


def run(content, *arguments):
    """What the program says, in capitals but for what the broken file and its names have."""
    child = subprocess.run([peakward, "--language", "xx", *arguments], cwd=work, stdin=subprocess.DEVNULL,
                           capture_output=True, env={**os.environ, "XDG_CONFIG_HOME": str(work)})
    text = child.stderr.decode(errors="replace").replace(str(work), "")
    content = content if isinstance(content, str) else content.decode(errors="replace")
    own = set(re.findall(r"[A-Za-z]{2,}", " ".join([content, *arguments]))) | NAMES
    own |= SCENARIO_NAMES if arguments[-1].startswith("sim:") else set()
    small = [word for word in re.findall(r"[A-Za-z]{2,}", text) if re.search("[a-z]{2}", word) and
             not any(name.startswith(word) for name in own)]
    said.append(text)
    if child.returncode == 0 or not text or small:
        failed.append(f"{content[:200]!r}: status {child.returncode}, {' '.join(small)}: {text}")


def put(name, content):
    (work / name).write_bytes(content if isinstance(content, bytes) else content.encode())


put("good.job", GOOD)
put("good.jsonl", "\n".join(log_lines))
for content in JOBS:
    put("broken", content)
    run(content, "plan", "--job", "broken")
os.mkdir(work / "peakward")
for name, content in KITS:
    put("peakward/kit", content)
    put("broken", DISH + f"kit = {name}\n")
    run(content + name, "plan", "--job", "broken")
for content in PROCEDURES:
    put("broken", content)
    run(content, "peak", "--job", "good.job", "--source", "keys:", "--procedure", "./broken")
for key, contents in (("elements", ELEMENTS), ("elements_name = RAZORBILL\nelements", WANTED)):
    for content in contents:
        put("broken", content)
        put("good.job", GOOD + f"{key} = broken\n")
        run(content, "plan", "--job", "good.job")
for content in CUTS:
    put("broken", content)
    put("good.job", DISH + "diameter = 0.75\nfrequency = 11.7\npattern = broken\n")
    run(content, "plan", "--job", "good.job")
for content in PATTERNS:
    content = GOOD + f"[meter m]\npattern = {content}\n[source s]\naddress = tcp://127.0.0.1:1\n"
    put("broken", content)
    run(content, "peak", "--job", "broken")
for content in SPEEDS:
    put("broken", content)
    run(content, "report", "good.jsonl", "--iperf3", "broken")
for content in RECORDS:
    put("broken", head + "\n" + content + "\n")
    run(content, "report", "broken")
for content in HEADS:
    put("broken", content and content + "\n")
    run(content, "report", "broken")
put("good.job", GOOD)
for content in SCENARIOS:
    put("broken.scenario", content)
    run(content, "peak", "--job", "good.job", "--source", "sim:./broken.scenario")
run("", "peak", "--job", "good.job", "--source", "sim:./none.scenario")
run("", "plan", "--job", "none.job")
run("", "report", "/")

# --- every sentence was said -----------------------------------------------------------------------
template = subprocess.run([sources / "src/po/words"], check=True, capture_output=True, text=True).stdout
together, count = "\n".join(said), 0
for block in template.split("\n\n"):
    places = re.findall(r"^#: (.*)$", block, re.M)
    text = "".join(re.findall(r'"(.*)"', block.split("\nmsgid ", 1)[-1].split("\nmsgstr ")[0]))
    text = text.replace('\\"', '"').replace("\\\\", "\\")
    if text in NOT_MET or not any(room in place for place in places for room in ROOMS):
        continue
    count += 1
    pieces = re.split(r"%[-+0-9.*]*[lz]*[a-zA-Z]", text)
    if not re.search(".*".join(re.escape(piece.upper()) for piece in pieces), together):
        failed.append(f"never said: {text}")
print("\n".join(failed))
print(f"{len(said)} broken files, {count} sentences, {len(failed)} failed")
sys.exit(bool(failed) or count < 100)
