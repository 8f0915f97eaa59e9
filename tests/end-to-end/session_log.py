"""What a session's log says, by another hand: its lines, the level filter, and what happened.

Python's standard library only, and nothing of the program; see recompute.py.
"""
import json
import math
import statistics

AXES = ("azimuth", "elevation", "skew")


# --- the log ----------------------------------------------------------------------------------


class Log:
    def __init__(self, path):
        with open(path, "rb") as file:
            self.bytes = file.read()
        whole = self.bytes[: self.bytes.rfind(b"\n") + 1].decode().split("\n")
        lines = [json.loads(line) for line in whole if line]
        self.header, self.records = lines[0], lines[1:]
        self.settings = {(section, key): value for section, key, value in self.header["job"]}
        self.meter = next((s for s, _, _ in self.header["job"] if s.startswith("meter ")), "")
        self.steps = []
        for section, key, value in self.header["procedure"]["steps"]:
            name = section[len("step "):]
            if not self.steps or self.steps[-1]["name"] != name:
                self.steps.append({"name": name})
            step = self.steps[-1]
            step[key] = (step[key] + " " + value) if key == "text" and "text" in step else value

    def set(self, section, key, default=None):
        return self.settings.get((section, key), default)

    def number(self, section, key):
        value = self.set(section, key)
        return None if value is None else float(value)


# --- the level filter, by its definition in docs/handover.md -----------------------------------


class Filter:
    WINDOW = 32

    def __init__(self, noise):
        self.given, self.t, self.v = noise, [], []
        self.level = self.error = None

    def noise(self):
        if self.given is not None:
            return self.given
        v = self.v[::-1]  # the newest first
        steps = [abs(a - b) for a, b in zip(v, v[1:]) if a != b]
        runs, run = [], 1
        for a, b in zip(v, v[1:]):
            if a == b:
                run += 1
            else:
                runs.append(run)
                run = 1
        times = min(runs[1:]) if len(runs) >= 4 else 1
        new = [x for i, x in enumerate(v) if times == 1 or i == 0 or x != v[i - 1]]
        if len(v) < 8 or len(new) < 3 or not steps:
            return None
        second = [a - 2 * b + c for a, b, c in zip(new, new[1:], new[2:])]
        spread = 1.4826 * statistics.median(abs(x) for x in second)
        return max(spread / math.sqrt(6), min(steps) / math.sqrt(12))

    def calm(self, back, noise):
        v = self.v[::-1]
        if len(v) < 3:
            return v[back]
        first = min(max(back - 1, 0), len(v) - 3)
        middle = statistics.median(v[first: first + 3])
        return middle if noise is None or abs(v[back] - middle) > 4 * noise else v[back]

    def push(self, t, value):
        if self.t and t - self.t[-1] > 4:
            self.t, self.v = [], []
        self.t = (self.t + [t])[-self.WINDOW:]
        self.v = (self.v + [value])[-self.WINDOW:]
        noise = self.noise()
        self.error = None
        if noise is None or len(self.v) < 3:
            self.level = self.calm(0, None)
            self.used = 3 if len(self.v) >= 3 else 1
            return
        total, low, high = 0.0, -math.inf, math.inf
        for n in range(1, len(self.v) + 1):
            total += self.calm(n - 1, noise)
            if n < 3:
                continue
            error = noise / math.sqrt(n)
            low, high = max(low, total / n - 2 * error), min(high, total / n + 2 * error)
            if n > 3 and low > high:
                break
            self.level, self.error, self.used = total / n, error, n

    def sure(self):
        return min(self.v[-3:] + [self.level]) if self.error is None else self.level - 2 * self.error


# --- what happened ------------------------------------------------------------------------------


def middle_half(values):
    values = sorted(values)
    cut = len(values) // 4
    return statistics.fmean(values[cut: len(values) - cut])


def wrap(deg):
    return (deg + 180.0) % 360.0 - 180.0


