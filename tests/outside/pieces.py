"""Any drafted piece against shapely: outlines, lengths, areas, folds and allowances."""

import math
from collections import Counter, defaultdict

import numpy
import shapely
import shapely.ops
from shapely import LinearRing, LineString, Point, Polygon

# Tolerances, mm. Equal by construction 0.1; where a rule is solved 0.4 (1/64 in);
# allowances 0.05 along the edges: the project's own promises, held from outside.
EQUAL, SOLVED, ALLOWANCE = 0.1, 0.4, 0.05
# What printing points as text may lose.
TINY = 1e-6


class Claims:
    """What was claimed, how often it was looked at, and where it did not hold."""

    def __init__(self):
        self.looked = Counter()
        self.broken = defaultdict(list)

    def hold(self, claim, truth, found=""):
        self.looked[claim] += 1
        if not truth:
            self.broken[claim].append(str(found))

    def near(self, claim, found, wanted, within):
        off = abs(found - wanted)
        self.hold(claim, off <= within, f"{found:.3f} mm and should be {wanted:.3f}")


def walked(points):
    """The length of a run of points."""
    return float(numpy.hypot(*numpy.diff(numpy.array(points, dtype=float), axis=0).T).sum())


def edge_of(piece, key):
    return next(edge for edge in piece["edges"] if edge["key"] == key)


# Pieces whose waist may be darted: there the edge's length is told with the darts closed,
# its points with the darts open and their mouths folded to the side.
DARTED = {("front", "waist"), ("back", "waist")}


def mouths(edge):
    """The corners of the dart mouths along an edge; none where no dart opens it."""
    if not edge.get("may_be_darted") or walked(edge["points"]) - edge["length_mm"] < 1:
        return []
    run = numpy.array(edge["points"], dtype=float)
    ways = numpy.unwrap(numpy.arctan2(*numpy.diff(run, axis=0).T[::-1]))
    return [edge["points"][n + 1] for n in numpy.flatnonzero(abs(numpy.diff(ways)) > math.radians(3))]


def along(line, clear, step=4.0):
    """Places along a line and the direction there, `clear` mm away from both ends."""
    length = line.length
    if length <= 2 * clear:
        return
    for at in numpy.linspace(clear, length - clear, max(3, int((length - 2 * clear) / step))):
        here, before, after = (line.interpolate(s) for s in (at, at - 0.2, at + 0.2))
        yield here, math.atan2(after.y - before.y, after.x - before.x)


def own_cutting(sewing, edges):
    """A cutting outline of our own making: the outline and a flat band outside each edge."""
    bands = []
    for edge in edges:
        if edge["allowance_mm"] > 0:
            line = LineString(edge["points"])
            # The left of the line is its outside when the outline runs clockwise.
            left = edge["allowance_mm"] * (-1 if sewing.exterior.is_ccw else 1)
            bands.append(line.buffer(left, cap_style="flat", join_style="round", quad_segs=64, single_sided=True))
    # Bands that share a line up to a rounding error grow together.
    joined = shapely.union_all([sewing, *bands]).buffer(1e-4, join_style="mitre")
    return joined.buffer(-1e-4, join_style="mitre")


def directed(boundary, other, step=1.0):
    """How far the first line strays from the second."""
    if boundary.is_empty:
        return 0.0
    dense = shapely.segmentize(boundary, step)
    return float(shapely.distance(shapely.points(shapely.get_coordinates(dense)), other).max())


def check_piece(claims, piece):
    edges = [edge for edge in piece["edges"] if len(edge["points"]) > 1 and edge["length_mm"] > 1e-3]
    for which in ("sewing", "cutting"):
        ring = piece[which]
        whole = Polygon(ring).is_valid and LinearRing(ring).is_simple and Polygon(ring).area > 100
        claims.hold("outlines are valid and simple", whole, f"{piece['key']} {which}")
        if not whole:
            return
    sewing, cutting = Polygon(piece["sewing"]), Polygon(piece["cutting"])

    for edge, after in zip(edges, edges[1:] + edges[:1]):
        if mouths(edge):
            opened = walked(edge["points"]) - edge["length_mm"]
            claims.hold(
                "a waist is longer with its darts open", 0 < opened < 0.8 * edge["length_mm"], f"{opened:.1f} mm"
            )
        else:
            claims.near("an edge is as long as its points", walked(edge["points"]), edge["length_mm"], EQUAL)
        gap = math.dist(edge["points"][-1], after["points"][0])
        claims.near("each edge begins where the last ended", gap, 0, 1e-3)
    lengths = (walked(e["points"]) if mouths(e) else e["length_mm"] for e in edges)
    claims.near("the edges go once round the sewing line", sewing.exterior.length, sum(lengths), EQUAL)
    # Green's theorem over the edges, against shapely's area of the outline: in mm² per mm of outline.
    run = numpy.concatenate([numpy.array(edge["points"], dtype=float) for edge in edges])
    x, y = run.T
    green = abs(float(numpy.sum(x * numpy.roll(y, -1) - y * numpy.roll(x, -1)))) / 2
    claims.near("the edges enclose the sewing line's area", green / sewing.length, sewing.area / sewing.length, 0.01)

    claims.hold("the cutting line holds the sewing line", cutting.buffer(TINY).contains(sewing), piece["key"])
    check_fold(claims, piece, cutting)
    check_allowances(claims, piece, sewing, cutting, edges)


