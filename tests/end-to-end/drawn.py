#!/usr/bin/env python3
"""Drawn pages against the JSON of the same logs: drawn.py PEAKWARD LOG...

Every figure of the JSON that a page shows stands there, in its place: the texts of an SVG's
description come in the order in which they are drawn. What stands on the SVG stands in the PDF.
"""
import json
import math
import os
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as tree

SIGNS = {"dB": "dB", "dBm": "dBm", "dBuV": "dBµV", "percent": "%", "V": "V", "raw": ""}
AXES = ("azimuth", "elevation", "skew")


# what is typed in beside every log
SPEED = ("--download", "42.5", "--upload", "5.34")


def report(peakward, log, output):
    subprocess.run([peakward, "report", log, "-o", output, *SPEED], check=True)


def texts_of(svg):
    root = tree.parse(svg).getroot()
    return root.find("{http://www.w3.org/2000/svg}desc").text.split("\n")


class Page:
    def __init__(self, name, texts):
        self.name, self.texts, self.at, self.wrong = name, texts, 0, []

    def expect(self, good, what):
        if not good:
            near = " | ".join(self.texts[max(self.at - 2, 0):self.at + 6])
            self.wrong.append(f"{self.name}: {what}; near: {near}")

    def go_to(self, text):
        """The text behind the next one that is this."""
        try:
            self.at = self.texts.index(text, self.at) + 1
        except ValueError:
            self.expect(False, f"no {text!r}")

    def next(self):
        self.at += 1
        return self.texts[self.at - 1] if self.at <= len(self.texts) else ""

    def next_is(self, want):
        got = self.next()
        self.expect(got == want, f"{got!r} is not {want!r}")

    def next_number(self, want, decimals, sign):
        """A number rounded to decimals with a sign behind it; "-" where the JSON has null."""
        self.number(self.next(), want, decimals, sign)

    def number(self, got, want, decimals, sign):
        if want is None:
            self.expect(got == "-", f"{got!r} where nothing is known")
            return
        match = re.fullmatch(r"([-+]?\d+\.\d{%d}) ?%s" % (decimals, re.escape(sign)), got)
        # the JSON is rounded to four decimals itself
        near = match and abs(float(match[1]) - want) <= 0.5 * 10 ** -decimals + 1e-4
        self.expect(near, f"{got!r} is not {want} {sign}")


def turn(of, to, period):
    return (to - of + period / 2) % period - period / 2


def check_judgement(page, record):
    judgement = record["judgement"]
    page.go_to(f"{judgement['met']} met, {judgement['not_met']} not met, "
               f"{judgement['not_measured']} not measured")
    page.go_to("Judgement")
    for line in judgement["lines"]:
        page.go_to(line["verdict"])
        if line["step"] is not None:
            page.next_is(str(line["step"]))
        page.next_is(line["what"])
        page.next_is(line["asked"])
        if line["found"] is not None:
            page.next_is(line["found"])


def check_angles(page, record):
    page.go_to("Angles")
    for axis in AXES:
        one = record["axes"][axis]
        page.go_to(axis)
        page.next_number(one["computed_deg"], 2, "°")
        page.next_number(one["found_deg"], 2, "°")
        if one["computed_deg"] is None or one["found_deg"] is None:
            page.next_is("-")
        else:
            # of rounded figures: off by as much as two roundings
            apart = turn(one["computed_deg"], one["found_deg"], 180 if axis == "skew" else 360)
            got = page.next()
            page.expect(abs(float(got.rstrip("°")) - apart) <= 0.0102, f"{got!r} is not {apart}")
        if one["found_deg"] is None:
            page.expect(page.next() in ("not measured", "circular: none"), "looks measured")
    page.expect((record["azimuth_bias_deg"] is None) ==
                any("mount's azimuth: not measured" in text for text in page.texts), "bias")


def check_level(page, record):
    level = record["level"]
    unit = SIGNS[level["unit"]]
    decimals = {"percent": 1, "V": 3}.get(level["unit"], 2)
    page.go_to("Final")
    final = page.next()
    if level["measured"]:
        page.number(final.split(" ±")[0], level["final"], decimals, unit)
        page.number(final.split("± ")[1].split(",")[0], level["final_error"], 2, "")
        page.expect(final.endswith(f", {level['final_readings']} readings"), "readings")
    else:
        page.expect(final.startswith("not measured"), "a final level that is none")
    page.go_to("Best")
    best = page.next()
    if level["best"] is None:
        page.expect(best == "not measured", "a best level that is none")
    else:
        page.number(best.split(";")[0], level["best"], decimals, unit)
    page.go_to("Expected")
    expected = page.next()
    if level["expected"] is None:
        page.expect(expected == "not given", "an expected level that is none")
    else:
        page.number(expected.split(";")[0], level["expected"], decimals, unit)
    page.go_to("Isolation")
    isolation = page.next()
    if record["isolation"]["db"] is None:
        page.expect(isolation.startswith("not measured"), "an isolation that is none")
    else:
        page.number(isolation.split(",")[0], record["isolation"]["db"], 1, "dB")
        page.expect(record["isolation"]["origin"] in isolation, "where the isolation comes from")


