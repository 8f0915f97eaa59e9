"""Every figure of a record from its log, by another hand: recompute.py LOG RECORD [MODCODS]

Python's standard library only, and nothing of the program: the log's lines are read, the figures are
made anew from their definitions (docs/handover.md), and what the record says is held against them.
RECORD is what `peakward report LOG --json` wrote; MODCODS is tests/reference/dvbs2-modcods.csv.
"""
import csv
import datetime
import hashlib
import json
import math
import re
import statistics
import sys

from session_log import AXES, Log, Story, middle_half, wrap

wrong = []


def expect(what, got, want, tolerance=1e-4):
    if want is None or got is None:
        same = got is None and want is None
    elif isinstance(want, (int, float)) and not isinstance(want, bool):
        same = isinstance(got, (int, float)) and abs(got - want) <= tolerance
    else:
        same = got == want
    if not same:
        wrong.append(f"{what}: the record says {got!r}, the log {want!r}")


def utc_text(unix_s):
    if unix_s is None:
        return None
    moment = datetime.datetime(1970, 1, 1) + datetime.timedelta(seconds=math.floor(unix_s + 0.5))
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


# --- the checks -----------------------------------------------------------------------------------


def check_head(log, story, record):
    expect("sha256", record["log"]["sha256"], hashlib.sha256(log.bytes).hexdigest())
    expect("bytes", record["log"]["bytes"], len(log.bytes))
    expect("records", record["log"]["records"], len(log.records))
    expect("software", record["log"]["software"], log.header.get("software"))
    expect("differs", record["log"]["differs"], 0)
    expect("begun", record["begun_utc"], utc_text(story.first_offset))
    expect("duration", record["duration_s"], log.records[-1]["t"] if log.records else 0.0)
    simulated = any(key == "address" and value.startswith("sim:") for _, key, value in
                    log.header["job"])
    expect("kind", record["kind"], "practice" if simulated else "install")
    expect("target", record["target"]["name"], log.set("target", "name", "the target"))
    expect("site", record["site"]["name"], log.set("site", "name"))
    expect("procedure", record["procedure"], log.header["procedure"]["name"])


def check_site(log, story, record):
    site = record["site"]
    if log.set("site", "lat") is not None:
        expect("site by", site["origin"], "given")
        return
    expect("site by", site["origin"], "measured" if story.fix else "unknown")
    if not story.fix:
        expect("fix", site["fix"], None)
        return
    fix = story.fix
    for key, name in (("latitude_deg", "lat"), ("longitude_deg", "lon")):
        expect(key, site[key], fix[name], 1e-8)
    expect("fix", [site["fix"][k] for k in ("mode", "error_m", "satellites", "t", "count")],
           [fix["mode"], fix.get("error_m"), fix.get("satellites"), story.fix_t, story.fixes])


def check_steps(log, story, record):
    for i, (step, said) in enumerate(zip(log.steps, record["steps"], strict=True)):
        name = step["name"]
        expect("step", said["name"], name)
        expect(name + " ends", said["ending"], story.ending[i])
        expect(name + " visits", said["visits"], story.visits[i])
        expect(name + " begins", said["began_t"], story.began[i])
        expect(name + " ends at", said["ended_t"], story.ended[i])
        expect(name + " result", said["result"], story.result[i])
        expect(name + " caution", said["caution"], step.get("text"))
        utc = story.date(story.ended[i], story.utc[i])
        expect(name + " clock", said["ended_utc"], utc_text(utc))
    expect("finished", record["finished"],
           story.ending[-1] in ("done", "confirmed", "by word", "skipped"))


