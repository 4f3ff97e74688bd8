"""The fitted styles of the book: bust, waist and hip by slicing the pieces with shapely.

Levels are taken from the dimensions that are written on the job sheet; how wide the
garment is there is measured on the points of its pieces alone, and must be the body's
own girth and the ease that was asked for.
"""

import numpy
from shapely import LineString, Polygon

from pieces import SOLVED, edge_of


def level(draft, key):
    return next(d["mm"] for d in draft.json["dimensions"] if d["key"] == key)


def sliced(draft, names, y):
    """Round the body at a level: every piece cut there, both of a pair, both halves of a fold;
    what a dart takes out at that level is taken out."""
    total = 0.0
    for name in names:
        piece = draft.pieces[name]
        outline = Polygon(piece["sewing"])
        low, _, high, _ = outline.bounds
        across = LineString([(low - 1, y), (high + 1, y)])
        cut = outline.intersection(across).length
        for dart in piece["darts"]:
            corners = [dart["feet"][0], dart["apex"], dart["feet"][1]] + ([dart["top"]] if dart.get("top") else [])
            wedge = Polygon(corners)
            if wedge.is_valid and wedge.area > 1:
                cut -= outline.intersection(wedge).intersection(across).length
        total += cut * (2 if piece["on_fold"] else 1) * piece["count"]
    return total


def closed(piece, key):
    """An edge as sewn: its points without the stretch between the feet of each dart."""
    points = numpy.array(edge_of(piece, key)["points"], dtype=float)
    keep = numpy.ones(len(points) - 1, dtype=bool)
    for dart in (d for d in piece["darts"] if d["edge"] == key):
        ends = sorted(int(numpy.hypot(*(points - numpy.array(foot)).T).argmin()) for foot in dart["feet"])
        keep[ends[0] : ends[1]] = False
    return float(numpy.hypot(*numpy.diff(points, axis=0).T)[keep].sum())


def round_by_edges(draft, names, key):
    """Round the body along an edge with its darts closed."""
    total = 0.0
    for name in names:
        piece = draft.pieces[name]
        total += closed(piece, key) * (2 if piece["on_fold"] else 1) * piece["count"]
    return total


def fitted(levels=(), edges=(), least=()):
    """A check of girths: `levels` (girth, pieces, dimension whose value is the height, ease),
    `edges` (girth, pieces, edge, ease); of those in `least` no less may come out, more may."""

    def check(claims, draft, given):
        body, choice = given["body"], given["choices"]
        found = [(girth, sliced(draft, names, at(draft)), ease) for girth, names, at, ease in levels]
        found += [(girth, round_by_edges(draft, names, key), ease) for girth, names, key, ease in edges]
        for girth, mm, ease in found:
            wanted = body[girth] + choice[ease]
            if girth in least:
                claims.hold(f"{girth} by slicing is no less than asked", mm >= wanted - SOLVED, f"{mm:.2f} {wanted:.2f}")
            else:
                claims.near(f"{girth} by slicing", mm, wanted, SOLVED)

    return check


def at(key, less=None):
    return lambda draft: level(draft, key) - (level(draft, less) if less else 0)


PANELS = ["centre_front", "side_front", "centre_back", "side_back"]
LEGS = ["front", "back"]

# Style: its check, and sets of choices in mm. All that a check leans on is said.
SLICED = {
    "princess_dress": (
        fitted(
            [
                ("bust_girth", PANELS, at("bust_line"), "bust_ease"),
                ("waist_girth", PANELS, at("back_length"), "waist_ease"),
                ("hip_girth", PANELS, at("hip_y"), "hip_ease"),
            ],
            least=("hip_girth",),
        ),
        [{"bust_ease": 60, "waist_ease": 30, "hip_ease": 50}, {"bust_ease": 80, "waist_ease": 45, "hip_ease": 70}],
    ),
    "shift_dress": (
        fitted(
            [
                ("waist_girth", ["front", "back"], at("back_length"), "waist_ease"),
                ("hip_girth", ["front", "back"], at("hip_y"), "hip_ease"),
            ],
            least=("hip_girth",),
        ),
        [{"waist_ease": 40, "hip_ease": 50}, {"waist_ease": 70, "hip_ease": 80}],
    ),
    "kaftan": (
        fitted([("hip_girth", ["front", "back"], at("hip_level"), "hip_ease")], least=("hip_girth",)),
        [{"hip_ease": 210}],
    ),
    "bodice_block": (
        fitted(edges=[("waist_girth", ["front", "back"], "waist", "waist_ease")]),
        [{"waist_ease": 30}, {"waist_ease": 60}],
    ),
    "fit_and_flare_dress": (
        fitted(edges=[("waist_girth", ["front", "back"], "waist", "waist_ease")]),
        [{"waist_ease": 30}, {"waist_ease": 50}],
    ),
    "peplum_top": (
        fitted(edges=[("waist_girth", ["front", "back"], "waist", "waist_ease")]),
        [{"waist_ease": 30}, {"waist_ease": 50}],
    ),
    "mans_tunic": (
        fitted([("hip_girth", ["front", "back"], at("hip_level"), "hip_ease")], least=("hip_girth",)),
        [{"hip_ease": 120}],
    ),
    "darted_trousers": (
        fitted([("hip_girth", LEGS, at("crotch_down", "hip_above"), "hip_ease")]),
        [{"hip_ease": 50}, {"hip_ease": 80}],
    ),
    "elastic_trousers": (
        fitted([("hip_girth", LEGS, at("crotch_down", "hip_above"), "hip_ease")], least=("hip_girth",)),
        [{"hip_ease": 130}, {"hip_ease": 160}],
    ),
}

