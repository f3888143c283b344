"""What a script over shapely asks of a plan: valid outlines, keep-outs and
hazards within what should hold them, overlaps. Prints the seconds of processor
time a plan, the start of the interpreter and its imports left out:

    /usr/bin/python3 testdata/speed/shapely_check.py PLAN.geojson TIMES
"""

import json
import math
import sys
import time

from shapely.affinity import scale
from shapely.geometry import shape
from shapely.ops import unary_union
from shapely.prepared import prep
from shapely.validation import explain_validity


def read(path):
    with open(path, encoding="utf-8") as f:
        features = json.load(f)["features"]
    by_role = {}
    for x in features:
        p = x["properties"]
        g = shape(x["geometry"])
        # Degrees of longitude are shorter: flat metres are near enough here.
        lat = g.bounds[1]
        g = scale(g, 111320 * math.cos(math.radians(lat)), 111250, origin=(0, 0))
        if p.get("radius_m"):
            g = g.buffer(p["radius_m"])
        by_role.setdefault(p.get("role"), []).append((x["id"], g))
    return by_role


def overlaps(things, found, word):
    for i, (a, g) in enumerate(things):
        for b, h in things[i + 1 :]:
            if g.intersects(h):
                area = g.intersection(h).area
                if area > 0:
                    found.append((word, a, b, area))


def check(path):
    by_role = read(path)
    found = []
    for things in by_role.values():
        for name, g in things:
            if not g.is_valid:
                found.append(("invalid", name, explain_validity(g)))
    zones, keepouts = by_role.get("zone", []), by_role.get("keepout", [])
    hazards = by_role.get("hazard", []) + by_role.get("building", [])
    overlaps(zones, found, "zones overlap")
    overlaps(keepouts, found, "keep-outs overlap")
    mown = prep(unary_union([g for _, g in zones]))
    for name, g in keepouts:
        if not mown.contains(g):
            found.append(("keep-out outside", name))
    for boundary, b in by_role.get("boundary", []):
        b = prep(b)
        for name, g in zones:
            if not b.contains(g):
                found.append(("over the boundary", name, boundary))
    kept = unary_union([g for _, g in keepouts])
    for zone, z in zones:
        left = z.difference(kept)
        for name, g in hazards:
            if left.intersects(g):
                area = left.intersection(g).area
                if area > 0:
                    found.append(("hazard uncovered", name, zone, area))
    for name, g in by_role.get("corridor", []):
        if g.intersects(kept):
            found.append(("corridor through a keep-out", name))
    return found


def main():
    path, times = sys.argv[1], int(sys.argv[2])
    found = check(path)  # once for what is made at the first use
    start = time.process_time()
    for _ in range(times):
        check(path)
    used = time.process_time() - start
    print(f"{used / times:.9f} {len(found)}")


main()
