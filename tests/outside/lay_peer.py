"""The search for lays beside a general-purpose strip packer, on the same core.

    lay_peer.py                         2 s, one seed, all four instances; holds and counts
    lay_peer.py --table SECONDS... [--seeds N]   a table for each of the seconds

Ours is `examples/measure_lay.rs`, the peer is spyrrow 0.9.0 (PyPI, one worker). The instances are academic ones
(../shared/checks/lays: swim, albano, marques, fu); where they are not there, one of invented pieces. Both run one after the other and are bound to one core. Where our
items came to lie is proved with shapely from the file alone: each there as often as asked, at an allowed angle,
within the strip, none over another. Passed when the mean of the densities is within 1 point of the peer's.
"""

import json
import math
import os
import random
import subprocess
import sys
import tempfile

import shapely
from shapely import Polygon

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
LAYS = os.path.join(os.path.dirname(ROOT), "shared", "checks", "lays")
NAMES = ["swim", "albano", "marques", "fu"]
TARGET = os.environ.get("CARGO_TARGET_DIR", os.path.join(ROOT, "target"))
PROGRAM = os.environ.get("MEASURE_LAY", os.path.join(TARGET, "release", "examples", "measure_lay"))

# Overlap and straying that are allowed, mm on the scale at which the search works (a strip 4 m wide).
WITHIN_MM = 0.05

# The peer is run in a process of its own: one that was bound to a core stays there.
PEER = """
import json, sys, spyrrow
path, seconds, seed = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
instance = json.load(open(path))
items = [
    spyrrow.Item(str(item["id"]), [tuple(p) for p in item["shape"]["data"]], item["demand"], item["allowed_orientations"])
    for item in instance["items"]
]
config = spyrrow.StripPackingConfig(early_termination=False, total_computation_time=seconds, num_workers=1, seed=seed)
solution = spyrrow.StripPackingInstance(instance["name"], instance["strip_height"], items).solve(config)
print(100 * solution.density)
"""


def file_of(name):
    return name if os.path.isabs(name) else os.path.join(LAYS, name + ".json")


def invented(folder):
    """An instance of our own: seeded stars of 5 to 9 corners, to be turned end for end."""
    draw = random.Random(7)
    items = []
    for key in range(8):
        corners = draw.randint(5, 9)
        radii = [draw.uniform(90, 320) for _ in range(corners)]
        angles = [2 * math.pi * n / corners for n in range(corners)]
        data = [[r * math.cos(a), r * math.sin(a)] for r, a in zip(radii, angles)]
        shape = {"type": "simple_polygon", "data": data + data[:1]}
        items.append({"id": key, "demand": 4, "allowed_orientations": [0.0, 180.0], "shape": shape})
    path = os.path.join(folder, "invented.json")
    with open(path, "w") as file:
        json.dump({"name": "invented", "strip_height": 1500.0, "items": items}, file)
    return path


def bound(command, core):
    """Runs a command on one core and gives what it wrote."""
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, preexec_fn=lambda: os.sched_setaffinity(0, {core})
    )
    if done.returncode != 0:
        raise SystemExit(f"{command[0]}: {done.stderr}")
    return done.stdout


def ours(name, seconds, seed, core):
    """Density in per cent, what the program wrote, and the faults of where the items lie."""
    path = file_of(name)
    with tempfile.TemporaryDirectory() as folder:
        places = os.path.join(folder, "places.json")
        wrote = bound([PROGRAM, path, str(seconds), str(seed), places], core)
        with open(places) as file:
            laid = json.load(file)
    with open(path) as file:
        instance = json.load(file)
    density = float(next(line.split()[1] for line in wrote.splitlines() if line.startswith("density")))
    faults = proved(instance, laid)
    area = sum(Polygon(item["shape"]["data"]).area * item["demand"] for item in instance["items"])
    by_area = 100 * area / (instance["strip_height"] * laid["length"])
    if abs(by_area - density) > 0.01:
        faults.append(f"density {density} told, {by_area:.2f} by shapely")
    return density, wrote, faults


def peer(name, seconds, seed, core):
    path = file_of(name)
    return float(bound([sys.executable, "-c", PEER, path, str(seconds), str(seed)], core))