def check_level(log, story, record):
    level = record["level"]
    if not story.levels:
        return
    expect("unit", level["unit"], story.unit)
    expect("last", level["last"], story.filter.level)
    expect("measured", level["measured"], story.final is not None)
    final = story.final or (None, None, None, 0)
    for key, want in zip(("final", "final_error", "final_t", "final_readings"), final, strict=True):
        expect(key, level[key], want)
    expect("best", level["best"], story.best)
    expect("best at", level["best_t"], story.best_t)
    expected = log.number("target", "expected_level")
    expect("expected", level["expected"], expected)
    for key, top in (("below_best", story.best), ("below_expected", expected)):
        expect(key, level[key], top - final[0] if None not in (top, final[0]) else None)


def to_true(log, axis, deg, scale, magnetic, declination):
    if scale:
        zero = log.number("mount", f"{axis}_scale_zero") or 0.0
        sense = {"reversed": -1}.get(log.set("mount", f"{axis}_scale_sense", "same"), 1)
        return sense * (deg - zero)
    deg += log.number("mount", f"{axis}_sensor_zero") or 0.0
    return deg + (declination if magnetic and axis == "azimuth" else 0.0)


def check_angles(log, story, record):
    for axis in AXES:
        said, last = record["axes"][axis], story.angles[axis]
        if last is None:
            expect(axis + " found", said["found_deg"], None)
            expect(axis + " by", said["found_origin"], "unknown")
            continue
        t, deg, scale, magnetic = last
        if said["found_origin"] == "measured":
            if story.final and story.stood[axis]:
                first = story.stood[axis][0]
                deg = first + statistics.fmean(wrap(x - first) for x in story.stood[axis])
                t = story.final[2]
            expect(axis + " at", said["found_t"], t)
        if said["found_origin"] != "counted":
            true = to_true(log, axis, deg, scale, magnetic, record["declination_deg"])
            expect(axis + " found", wrap(said["found_deg"] - true), 0.0, 1e-3)


def check_computed(log, story, record):
    """Where the satellite stands, by vectors on the ellipsoid of WGS84 (NIMA TR8350.2)."""
    site, target = record["site"], record["target"]
    if site["latitude_deg"] is None:
        return
    lat, lon = math.radians(site["latitude_deg"]), math.radians(site["longitude_deg"])
    height = (site["height_m"] or 0.0) / 1e3
    a, f, orbit = 6378.137, 1 / 298.257223563, 42164.17
    e2 = f * (2 - f)
    n = a / math.sqrt(1 - e2 * math.sin(lat) ** 2)
    here = ((n + height) * math.cos(lat) * math.cos(lon),
            (n + height) * math.cos(lat) * math.sin(lon), (n * (1 - e2) + height) * math.sin(lat))
    far = math.radians(target["longitude_deg"])
    d = (orbit * math.cos(far) - here[0], orbit * math.sin(far) - here[1], -here[2])
    east = -math.sin(lon) * d[0] + math.cos(lon) * d[1]
    north = (-math.sin(lat) * (math.cos(lon) * d[0] + math.sin(lon) * d[1])
             + math.cos(lat) * d[2])
    up = math.cos(lat) * (math.cos(lon) * d[0] + math.sin(lon) * d[1]) + math.sin(lat) * d[2]
    azimuth = math.degrees(math.atan2(east, north))
    elevation = math.degrees(math.atan2(up, math.hypot(east, north)))
    expect("azimuth", wrap(record["axes"]["azimuth"]["computed_deg"] - azimuth), 0.0, 2e-4)
    # the air lifts it by up to 0.1 degrees from 10 degrees on (Rec. ITU-R P.834)
    lifted = record["axes"]["elevation"]["computed_deg"] - elevation
    if elevation > 10.0 and not -1e-3 < lifted < 0.1:
        wrong.append(f"elevation is lifted by {lifted}")
    if target["polarisation"] != "circular":
        # the textbook's skew: within 0.66 degrees of the exact one
        simple = math.degrees(math.atan2(math.sin(lon - far), math.tan(lat)))
        offset = float(log.set("target", "skew_offset", "0"))
        skew = record["axes"]["skew"]["computed_deg"]
        turn = (skew - simple - offset + 90.0) % 180.0 - 90.0
        if abs(turn) > 0.7:
            wrong.append(f"skew is computed as {skew}, the textbook has {simple + offset}")


