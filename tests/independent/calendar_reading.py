#!/usr/bin/env python3
"""An independent reading of docs/formats/settings.md, the rules for what a timer's settings really run; used by ./check.

It was written from the rules alone, without sight of the program's own code, so that two readers who agree have
most likely both read the page right. It makes random settings and windows, works the runs out the slow and plain way,
asks the program the same question, and stops at the first answer that differs.

    python3 calendar_reading.py --count 400 --program build/lastreach --seed 1

Standard library only; the zones come from the system's own zone files. Exit code 0: all agree. 1: a disagreement (printed).
2: the program could not be run.

Everything below counts in whole minutes of real time since 1970-01-01T00:00Z ("instants"), so that lengths and gaps are
never confused by a clock change; a clock is only read where a day or a start time is named.
"""
import argparse
import concurrent.futures
import datetime as dt
import itertools
import json
import os
import random
import subprocess
import sys
import tempfile
import zoneinfo

UTC = dt.timezone.utc
EPOCH = dt.datetime(1970, 1, 1)
EPOCH_UTC = EPOCH.replace(tzinfo=UTC)
DAY = dt.timedelta(days=1)
MINUTE = dt.timedelta(minutes=1)
WEEKDAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


# ---------------------------------------------------------------- clocks

class Clock:
    """The local clock of a zone, and the clock of a device standing in it."""

    def __init__(self, zone, follows):
        self.zone = zoneinfo.ZoneInfo(zone)
        self.follows = follows
        self.winters = {}

    def local(self, instant):
        """The local date and time, with its offset, at an instant."""
        return (EPOCH_UTC + instant * MINUTE).astimezone(self.zone)

    def offset(self, instant):
        return self.local(instant).utcoffset() // MINUTE

    def standard(self, instant):
        """Minutes east of Greenwich of the zone's standard time: its winter clock, also where the data call summer the
        standard time and winter a negative saving."""
        here = self.local(instant)
        offset, saving = here.utcoffset() // MINUTE, here.dst() // MINUTE
        if saving > 0:
            return offset - saving
        if saving == 0:
            month = (instant // 43200, offset)
            if month not in self.winters:
                self.winters[month] = self.winter(instant, offset)
            return self.winters[month]
        return offset

    def winter(self, instant, offset):
        """The lower offset of the same year, where the data have one below this "standard" one."""
        for days in range(-360, 361, 10):
            there = instant + days * 1440
            saving = self.local(there).dst() // MINUTE
            if saving < 0 and self.offset(there) - saving == offset:
                return offset + saving
        return offset

    def wall(self, naive):
        """The instant at which the local clock first reads `naive`, or, where that reading is skipped, first reads past it."""
        early = naive.replace(tzinfo=self.zone, fold=0).astimezone(UTC)
        instant = (early.replace(tzinfo=None) - EPOCH) // MINUTE
        if self.local(instant).replace(tzinfo=None) == naive:
            return instant                             # fold 0 is the first of two equal readings
        late = naive.replace(tzinfo=self.zone, fold=1).astimezone(UTC)
        low = (late.replace(tzinfo=None) - EPOCH) // MINUTE  # before the change
        after = self.offset(instant)
        while instant - low > 1:                       # halve down to the minute of the change
            middle = (low + instant) // 2
            if self.offset(middle) == after:
                instant = middle
            else:
                low = middle
        return instant

    def device(self, naive):
        """The instant of a start keyed as `naive` on the device's own clock."""
        if self.follows:
            return self.wall(naive)
        plain = (naive - EPOCH) // MINUTE
        return plain - self.standard(plain - self.standard(plain))


# ---------------------------------------------------------------- settings to starts

def effective_minutes(settings, keyed):
    controller = settings["controller"]
    step = controller["minutes_step"]
    hundredths = keyed * settings["percent"]           # minutes x 100, exact
    rounded = (2 * hundredths + 100 * step) // (200 * step) * step     # half up
    return min(max(rounded, controller["minutes_min"]), controller["minutes_max"])


def is_day(settings, days, date, unknown_first):
    """Whether a programme runs on a date of the device's clock."""
    if isinstance(days, list):
        return WEEKDAYS[date.weekday()] in days
    if days == "odd":
        return date.day % 2 == 1 and not (date.day == 31 and settings["controller"]["odd_skips_31st"])
    if days == "even":
        return date.day % 2 == 0
    first = dt.date.fromisoformat(days["from"]) if "from" in days else unknown_first
    return date >= first and (date - first).days % days["every"] == 0


class Starts:
    """The starts of one settings file, in the order they are handled; instants are worked out once for all phases."""

    def __init__(self, settings, clock, first_day):
        self.settings, self.clock, self.first_day = settings, clock, first_day
        self.known = {}

    def between(self, last_day, phases):
        """Every start on clock-days first_day..last_day as (instant, programme, place in its list, minutes).
        `phases` gives, for each programme without a known first day, the days from first_day to its first."""
        found = []
        if self.settings["state"] == "off":
            return found
        for number, programme in enumerate(self.settings["programmes"]):
            minutes = effective_minutes(self.settings, programme["minutes"])
            unknown_first = self.first_day + phases.get(number, 0) * DAY
            date = self.first_day
            while date <= last_day:
                if is_day(self.settings, programme["days"], date, unknown_first):
                    for place, instant in enumerate(self.instants(number, date)):
                        found.append((instant, number + 1, place, minutes))
                date += DAY
        found.sort()
        return found

    def instants(self, number, date):
        key = (number, date)
        if key not in self.known:
            self.known[key] = [self.clock.device(dt.datetime.combine(date, dt.time.fromisoformat(text)))
                               for text in self.settings["programmes"][number]["starts"]]
        return self.known[key]


# ---------------------------------------------------------------- starts to runs

def runs_of(starts, overlap):
    """Every run as [begin, end, programme], from starts in the order they are handled."""
    runs = []
    for instant, programme, _, minutes in starts:
        on = bool(runs) and instant < runs[-1][1]
        if not on:
            runs.append([instant, instant + minutes, programme])
        elif overlap in ("queue", "unknown"):
            runs.append([runs[-1][1], runs[-1][1] + minutes, programme])
        elif overlap == "merge":
            runs[-1][1] = max(runs[-1][1], instant + minutes)
        elif overlap == "restart":
            runs[-1][1] = instant
            if runs[-1][0] == runs[-1][1]:
                runs.pop()                             # cut to nothing
            runs.append([instant, instant + minutes, programme])
        # drop: lost
    return runs


def twelve_months_on(date):
    try:
        return date.replace(year=date.year + 1)
    except ValueError:                                 # 29 February: to the 28th, as calendars do
        return dt.date(date.year + 1, 2, 28)


def longest_gap(runs):
    """In minutes, between the runs listed; None with fewer than two."""
    return max((b[0] - a[1] for a, b in zip(runs, runs[1:])), default=None)


class Question:
    """One settings file, one window, one zone."""

    def __init__(self, settings, first, last, zone):
        self.settings, self.first, self.last, self.zone = settings, first, last, zone
        self.clock = Clock(zone, settings["controller"]["follows_clock_change"])
        self.starts = Starts(settings, self.clock, first - 2 * DAY)
        self.unknown = [(number, programme["days"]["every"]) for number, programme in enumerate(settings["programmes"])
                        if isinstance(programme["days"], dict) and "from" not in programme["days"]]

    def phases(self):
        """Every combination of unknown phases (one, empty, when all are known)."""
        for days in itertools.product(*[range(every) for _, every in self.unknown]):
            yield dict(zip([number for number, _ in self.unknown], days))

    def runs(self, phases, last):
        """The runs that start from the window's first 00:00 to `last` 00:00, end left out."""
        begin = self.clock.wall(dt.datetime.combine(self.first, dt.time()))
        end = self.clock.wall(dt.datetime.combine(last, dt.time()))
        beyond = 3                                     # later starts may cut or lengthen a run that began inside
        while True:
            runs = runs_of(self.starts.between(last + beyond * DAY, phases), self.settings["controller"]["overlap"])
            inside = [run for run in runs if begin <= run[0] < end]
            settled = self.clock.device(dt.datetime.combine(last + beyond * DAY, dt.time()))
            if self.settings["controller"]["overlap"] != "merge" or not inside or inside[-1][1] < settled:
                return inside
            if beyond > 100:
                raise OverflowError("a run that never ends")
            beyond *= 2

    def shown(self, runs):
        return [{"start": self.clock.local(begin).isoformat(), "minutes": end - begin, "programme": programme}
                for begin, end, programme in runs]

    def differs(self, answer):
        """What is wrong with the program's answer, or None."""
        listed = [{key: run[key] for key in ("start", "minutes", "programme")} for run in answer["runs"]]
        gap = answer["longest_gap_h"]
        candidates = [(phases, self.runs(phases, self.last)) for phases in self.phases()]
        gaps = [longest_gap(runs) for _, runs in candidates]
        worst = max((g for g in gaps if g is not None), default=None)
        if (gap is None) != (worst is None) or (gap is not None and abs(gap * 60 - worst) > 0.01):
            return "longest_gap_h %s, expected %s" % (gap, None if worst is None else worst / 60)
        # where phases are unknown, the runs listed must be those of one of the worst phases
        matching = [phases for (phases, runs), g in zip(candidates, gaps) if g == worst and self.shown(runs) == listed]
        if not matching:
            if self.unknown:
                return "the runs listed are of no phase that has the longest gap"
            wanted = self.shown(candidates[0][1])
            for i in range(max(len(wanted), len(listed))):
                a, b = (wanted[i:i + 1] or [None])[0], (listed[i:i + 1] or [None])[0]
                if a != b:
                    return "run %d of %d is %s, expected %s (of %d)" % (i + 1, len(listed), b, a, len(wanted))
        years = {len(self.runs(phases, twelve_months_on(self.first))) for phases in matching[:4]}
        if len(matching) <= 4 and answer["runs_per_year"] not in years:
            return "runs_per_year %s, expected %s" % (answer["runs_per_year"], sorted(years))
        if self.settings["controller"]["overlap"] == "unknown" and self.settings["state"] == "on" and not answer["warnings"]:
            begin = candidates[0][1]
            if any(a[1] == b[0] for a, b in zip(begin, begin[1:])):
                return "the overlap is unknown and matters, and there is no warning"
        return None


# ---------------------------------------------------------------- random questions

ZONES = ["America/Chicago", "Europe/Berlin", "Australia/Sydney", "Australia/Lord_Howe", "Pacific/Chatham", "America/Havana",
         "America/Sao_Paulo", "Asia/Kolkata", "Africa/Cairo", "America/St_Johns", "Pacific/Auckland", "Asia/Gaza",
         "Europe/London", "America/Santiago", "UTC"]


def clock_changes(zone, year):
    """The dates in a year on which the zone's offset changes."""
    tz = zoneinfo.ZoneInfo(zone)
    noon = [dt.datetime(year, 1, 1, 12, tzinfo=UTC) + i * DAY for i in range(365)]
    return [b.date() for a, b in zip(noon, noon[1:]) if a.astimezone(tz).utcoffset() != b.astimezone(tz).utcoffset()]


def random_start(rng, step, near):
    minute = rng.choice([
        lambda: rng.randrange(1440),
        lambda: rng.randrange(0, 240),                 # where clocks change
        lambda: rng.choice([0, 1380, 1410, 1435, 60, 120, 180, 30, 150]),
        lambda: (near + rng.randrange(-120, 121)) % 1440])()
    minute -= minute % step
    return "%02d:%02d" % (minute // 60, minute % 60)


def random_days(rng, first, every_max, room):
    kind = rng.choice(["weekdays", "weekdays", "weekdays", "odd", "odd", "even", "from", "from", "unknown"])
    if kind == "weekdays":
        return rng.choice([WEEKDAYS[:], rng.sample(WEEKDAYS, rng.randint(1, 7))]), 1
    if kind in ("odd", "even"):
        return kind, 1
    every = rng.choice([1, 2, 3, 5, 7, rng.randint(1, every_max)])
    every = min(every, every_max)
    if kind == "unknown" and every <= room:
        return {"every": every}, every
    return {"every": every, "from": (first + rng.randint(-500, 60) * DAY).isoformat()}, 1


def random_case(seed):
    rng = random.Random(seed)
    zone, year = rng.choice(ZONES), rng.choice([rng.randint(1990, 2036), rng.randint(1990, 2099)])
    changes = clock_changes(zone, year)
    first = dt.date(year, 1, 1) + rng.randrange(365) * DAY
    if changes and rng.random() < 0.75:
        first = rng.choice(changes) + rng.randint(-4, 2) * DAY
    if rng.random() < 0.04:
        first = dt.date(year - year % 4, 2, 28) + rng.randint(-1, 1) * DAY
    last = first + rng.choice([1, 2, 3, rng.randint(1, 10), rng.randint(1, 60), rng.randint(1, 400)]) * DAY
    start_step, minutes_step, percent_step = rng.choice([1, 1, 5, 10, 15]), rng.choice([1, 1, 1, 2, 5, 10]), rng.choice([1, 5, 10])
    minutes_min = minutes_step * rng.randint(1, 3)
    minutes_max = minutes_min + minutes_step * rng.choice([10, 59, 120, 360])
    minutes_max = min(minutes_max, 1440 - 1440 % minutes_step)
    heavy = rng.random() < 0.1                         # more minutes than the day has: a queue that never empties
    programmes, starts_per = rng.randint(1, 4), rng.randint(1, 6)
    every_max, room, near = rng.choice([7, 14, 30]), 40, rng.randrange(1440)
    settings = {
        "controller": {
            "programmes": programmes, "starts_per_programme": starts_per, "start_step_minutes": start_step,
            "minutes_min": minutes_min, "minutes_max": minutes_max, "minutes_step": minutes_step,
            "percent_min": 10, "percent_max": 200, "percent_step": percent_step, "percent_scope": "all",
            "day_patterns": ["weekdays", "odd", "even", "every-n"], "odd_skips_31st": rng.random() < 0.5,
            "every_n_max": every_max, "follows_clock_change": rng.random() < 0.5,
            "overlap": rng.choice(["queue", "merge", "drop", "restart", "unknown"])},
        "state": "off" if rng.random() < 0.02 else "on",
        "percent": rng.choice([100, rng.randrange(10, 201, percent_step)]),
        "programmes": []}
    for _ in range(rng.randint(1, programmes)):
        days, used = random_days(rng, first, every_max, room)
        room //= used
        top = rng.choice([minutes_max, min(minutes_max, 60)])
        minutes = minutes_max if heavy else rng.randrange(minutes_min, max(top, minutes_min) + 1, minutes_step)
        starts = []
        for _ in range(rng.randint(1, starts_per)):
            start = random_start(rng, start_step, near)
            if start not in starts:
                starts.append(start)
        if rng.random() < 0.25:                        # a start just as a run ends, and one just before and just after
            hours, minute = starts[0].split(":")
            touch = int(hours) * 60 + int(minute) + effective_minutes(settings, minutes) + rng.choice([0, 0, -start_step, start_step])
            touch = touch % 1440 - touch % 1440 % start_step
            starts[-1] = "%02d:%02d" % (touch // 60, touch % 60)
        settings["programmes"].append({"starts": starts, "minutes": minutes, "days": days})
    return settings, first, last, zone


def ask(program, settings, first, last, zone):
    handle, path = tempfile.mkstemp(suffix=".json")
    try:
        with os.fdopen(handle, "w") as out:
            json.dump(settings, out)
        done = subprocess.run([program, "calendar", path, "--from", first.isoformat(), "--to", last.isoformat(), "--zone", zone,
                               "--json"], capture_output=True, text=True)
    finally:
        os.remove(path)
    return done.returncode, done.stdout, done.stderr


def check_one(program, seed):
    """None when the program agrees on the case of this seed; "endless" when it has no answer; else what differs."""
    settings, first, last, zone = random_case(seed)
    code, out, err = ask(program, settings, first, last, zone)
    if code != 0 or err:
        difference = "exit code %d: %s" % (code, err.strip())
    else:
        try:
            difference = Question(settings, first, last, zone).differs(json.loads(out))
        except OverflowError:
            return "endless"
        except (ValueError, KeyError, TypeError) as wrong:
            difference = "the answer cannot be read: %r" % wrong
    if difference is None:
        return None
    return "case %s: %s\n  --from %s --to %s --zone %s\n%s" % (seed, difference, first, last, zone, json.dumps(settings))


def main():
    parser = argparse.ArgumentParser(description="Compare the program's calendar with an independent reading of its rules.")
    parser.add_argument("--count", type=int, default=400)
    parser.add_argument("--program", default="build/lastreach")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep-going", action="store_true", help="print every disagreement, not only the first")
    arguments = parser.parse_args()
    if not os.access(arguments.program, os.X_OK):
        print("cannot run %s" % arguments.program, file=sys.stderr)
        return 2
    agreed = endless = differed = 0
    with concurrent.futures.ProcessPoolExecutor(2) as pool:
        seeds = ["%d/%d" % (arguments.seed, i) for i in range(arguments.count)]
        for difference in pool.map(check_one, itertools.repeat(arguments.program), seeds, chunksize=4):
            if difference is None:
                agreed += 1
            elif difference == "endless":
                endless += 1
            else:
                differed += 1
                print(difference, flush=True)
                if not arguments.keep_going:
                    pool.shutdown(cancel_futures=True)
                    return 1
    print("%d cases agree, %d differ, %d have a run without end and were passed over" % (agreed, differed, endless))
    return 1 if differed else 0


if __name__ == "__main__":
    sys.exit(main())