def proved(instance, laid):
    """Faults of a lay, from the instance alone."""
    faults = []
    within = WITHIN_MM / laid["scale"]
    shapes = {str(item["id"]): item for item in instance["items"]}
    count = {key: 0 for key in shapes}
    outlines = []
    for item in laid["items"]:
        key = item["id"].strip('"')
        count[key] += 1
        outline = Polygon(item["outline"])
        outlines.append((key, outline))
        if not matches(shapes[key], outline, within):
            faults.append(f"item {key} is not itself at an allowed angle")
    for key, number in count.items():
        if number != shapes[key]["demand"]:
            faults.append(f"item {key} lies {number} times, {shapes[key]['demand']} asked")
    for key, outline in outlines:
        left, low, right, high = outline.bounds
        over = max(-left, right - laid["length"], -low, high - instance["strip_height"])
        if over > within:
            faults.append(f"item {key} is off the strip by {over}")
    shrunk = [outline.buffer(-within / 2, join_style="mitre") for _, outline in outlines]
    tree = shapely.STRtree(shrunk)
    for one, other in zip(*tree.query(shrunk, predicate="intersects")):
        if one < other and shrunk[one].intersection(shrunk[other]).area > 0:
            faults.append(f"items {outlines[one][0]} and {outlines[other][0]} overlap")
    return faults


def matches(item, outline, within):
    """Whether an outline is the item turned by one of its angles and shifted, not mirrored."""
    points = list(outline.exterior.coords)[:-1]
    drawn = [tuple(p) for p in item["shape"]["data"]]
    if drawn[0] == drawn[-1]:
        drawn = drawn[:-1]
    if len(points) != len(drawn):
        return False
    for angle in item["allowed_orientations"]:
        sin, cos = math.sin(math.radians(angle)), math.cos(math.radians(angle))
        turned = [(x * cos - y * sin, x * sin + y * cos) for x, y in drawn]
        dx, dy = points[0][0] - turned[0][0], points[0][1] - turned[0][1]
        off = max(math.hypot(x + dx - px, y + dy - py) for (x, y), (px, py) in zip(turned, points))
        if off <= within:
            return True
    return False


def mean(values):
    return sum(values) / len(values)


def table(seconds_each, seeds, core):
    for seconds in seconds_each:
        print(f"{seconds} s, {seeds} seeds: ours, peer, faults")
        for name in NAMES:
            found = [ours(name, seconds, seed, core) for seed in range(1, seeds + 1)]
            whole = int(seconds)
            against = [peer(name, whole, seed, core) for seed in range(1, seeds + 1)] if whole >= 1 else []
            told = f"{mean(against):6.2f} ({' '.join(f'{d:.2f}' for d in against)})" if against else "  none"
            faults = sum(len(faults) for _, _, faults in found)
            mine = f"{mean([f[0] for f in found]):6.2f} ({' '.join(f'{f[0]:.2f}' for f in found)})"
            print(f"  {name:8} {mine} | {told} | {faults}", flush=True)
            print("           " + "; ".join(found[0][1].splitlines()[:2]), flush=True)


def main():
    core = max(os.sched_getaffinity(0))
    if "--table" in sys.argv:
        numbers = sys.argv[sys.argv.index("--table") + 1 :]
        seeds = int(numbers[numbers.index("--seeds") + 1]) if "--seeds" in numbers else 3
        seconds = numbers[: numbers.index("--seeds")] if "--seeds" in numbers else numbers
        table([float(s) if "." in s else int(s) for s in seconds], seeds, core)
        return
    with tempfile.TemporaryDirectory() as folder:
        short(NAMES if os.path.isdir(LAYS) else [invented(folder)], core)


def short(names, core):
    passed = failed = 0
    mine, theirs = [], []
    for name in names:
        density, _, faults = ours(name, 2, 1, core)
        against = peer(name, 2, 1, core)
        mine.append(density)
        theirs.append(against)
        print(f"{os.path.basename(name):8} ours {density:6.2f}  peer {against:6.2f}")
        for fault in faults:
            print("   " + fault)
        passed, failed = (passed, failed + 1) if faults else (passed + 1, failed)
    near = mean(mine) >= mean(theirs) - 1
    print(f"mean     ours {mean(mine):6.2f}  peer {mean(theirs):6.2f}")
    passed, failed = (passed + 1, failed) if near else (passed, failed + 1)
    print(f"{passed} passed, {failed} failed")
    sys.exit(failed > 0)


main()