def check_trend(log, story, record):
    trend = record["trend"]
    if not story.levels:
        expect("trend", trend["low"], [])
        return
    piece = 0.5
    while story.levels[-1][0] / piece >= 512:
        piece *= 2
    expect("piece", trend["piece_s"], piece)
    count = int(story.levels[-1][0] / piece) + 1
    low, high, filtered = [None] * count, [None] * count, [None] * count
    for t, value, level in story.levels:
        i = int(t / piece)
        low[i] = value if low[i] is None else min(low[i], value)
        high[i] = value if high[i] is None else max(high[i], value)
        filtered[i] = level
    for key, want in (("low", low), ("high", high), ("filtered", filtered)):
        expect(f"pieces of {key}", len(trend[key]), count)
        for i, (a, b) in enumerate(zip(trend[key], want)):
            expect(f"{key} of piece {i}", a, b, 2e-4)
    marks = [(mark["t"], mark["step"]) for mark in trend["marks"]]
    expect("marks", marks, story.marks[:64])


def check_lists(log, story, record):
    notes = [(n["t"], n["mark"], n["text"]) for n in record["notes"]]
    expect("notes", notes, story.notes[-64:])
    faults = [(f["t"], f["source"], f["status"]) for f in record["faults"]]
    expect("faults", faults, story.faults[-24:])
    expect("refused", record["refused"], sum(story.bad.values()))
    expect("receiver names", record["identity"]["receiver_names"],
           story.lock.get("id") if story.lock and story.lock["locked"] else None)


def check_pushed(log, fastening, until):
    """Where it surely stands off the top, the level fell further on that side."""
    held, levels = None, {}
    for r in log.records:
        if "advice" in r:
            held = (r["advice"].get("axis"), r["advice"]["move"], r["t"])
        elif "level" in r and held and fastening["t"] < r["t"] <= until and r["t"] > held[2] + 2.0:
            levels.setdefault(held[:2], []).append(r["level"]["value"])
    for axis in ("azimuth", "elevation"):
        off, error = fastening[axis + "_off_deg"], fastening[axis + "_off_error_deg"]
        pushed, pulled = levels.get((axis, "push")), levels.get((axis, "pull"))
        if (off is None) != (not pushed or not pulled):
            wrong.append(f"{axis} is said to stand off by {off}, and was pushed and pulled: {levels}")
        elif off is not None and abs(off) > 2.5 * error:
            fell = statistics.fmean(pushed) - statistics.fmean(pulled)
            if fell * off < 0.0:
                wrong.append(f"{axis} stands off by {off}, but pushed it is {fell} above pulled")


def check_bolts(log, story, record):
    said = [f for f in record["fastenings"] if not f["alarm"]]
    for i, fastening in enumerate(said):
        check_pushed(log, fastening, said[i + 1]["t"] if i + 1 < len(said) else math.inf)
    for fastening in said:
        if record["level"]["unit"].startswith("dB"):
            expect("loss", fastening["loss_db"], fastening["before"] - fastening["after"], 2e-4)
    if len(said) != 1 or len(story.fastened) != 1 or story.fastened[0][1].rounds != 1:
        return
    t, tighten = story.fastened[0]
    expect("fastened at", said[0]["t"], t)
    if len(tighten.after) < 5 or t > tighten.from_t + 12.0 + 2.0:
        wrong.append(f"the bolts were judged by {len(tighten.after)} readings, {t - tighten.from_t} s long")
    expect("level when tight", said[0]["after"], middle_half(tighten.after[-64:]))
    before = middle_half(tighten.before)
    # where more was lost between the peaking and the bolts, the peaked level counts
    peaked = [i for i, step in enumerate(log.steps) if step["do"] == "peak"
              and step.get("axis") != "skew" and story.ending[i] == "done"]
    limit = next(float(s.get("limit", 0.2)) for s in log.steps if s["do"] == "tighten")
    if peaked and record["level"]["unit"].startswith("dB"):
        top = record["axes"][log.steps[peaked[-1]]["axis"]]["lobe"]["level"]
        before = top if top - before > limit else before
        expect("level before the bolts", said[0]["before"], before)