def check_link(page, record):
    link, speed = record["link"], record["speed_test"]
    page.go_to("Link")
    text = page.next()
    if link["esn0_db"] is None:
        page.expect(text.startswith("not known"), "a signal that is none")
    else:
        match = re.match(r"Es/N0 (-?\d+\.\d) dB, " + link["origin"], text)
        page.expect(match and abs(float(match[1]) - link["esn0_db"]) <= 0.0501, "Es/N0")
        page.expect(link["modulation"] is None or link["modulation"] in text, "the modulation")
    page.go_to("Speed test")
    text = page.next()
    page.expect(text.startswith(f"down {speed['down_mbps']:.1f} Mbit/s, up "
                                f"{speed['up_mbps']:.1f} Mbit/s"), f"the speed: {text!r}")


def wrapped(axis, lobe, deg):
    return deg % 360 if axis == "azimuth" and lobe["true_angles"] else deg


def check_lobes(page, record):
    page.go_to("Lobes")
    for axis in AXES:
        one = record["axes"][axis]
        lobe = one["lobe"]
        page.at = next((i + 1 for i in range(page.at, len(page.texts))
                        if page.texts[i].split(",")[0] == axis.capitalize()), len(page.texts))
        if lobe is None or not lobe["readings"]:
            page.next_is("Not measured" + (f": {one['lobe_missing']}" if one["lobe_missing"] else ""))
            continue
        caption = page.next()
        while page.at < len(page.texts) and not caption.startswith(("Centre", "No top")):
            caption = page.next()
        fit = lobe["fit"]
        if fit is None:
            page.expect(caption.startswith("No top was fitted."), "a fit that is none")
            continue
        number = r"(-?\d+\.\d\d)°"
        match = re.match(f"Centre {number}(?: ± {number})?(?:, -3 dB width {number})?", caption)
        page.expect(match, f"no fit in {caption!r}")
        for got, want in zip(match.groups() if match else (),
                             (wrapped(axis, lobe, fit["centre_deg"]), fit["centre_error_deg"],
                              None if lobe["by"] == "null" else fit["width_deg"])):
            page.expect((got is None) == (want is None) and
                        (got is None or abs(float(got) - want) <= 0.0052), f"{got} is not {want}")
        if lobe["stands_deg"] is not None:
            match = re.search(f"Left at {number}", caption)
            page.expect(match and abs(float(match[1]) - wrapped(axis, lobe, lobe["stands_deg"]))
                        <= 0.0052, f"left elsewhere: {caption!r}")


def check_rest(page, record):
    text = "\n".join(page.texts)
    page.expect(f"SHA-256 {record['log']['sha256']}" in text, "the log's digest")
    page.expect(f"{record['log']['bytes']} bytes, {record['log']['records']} records" in text,
                "the log's size")
    if record["site"]["latitude_deg"] is not None:
        page.expect(f"{abs(record['site']['latitude_deg']):.5f}°" in text, "latitude")
        page.expect(f"{abs(record['site']['longitude_deg']):.5f}°" in text, "longitude")
    page.expect(("no antenna was pointed" in text) == (record["kind"] != "install"), "kind")
    for one in record["fastenings"]:
        loss = one["loss_db"]
        where = "above" if loss < 0 else "below"
        page.expect(any(abs(float(found) - abs(loss)) <= 0.0052 for found in re.findall(
            rf"round {one['round']}: .* (\d+\.\d\d) dB {where} that before", text))
                    or "more, see the log" in text, f"tightening, {loss}")
    for note in record["notes"]:
        if len(note["text"]) < 100 and note["text"].isascii() and note["text"].isprintable():
            page.expect(note["text"] in text or "more, see the log" in text, note["text"])
    page.expect(not re.search(r"\b(nan|inf)\b", text), "a number that is none")


def check_pdf(page, pdf):
    """Every word of the SVG but those whose letters DejaVu lacks or that run the other way."""
    out = subprocess.run(["pdftotext", "-raw", pdf, "-"], check=True, capture_output=True, text=True)
    got = re.sub(r"\s+", "", out.stdout)
    for text in page.texts:
        for word in text.split():
            page.expect(word in got or max(word) > "\u024f", f"{word!r} is not in the PDF")


def main():
    peakward, logs = sys.argv[1], sys.argv[2:]
    wrong = []
    with tempfile.TemporaryDirectory() as work:
        for log in logs:
            paths = {kind: os.path.join(work, "record." + kind) for kind in ("pdf", "svg", "json")}
            for path in paths.values():
                report(peakward, log, path)
            with open(paths["json"], encoding="utf-8") as file:
                record = json.load(file)
            page = Page(os.path.basename(log), texts_of(paths["svg"]))
            for check in (check_judgement, check_angles, check_level, check_link, check_lobes,
                          check_rest):
                check(page, record)
            check_pdf(page, paths["pdf"])
            wrong += page.wrong
    for line in wrong:
        print("FAILED:", line)
    print(f"{len(logs)} pages compared, {len(wrong)} differences")
    return 1 if wrong or not logs else 0


if __name__ == "__main__":
    sys.exit(main())
