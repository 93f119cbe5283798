#!/usr/bin/env python3
"""Counts the parts and ends of the invented town's network from the written layers alone, in another way.

The program joins lines by an index of segments and keeps nodes; here the ends of the pieces in the layer
`network_links` are put together by where they lie (to a centimetre), the repairs that the layer `repairs` calls made
are added, and parts and free ends are counted from that. Both must tell the same, and the program's list of dead ends
must be the free ends that no source, tank or pump stands at.

    map_counting.py --program build/lastreach [--project town.gpkg]
"""
import argparse
import json
import math
import subprocess
import sys
import tempfile

from osgeo import ogr

ogr.UseExceptions()
CENTIMETRE_DEG = 1e-7  # of latitude, near enough


class Union:
    def __init__(self):
        self.up = []

    def new(self):
        self.up.append(len(self.up))
        return len(self.up) - 1

    def root(self, i):
        while self.up[i] != i:
            i = self.up[i]
        return i

    def join(self, a, b):
        self.up[self.root(a)] = self.root(b)


class Places:
    """Points that are one if they lie within a centimetre."""

    def __init__(self):
        self.squares = {}
        self.at = []

    def find(self, x, y):
        cx, cy = math.floor(x / CENTIMETRE_DEG), math.floor(y / CENTIMETRE_DEG)
        for dx in (-1, 0, 1):
            for dy in (-1, 0, 1):
                for i in self.squares.get((cx + dx, cy + dy), []):
                    if math.hypot(self.at[i][0] - x, self.at[i][1] - y) <= CENTIMETRE_DEG:
                        return i
        self.at.append((x, y))
        self.squares.setdefault((cx, cy), []).append(len(self.at) - 1)
        return len(self.at) - 1

    def nearest(self, x, y):
        return min(range(len(self.at)), key=lambda i: math.hypot(self.at[i][0] - x, self.at[i][1] - y))


def rows(data, layer, *fields):
    for feature in data.GetLayerByName(layer):
        geometry = feature.GetGeometryRef()
        points = [] if geometry is None else [geometry.GetPoint_2D(i) for i in range(geometry.GetPointCount())]
        yield points, *(feature.GetField(f) for f in fields)


def count(project):
    data = ogr.Open(project)
    places, pieces = Places(), []
    for points, kind, start, end in rows(data, "network_links", "kind", "from_node", "to_node"):
        if kind == "pipe":
            pieces.append((places.find(*points[0]), places.find(*points[-1])))
        else:  # valves and pumps have no course of their own: they hold their two nodes together
            nodes = {i: p[0] for p, i in rows(data, "network_nodes", "id")}
            pieces.append((places.find(*nodes[start]), places.find(*nodes[end])))
    union = Union()
    for _ in places.at:
        union.new()
    joints = Union()  # the same places, put together by repairs only
    for _ in places.at:
        joints.new()
    for points, x, y, made in rows(data, "repairs", "other_longitude_deg", "other_latitude_deg", "made"):
        if made:
            joints.join(places.nearest(*points[0]), places.nearest(x, y))
    degree = {}
    for a, b in pieces:
        union.join(joints.root(a), joints.root(b))
        for end in (joints.root(a), joints.root(b)):
            degree[end] = degree.get(end, 0) + 1
    parts = len({union.root(joints.root(a)) for a, _ in pieces})
    return parts, [places.at[i] for i, n in degree.items() if n == 1]


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--program", required=True)
    arguments.add_argument("--project", help="a project with a map; without it the invented town is made")
    given = arguments.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        project = given.project
        if not project:
            subprocess.run([given.program, "demo", folder], check=True, stdout=subprocess.DEVNULL)
            project = folder + "/town.gpkg"

        def told(*command):
            out = subprocess.run([given.program, *command, "--json"], check=True, capture_output=True).stdout
            return json.loads(out)

        said = told("map", project)
        ends = told("ends", project, "--all")["ends"]
        parts, free = count(project)

    faults = []
    if parts != said["parts"]:
        faults.append(f"{parts} parts counted, {said['parts']} told")
    listed = [(e["longitude_deg"], e["latitude_deg"]) for e in ends
              if e["kind"] in ("dead end", "stub", "hydrant lead", "maybe a gap")]
    metres = lambda p, q: math.hypot((p[0] - q[0]) * math.cos(math.radians(p[1])), p[1] - q[1]) * 111000
    for p in listed:
        if min(metres(p, q) for q in free) > 0.05:
            faults.append(f"an end is told at {p} where no line ends")
    works = [p for p in free if min((metres(p, q) for q in listed), default=1e9) > 0.05]
    if len(works) > 8:  # the plant, the neighbour, the tank and the booster end mains too
        faults.append(f"{len(works)} free ends are not told: {works[:5]}")
    print("\n".join(faults) if faults else f"{parts} parts and {len(free)} free ends, {len(listed)} of them told")
    sys.exit(1 if faults else 0)


main()