def check_lobe(log, story, record, axis):
    lobe = record["axes"][axis]["lobe"]
    if lobe is None or axis == "skew":
        return
    levels = {round(value, 4) for _, value, _ in story.levels}
    if lobe["by"] == "passes":
        for x, level, _ in lobe["readings"]:
            if round(level, 4) not in levels:
                wrong.append(f"the {axis}'s lobe has a level of {level} that was never read")
    fit = lobe["fit"]
    if not fit or fit["from_equal_levels"] or not record["level"]["unit"].startswith("dB"):
        return
    # a parabola through the top 3 dB, both ways together: their shifts by the lag cancel
    centres, top = [], max(level for _, level, _ in lobe["readings"])
    for way in {reading[2] for reading in lobe["readings"]}:
        points = [(x, y) for x, y, w in lobe["readings"] if w == way and y > top - 3.0]
        curve = parabola(points)
        if curve:
            centres.append(curve)
    if centres and fit["width_deg"]:
        expect(axis + "'s centre", fit["centre_deg"], statistics.fmean(c for c, _ in centres),
               0.12 * fit["width_deg"])
        expect(axis + "'s top", fit["top_level"], statistics.fmean(y for _, y in centres), 0.6)
    if lobe["level"] is not None and lobe["below_top"] is not None:
        seen = abs(fit["top_level"] - lobe["level"] - lobe["below_top"])
        if seen > 1.0:  # the middle of a tilted lobe may stand above one cut's top
            wrong.append(f"{axis}: {lobe['below_top']} below the top does not fit its level")
        check_told(record, axis, lobe["below_top"])


def check_told(record, axis, below):
    """What the step said of the top, against the figure that is judged."""
    said = [step["result"] for step in record["steps"]
            if step["does"] == "peak" and step["axis"] == axis and step["ending"] == "done"]
    told = re.search(r"([\d.]+) dB (above|below) the fitted top", said[-1]) if said else None
    if told:
        sign = 1.0 if told[2] == "below" else -1.0
        expect(f"what is told of the {axis}'s top", sign * float(told[1]), below, 0.006)


def parabola(points):
    """Least squares: centre and top, or None."""
    if len(points) < 4:
        return None
    x0 = statistics.fmean(x for x, _ in points)
    s = [sum((x - x0) ** k for x, _ in points) for k in range(5)]
    r = [sum(y * (x - x0) ** k for x, y in points) for k in range(3)]
    m = [[s[4], s[3], s[2], r[2]], [s[3], s[2], s[1], r[1]], [s[2], s[1], s[0], r[0]]]
    for i in range(3):
        if abs(m[i][i]) < 1e-12:
            return None
        for j in range(3):
            if j != i:
                share = m[j][i] / m[i][i]
                m[j] = [a - share * b for a, b in zip(m[j], m[i])]
    a, b, c = (m[i][3] / m[i][i] for i in range(3))
    return (x0 - b / (2 * a), c - b * b / (4 * a)) if a < 0 else None


def check_isolation(log, story, record):
    said = record["isolation"]
    if "isolation" in story.told:
        expect("isolation by", said["origin"], "read")
        expect("isolation", said["db"], story.told["isolation"], 0.01)
    elif story.cross and story.final and record["level"]["unit"].startswith("dB"):
        expect("isolation by", said["origin"], "measured")
        expect("isolation", said["db"], story.final[0] - statistics.fmean(story.cross), 0.02)
    elif said["origin"] == "implied":
        own = log.number("antenna", "cross_polar") or 30.0
        error = math.radians(said["skew_error_deg"])
        expect("isolation", said["db"],
               -10 * math.log10(math.tan(error) ** 2 + 10 ** (-own / 10)), 0.05)
    expect("isolation wanted", said["wanted_db"], log.number("link", "isolation"))


