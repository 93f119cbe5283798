#!/usr/bin/env python3
"""Reads the results that a project keeps with nothing but SQL and struct, and holds them against what is printed.

docs/formats/project-file.md says how the numbers of a step are laid down; this reads them by that page alone, in the
order of fid, and compares each node's value at each hour with the program's own JSON.

    result_reading.py --program build/lastreach [--project town.gpkg]
"""
import argparse
import json
import math
import sqlite3
import struct
import subprocess
import sys
import tempfile

HOURS = 24
FACTS = {"age": ("nodes", "h"), "chlorine": ("nodes", "mg/L"), "pressure": ("nodes", "m"), "flow": ("links", "m3/s")}


def steps_of(data, kind):
    of, unit = FACTS[kind]
    rows = data.execute('SELECT id, unit FROM network_results WHERE kind = ? AND "of" = ?', (kind, of)).fetchall()
    assert len(rows) == 1 and rows[0][1] == unit, (kind, rows)
    ids = [row[0] for row in data.execute(f"SELECT id FROM network_{of} ORDER BY fid")]
    told = {}
    for hour, blob in data.execute(
            "SELECT hour, numbers FROM network_result_steps WHERE result = ? ORDER BY step", (rows[0][0],)):
        numbers = struct.unpack(f"<{len(blob) // 4}f", blob)
        assert len(numbers) == len(ids), (kind, hour)
        told[hour] = dict(zip(ids, numbers))
    assert list(told) == list(range(HOURS + 1)), kind
    return told


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    arguments.add_argument("--project", help="a project with a network; without it the invented town is made")
    given = arguments.parse_args()
    faults = []
    compared = 0
    with tempfile.TemporaryDirectory() as folder:
        project = given.project
        if not project:
            subprocess.run([given.program, "demo", folder], check=True, stdout=subprocess.DEVNULL)
            project = folder + "/town.gpkg"
            subprocess.run([given.program, "map", project], check=True, stdout=subprocess.DEVNULL)
        said = json.loads(subprocess.run(
            [given.program, "simulate", project, "--hours", str(HOURS), "--track", "chlorine", "--keep", "--json"],
            check=True, capture_output=True).stdout)
        data = sqlite3.connect(f"file:{project}?mode=ro", uri=True)
        kept = steps_of(data, "chlorine")
        for name, values in said["nodes"].items():
            for hour, value in zip(said["times_h"], values):
                if name not in kept[hour] or value is None:
                    continue
                compared += 1
                if abs(kept[hour][name] - value) > 1e-6 * (1 + abs(value)):
                    faults.append(f"{name} at hour {hour:g}: {kept[hour][name]} kept, {value} told")
        ages = steps_of(data, "age")
        if any(number < 0 for step in ages.values() for number in step.values()):
            faults.append("an age below 0 is kept")
        lowest = said["summary"]["lowest_pressure"]["pressure_m"]
        kept_lowest = min(number for step in steps_of(data, "pressure").values()
                          for number in step.values() if not math.isnan(number))
        if kept_lowest < 0 or kept_lowest > lowest + 60:
            faults.append(f"pressures are kept from {kept_lowest} m, told from {lowest} m")
        if not any(abs(number) > 1e-3 for number in steps_of(data, "flow")[0].values()):
            faults.append("no flow is kept")
    if compared < 10000:
        faults.append(f"only {compared} values could be compared")
    print("\n".join(faults[:10]) if faults else f"{compared} values read by SQL alone are those told")
    sys.exit(1 if faults else 0)


main()