def check_fold(claims, piece, cutting):
    folds = [edge for edge in piece["edges"] if edge["fold"]]
    claims.hold("a fold is there when the piece lies on it", bool(folds) == bool(piece["on_fold"]), piece["key"])
    for fold in folds:
        (ax, ay), (bx, by) = fold["points"][0], fold["points"][-1]
        ux, uy = (numpy.array([bx - ax, by - ay]) / math.hypot(bx - ax, by - ay)).tolist()
        side = [(x - ax) * uy - (y - ay) * ux for x, y in piece["cutting"]]
        inner = max(side, key=abs)
        beyond = max(-s * math.copysign(1, inner) for s in side)
        claims.near("nothing is cut beyond a fold", max(beyond, 0.0), 0, TINY)
        claims.near(
            "the fold is an edge of the cut", directed(LineString([(ax, ay), (bx, by)]), cutting.exterior), 0, 1e-3
        )


def check_allowances(claims, piece, sewing, cutting, edges):
    allowed = [edge for edge in edges if not edge["fold"]]
    most = max((edge["allowance_mm"] for edge in allowed), default=0)
    own = own_cutting(sewing, allowed)
    for edge in edges:
        if edge["fold"]:  # our bands are cut off there as the piece's are
            (ax, ay), (bx, by) = edge["points"][0], edge["points"][-1]
            far = 1e5 / math.hypot(bx - ax, by - ay)
            line = LineString(
                [(ax - far * (bx - ax), ay - far * (by - ay)), (bx + far * (bx - ax), by + far * (by - ay))]
            )
            halves = shapely.ops.split(own, line).geoms
            own = max(halves, key=lambda half: half.area)
    # A corner reaches to twice the greater allowance; beyond it nothing may differ.
    turns = [e["points"][0] for e in edges] + [place for e in edges for place in mouths(e)]
    corners = shapely.union_all([Point(place).buffer(2 * most + 1) for place in turns])
    ours, theirs = own.boundary.difference(corners), cutting.exterior.difference(corners)
    stray = max(directed(theirs, own.boundary), directed(ours, cutting.exterior))
    claims.near("the cutting line is where shapely's bands put it", stray, 0, ALLOWANCE)
    claims.hold("no corner is cut short of its allowance", cutting.buffer(ALLOWANCE).contains(own), piece["key"])
    reach = sewing.buffer(2 * most + ALLOWANCE, join_style="mitre", mitre_limit=10)
    claims.hold("no corner reaches beyond twice its allowance", reach.contains(cutting), piece["key"])

    for edge in allowed:
        line = LineString(edge["points"])
        # The mouth of a dart has corners of its own, as the ends of the edge have.
        others = shapely.union_all(
            [LineString(e["points"]) for e in edges if e is not edge] + [Point(place) for place in mouths(edge)]
        )
        for here, way in along(line, 2 * most + 1, step=max(4.0, line.length / 40)):
            if here.distance(others) < 2 * most + 1:
                continue  # a neighbour's allowance may lie nearer
            off = here.distance(cutting.exterior)
            claims.near("each edge keeps its allowance", off, edge["allowance_mm"], ALLOWANCE)
            if edge["allowance_mm"] > 1:
                out = [Point(here.x - s * math.sin(way) * 0.5, here.y + s * math.cos(way) * 0.5) for s in (1, -1)]
                outside = next((p for p in out if not sewing.contains(p)), None)
                inside_cut = outside is not None and cutting.contains(outside)
                claims.hold("an allowance lies outside its edge", inside_cut, f"{piece['key']} {edge['key']}")