def check_link(log, story, record, table):
    link = record["link"]
    quantity = log.set(log.meter, "quantity", "")
    known = story.final and story.unit == "dB" and quantity in ("C/N", "Es/N0", "SNR")
    expect("Es/N0", link["esn0_db"], story.final[0] if known else None)
    if not known or not table or log.set("link", "standard", "DVB-S2") != "DVB-S2":
        return
    margin = log.number("link", "margin") or 0.0
    holds = [(bits, name, threshold) for name, bits, threshold in table
             if threshold + margin <= story.final[0]]
    bits, name, threshold = max(holds) if holds else (None, None, None)
    expect("modulation", link["modulation"], name)
    rate = log.number("link", "symbol_rate")
    expect("throughput", link["expected_mbps"], bits * rate if bits and rate else None, 2e-3)
    if name and link["spare_db"] is not None:
        expect("spare", link["spare_db"], story.final[0] - margin - threshold, 1e-3)


def check_judgement(log, story, record):
    lines = record["judgement"]["lines"]
    for key, verdict in (("met", "met"), ("not_met", "not met"), ("not_measured", "not measured")):
        expect(key, record["judgement"][key], sum(x["verdict"] == verdict for x in lines))
    expect("lines", [x["what"] for x in lines if x["step"]], [s["name"] for s in log.steps])
    for line in lines:
        if line["step"] is None:
            continue
        i = line["step"] - 1
        step, ending = log.steps[i], story.ending[i]
        name, does = step["name"], step["do"]
        if ending in ("not come to", "cut off", "skipped", "to be done again"):
            want = "not met" if does in ("confirm", "fix", "record") else "not measured"
            expect(name + " judged", line["verdict"], want)
        elif does == "confirm":
            expect(name + " judged", line["verdict"], "met" if ending == "confirmed" else "not met")
        elif does == "measure" and record["level"]["unit"].startswith("dB") and story.final:
            limit = next((float(s.get("limit", 0.2)) for s in log.steps if s["do"] == "tighten"), 0.2)
            below = story.best - story.final[0]
            expect(name + " limit", line["asked_value"], limit)
            expect(name + " found", line["found_value"], below)
            expect(name + " judged", line["verdict"],
                   "met" if below <= limit + 2 * story.final[1] else "not met")
        elif line["found_value"] is not None:
            # the limit, and twice the error that stands behind the sign
            error = float(line["found"].split("\u00b1 ")[1].split()[0]) if "\u00b1" in line["found"] else 0
            slack = line["found_value"] - line["asked_value"] - 2 * error
            if abs(slack) > 0.015:
                expect(name + " judged", line["verdict"], "met" if slack <= 0 else "not met")


def main():
    log = Log(sys.argv[1])
    with open(sys.argv[2], encoding="utf-8") as file:
        record = json.load(file)
    table = []
    if len(sys.argv) > 3:
        with open(sys.argv[3], encoding="utf-8") as file:
            rows = csv.DictReader(line for line in file if not line.startswith("#"))
            table = [(f"{r['modulation']} {r['code_rate']}", float(r["spectral_efficiency"]),
                      float(r["ideal_esn0_db"])) for r in rows]
    story = Story(log)
    check_head(log, story, record)
    check_site(log, story, record)
    check_steps(log, story, record)
    check_level(log, story, record)
    check_angles(log, story, record)
    check_computed(log, story, record)
    check_trend(log, story, record)
    check_lists(log, story, record)
    check_bolts(log, story, record)
    for axis in AXES:
        check_lobe(log, story, record, axis)
    check_isolation(log, story, record)
    check_link(log, story, record, table)
    check_judgement(log, story, record)
    for line in wrong[:20]:
        print(line)
    sys.exit(len(wrong) > 0)


if __name__ == "__main__":
    main()