class Story:
    """One walk over the records, as the operator lived them."""

    def __init__(self, log):
        self.log = log
        count = len(log.steps)
        self.ending = ["not come to"] * count
        self.began, self.ended, self.utc = [None] * count, [None] * count, [None] * count
        self.result, self.visits = [None] * count, [0] * count
        self.offset = self.first_offset = None
        self.marks, self.notes, self.faults, self.levels = [], [], [], []
        self.bad, self.fixes, self.fix, self.told = {}, 0, None, {}
        self.final = self.best = self.best_t = self.peaked = None
        self.reading, self.tighten, self.fastened = None, None, []
        self.at = self.left = None
        self.said = None
        self.lock = None
        self.advice, self.still, self.free = None, 0.0, -math.inf
        noise = log.number(log.meter, "noise")
        self.filter, self.unit = Filter(noise), None
        self.angles = {axis: None for axis in AXES}
        self.stood = {axis: [] for axis in AXES}
        self.cross = []
        for record in log.records:
            self.t = record["t"]
            if self.hand_is_on(record):
                self.still = self.t
            for kind, body in record.items():
                if kind != "t":
                    getattr(self, "take_" + kind, lambda body: None)(body)

    def hand_is_on(self, record):
        """Somebody was told to turn something till now, or has just said what was turned."""
        told = "move" in record or record.get("angles", {}).get("scale", False)
        return told or self.advice is None or self.advice.get("until") in ("arrived", "answer") or (
            self.advice["move"] not in ("hold", "wait", "tighten", "confirm", "done"))

    def take_advice(self, body):
        self.advice = body
        if body["move"] in ("push", "pull"):
            self.free = math.inf
        elif self.free == math.inf:
            self.free = self.t + 1.0 + 3 * self.lag_s()

    def take_utc(self, body):
        self.offset = body["unix_s"] - self.t
        if self.first_offset is None:
            self.first_offset = self.offset

    def take_fix(self, body):
        if body["mode"] >= 2:
            self.fix, self.fix_t = body, self.t
            self.fixes += 1

    def take_lock(self, body):
        self.lock = body

    def take_aux(self, body):
        self.told[body["name"]] = body["value"]
        if body["name"] == "cross" and self.reading is not None:
            self.cross.append(body["value"])

    def is_score(self, text):
        return text.startswith("score: ") or text.startswith("quiz: ")

    def take_note(self, body, mark=False):
        if mark or not self.is_score(body["text"]):
            self.notes.append((self.t, mark, body["text"]))

    def take_mark(self, body):
        self.take_note(body, True)

    def take_source(self, body):
        self.bad[body["name"]] = body["bad"]
        if body["status"] != "up":
            self.faults.append((self.t, body["name"], body["status"]))

    def take_angles(self, body):
        for axis in AXES:
            if axis in body:
                self.angles[axis] = (self.t, body[axis], body.get("scale", False),
                                     body.get("magnetic", False))
                if self.reading is not None:
                    self.stood[axis].append(body[axis])

    def take_level(self, body):
        if self.unit not in (None, body["unit"]):
            self.filter, self.best = Filter(self.filter.given), None
        self.unit = body["unit"]
        self.filter.push(self.t, body["value"])
        self.levels.append((self.t, body["value"], self.filter.level))
        sure = self.filter.sure()
        bent = self.filter.t[-self.filter.used] < self.free
        if not bent and (self.best is None or sure > self.best):
            self.best, self.best_t = sure, self.t
        if self.reading is not None and self.t >= self.reading["from"]:
            self.reading["levels"].append(body["value"])
        if self.tighten:
            self.tighten.hear(self.t, body["value"])

    # the steps

    def lag_s(self):
        lag = self.log.number(self.log.meter, "lag")
        return 0.8 if lag is None else lag

    def take_step(self, body):
        event = body["event"]
        if event == "enter":
            self.enter(body["number"] - 1)
        elif event == "leave":
            self.leave(body["number"] - 1, body.get("result"))
        else:
            self.said = (event, self.t)
            if event == "done" and self.tighten:
                self.tighten.done(self.t)

    def enter(self, i):
        if self.left is not None and self.left > i and self.ending[self.left] == "done":
            self.ending[self.left] = "gone back from"
        for j in range(i + 1, len(self.ending)):
            if self.ending[j] not in ("not come to", "gone back from"):
                self.ending[j] = "to be done again"
        self.ending[i], self.began[i], self.ended[i] = "cut off", self.t, None
        self.utc[i] = self.result[i] = None
        self.visits[i] += 1
        self.marks.append((self.t, i + 1))
        does = self.log.steps[i]["do"]
        if does == "sweep":
            self.best = self.best_t = None
        if does in ("set", "peak", "null", "tighten", "measure"):
            self.final = None
        if does == "measure":
            self.reading = {"from": self.t + 3 * self.lag_s(), "levels": []}
            self.stood, self.cross = {axis: [] for axis in AXES}, []
        if does == "tighten":
            self.tighten = Tighten(max(self.t, self.still + 3 * self.lag_s()), self.lag_s())

    def leave(self, i, result):
        does = self.log.steps[i]["do"]
        said = self.said[0] if self.said and self.said[1] == self.t else None
        self.said = None
        self.ending[i] = {"skip": "skipped", "back": "gone back from",
                          "repeat": "gone back from"}.get(said, "done")
        if said == "done" and does == "confirm":
            self.ending[i] = "confirmed"
        elif said == "done" and does not in ("tighten", "measure"):
            self.ending[i] = "by word"
        self.ended[i], self.result[i], self.left = self.t, result, i
        self.utc[i] = None if self.offset is None else self.t + self.offset
        if does == "sweep":
            self.best = self.best_t = None
        if does == "measure":
            if said is None and self.reading["levels"]:
                levels = self.reading["levels"][-64:]
                mean = middle_half(levels)
                squares = sum((x - mean) ** 2 for x in levels)
                n = len(levels)
                self.final = (mean, math.sqrt(squares / (n - 1) / n) if n > 1 else None, self.t, n)
            self.reading = None
        if does == "tighten" and self.tighten:
            if self.tighten.after:
                self.fastened.append((self.t, self.tighten))
            self.tighten = None

    def date(self, t, utc):
        if utc is None and t is not None and self.first_offset is not None:
            return t + self.first_offset
        return utc


class Tighten:
    """The level before the bolts: 20 readings, or 5 s of them. After them as many, and on until the
    step is left where the loss lies near the limit."""

    def __init__(self, from_t, lag_s):
        self.lag_s = lag_s
        self.before, self.after, self.rounds = [], [], 0
        self.readings, self.from_t = self.before, from_t

    def hear(self, t, value):
        if self.readings is None or t < self.from_t:
            return
        self.readings.append(value)
        enough = len(self.readings) >= 20 or (len(self.readings) >= 5 and t >= self.from_t + 5)
        if enough and self.readings is self.before:
            self.readings = None

    def done(self, t):
        if self.readings is not self.before:
            self.rounds += 1
            self.after = self.readings = []
            self.from_t = t + 3 * self.lag_s
