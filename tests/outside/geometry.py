"""Every style, drafted by the release binary and measured by shapely and numpy.

Nothing of bodkin's own arithmetic is believed: lengths, areas, widths and allowances are
taken again from the points of `bodkin draft … --json`, and the girths come out by slicing.
Bodies: some of our own invention, two hundred drawn from the figures of bodies.json, and
the survey's own rows where ../shared/checks/bodies lies beside the project.

Prints a line for each claim about each style and ends with `N passed, M failed`.
"""

import copy
import csv
import json
import math
import os
import pathlib
import subprocess
import sys
from collections import Counter, defaultdict
from concurrent.futures import ThreadPoolExecutor

import numpy
import shapely
import shapely.ops
from shapely import LinearRing, LineString, Point, Polygon

ROOT = pathlib.Path(__file__).resolve().parents[2]
BODKIN = pathlib.Path(os.environ.get("BODKIN", ROOT / "target" / "release" / "bodkin")).resolve()
SURVEY = ROOT.parent / "shared" / "checks" / "bodies" / "ansur2_female.csv"

INCH = 25.4
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


# --- any piece -----------------------------------------------------------------------


def walked(points):
    """The length of a run of points."""
    return float(numpy.hypot(*numpy.diff(numpy.array(points, dtype=float), axis=0).T).sum())


def edge_of(piece, key):
    return next(edge for edge in piece["edges"] if edge["key"] == key)


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
    # On a grid finer than any tolerance, so that bands that share a line grow together.
    return shapely.union_all([sewing, *bands], grid_size=1e-7)


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
        claims.near("an edge is as long as its points", walked(edge["points"]), edge["length_mm"], EQUAL)
        gap = math.dist(edge["points"][-1], after["points"][0])
        claims.near("each edge begins where the last ended", gap, 0, 1e-3)
    claims.near(
        "the edges go once round the sewing line", sewing.exterior.length, sum(e["length_mm"] for e in edges), EQUAL
    )
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
        claims.near("the fold is an edge of the cut", directed(LineString([(ax, ay), (bx, by)]), cutting.exterior), 0, 1e-3)


def check_allowances(claims, piece, sewing, cutting, edges):
    allowed = [edge for edge in edges if not edge["fold"]]
    most = max((edge["allowance_mm"] for edge in allowed), default=0)
    own = own_cutting(sewing, allowed)
    for edge in edges:
        if edge["fold"]:  # our bands are cut off there as the piece's are
            (ax, ay), (bx, by) = edge["points"][0], edge["points"][-1]
            far = 1e5 / math.hypot(bx - ax, by - ay)
            line = LineString([(ax - far * (bx - ax), ay - far * (by - ay)), (bx + far * (bx - ax), by + far * (by - ay))])
            halves = shapely.ops.split(own, line).geoms
            own = max(halves, key=lambda half: half.area)
    # A corner reaches to twice the greater allowance; beyond it nothing may differ.
    corners = shapely.union_all([Point(e["points"][0]).buffer(2 * most + 1) for e in edges])
    ours, theirs = own.boundary.difference(corners), cutting.exterior.difference(corners)
    stray = max(directed(theirs, own.boundary), directed(ours, cutting.exterior))
    claims.near("the cutting line is where shapely's bands put it", stray, 0, ALLOWANCE)
    claims.hold("no corner is cut short of its allowance", cutting.buffer(ALLOWANCE).contains(own), piece["key"])
    reach = sewing.buffer(2 * most + ALLOWANCE, join_style="mitre", mitre_limit=10)
    claims.hold("no corner reaches beyond twice its allowance", reach.contains(cutting), piece["key"])

    for edge in allowed:
        line = LineString(edge["points"])
        others = shapely.union_all([LineString(e["points"]) for e in edges if e is not edge])
        for here, way in along(line, 2 * most + 1, step=max(4.0, line.length / 40)):
            if here.distance(others) < 2 * most + 1:
                continue  # a neighbour's allowance may lie nearer
            off = here.distance(cutting.exterior)
            claims.near("each edge keeps its allowance", off, edge["allowance_mm"], ALLOWANCE)
            if edge["allowance_mm"] > 1:
                out = [
                    Point(here.x - s * math.sin(way) * 0.5, here.y + s * math.cos(way) * 0.5) for s in (1, -1)
                ]
                outside = next((p for p in out if not sewing.contains(p)), None)
                inside_cut = outside is not None and cutting.contains(outside)
                claims.hold("an allowance lies outside its edge", inside_cut, f"{piece['key']} {edge['key']}")


# --- each style ----------------------------------------------------------------------


def wide(piece, y):
    """How wide the piece is on the sewing line at a level: slices, both halves of a fold."""
    outline = Polygon(piece["sewing"])
    low_x, _, high_x, _ = outline.bounds
    cut = outline.intersection(LineString([(low_x - 1, y), (high_x + 1, y)])).length
    return cut * (2 if piece["on_fold"] else 1)


def high(piece, x):
    outline = Polygon(piece["sewing"])
    _, low_y, _, high_y = outline.bounds
    return outline.intersection(LineString([(x, low_y - 1), (x, high_y + 1)])).length


def around(piece, radius):
    """The length of a circle about the origin that lies within the piece."""
    ring = Point(0, 0).buffer(radius, quad_segs=2048).exterior
    return ring.intersection(Polygon(piece["sewing"])).length


class Draft:
    """One draft's JSON with its pieces and strips by name."""

    def __init__(self, text):
        self.json = text if isinstance(text, dict) else json.loads(text)
        self.pieces = {piece["key"]: piece for piece in self.json["pieces"]}
        self.strips = {strip["key"]: strip for strip in self.json["strips"]}

    def edge(self, piece, key):
        return walked(edge_of(self.pieces[piece], key)["points"])


def wrap_skirt(claims, draft, given):
    body, choice = given["body"], given["choices"]
    waist, hip = body["waist_girth"], body["hip_girth"]
    whole, depth = choice["finished_length"], choice["frill_depth"]
    frilled = choice["frill_along"] == "leading_edge_and_whole_hem"
    down = body["waist_to_hip"]
    edges = 2 * draft.edge("back", "waist") + 2 * draft.edge("under_front", "waist")
    claims.near("waist by the edges of back and under-front", edges, waist + choice["waist_ease"], SOLVED)
    slices = wide(draft.pieces["back"], down) + wide(draft.pieces["under_front"], down)
    claims.near("hip by slicing back and under-front", slices, hip + choice["hip_ease"], SOLVED)
    over = Polygon(draft.pieces["over_front"]["sewing"])
    x = [p for p in shapely.get_coordinates(over.intersection(LineString([(-5e3, down), (5e3, down)])))[:, 0]]
    side = min(x) if choice["tie_falls"] == "left" else max(x)
    claims.near("the over-front's side stands over the back's at the hip", abs(side), (hip + choice["hip_ease"]) / 4, SOLVED)
    join = whole - (depth if frilled else 0)
    claims.near("centre back length", draft.edge("back", "centre"), join, EQUAL)
    hem = (hip + choice["hip_ease"]) / 4 - choice["taper"]
    trued = numpy.array(draft.pieces["back"]["sewing"])
    claims.near("hem width after the taper", abs(trued[numpy.argsort(numpy.hypot(trued[:, 0] - hem, trued[:, 1] - (whole - depth)))[0], 0]), hem, EQUAL)
    joined = draft.edge("over_front", "leading")
    if choice["frill_along"] != "leading_edge":
        joined += sum(draft.edge("over_front", key) for key in ("rounded", "hem") if key in {e["key"] for e in draft.pieces["over_front"]["edges"]})
    if frilled:
        joined += 2 * (draft.edge("back", "hem") + draft.edge("under_front", "hem"))
    frill = draft.strips["frill"]
    claims.near("frill by the edges it joins", frill["length_mm"], choice["fullness"] * joined, SOLVED)
    claims.near("frill cut depth", frill["width_mm"], depth + choice["frill_join"] + choice["frill_hem"], EQUAL)
    seam = lambda piece: sum(walked(e["points"]) for e in draft.pieces[piece]["edges"] if e["key"] in ("side", "lower") and len(e["points"]) > 1)
    claims.near("side seams walk", seam("back"), seam("under_front"), EQUAL)


def gored_skirt(claims, draft, given):
    body, choice = given["body"], given["choices"]
    gore, count = draft.pieces["gore"], {"four": 4, "six": 6, "eight": 8}[choice["gores"]]
    band = body["waist_girth"] + choice["waist_ease"]
    claims.hold("as many gores as asked", gore["count"] == count, gore["count"])
    claims.near("waist by the band", draft.edge("waistband", "join"), band, EQUAL)
    claims.near("waist by the gores' edges", count * draft.edge("gore", "waist"), band + choice["eased_on"], SOLVED)
    level = body["waist_to_hip"] - choice["band_depth"]
    claims.near("hip by slicing the gores", count * wide(gore, level), body["hip_girth"] + choice["hip_ease"], SOLVED)
    claims.near("hem by the gores' edges", count * draft.edge("gore", "hem"), choice["sweep"], SOLVED)
    claims.near("length by slicing a gore", high(gore, 0), choice["finished_length"] - choice["band_depth"], EQUAL)
    claims.near("the gore's sides walk", draft.edge("gore", "left"), draft.edge("gore", "right"), EQUAL)
    band_area(claims, draft, band, choice)


def circle_skirt(claims, draft, given):
    body, choice = given["body"], given["choices"]
    share = {"quarter": 0.25, "half": 0.5, "three_quarter": 0.75, "full": 1.0}[choice["share"]]
    panel, count = draft.pieces["panel"], choice["panels"]
    band = body["waist_girth"] + choice["waist_ease"]
    drawn = band - choice["drawn_small"]
    radius = drawn / (2 * math.pi * share)
    length = choice["finished_length"] - choice["band_depth"]
    claims.near("waist by the panels' arcs", count * (draft.edge("panel", "waist") + draft.edge("panel", "waist_2")), drawn, SOLVED)
    for key, wanted in (("waist", radius), ("waist_2", radius), ("hem", radius + length), ("hem_2", radius + length)):
        off = max(abs(math.hypot(x, y) - wanted) for x, y in edge_of(panel, key)["points"])
        claims.near("radius of waist and hem", off, 0, EQUAL)
    sector = math.pi * share * ((radius + length) ** 2 - radius**2) / count
    outline = Polygon(panel["sewing"])
    claims.near("a panel's area is its sector's", outline.area / outline.length, sector / outline.length, ALLOWANCE)
    down = radius + body["waist_to_hip"] - choice["band_depth"]
    claims.near("hip round the circle", count * around(panel, down), 2 * math.pi * share * down, SOLVED)
    claims.near("waist by the band", draft.edge("waistband", "join"), band, EQUAL)
    cut = min(math.hypot(x, y) for x, y in panel["cutting"])
    claims.near("cut radius", cut, radius - choice["waist_allowance"], EQUAL)
    band_area(claims, draft, band, choice)


def gathered_skirt(claims, draft, given):
    body, choice = given["body"], given["choices"]
    band = body["waist_girth"] + choice["waist_ease"]
    claims.near("waist by the band", draft.edge("waistband", "join"), band, EQUAL)
    tiers = [draft.strips[f"tier_{n + 1}"] for n in range(choice["tiers"])]
    first = max(choice["fullness"], (body["hip_girth"] + 2 * INCH) / band)
    claims.near("the first tier goes over the hip", tiers[0]["length_mm"], band * first, EQUAL)
    claims.hold("the first tier is no tighter than the hip", tiers[0]["length_mm"] >= body["hip_girth"] + 2 * INCH - EQUAL)
    for above, tier in zip(tiers, tiers[1:]):
        claims.near("each tier is fuller than the one above", tier["length_mm"], above["length_mm"] * choice["fullness"], EQUAL)
    claims.hold("as many tiers as asked", sum(key.startswith("tier_") for key in draft.strips) == choice["tiers"])
    seams = choice["waist_allowance"] + (2 * len(tiers) - 2) * choice["seam"] + choice["hem_allowance"]
    depth = sum(tier["width_mm"] for tier in tiers) - seams + choice["band_depth"]
    claims.near("band and tiers make the length", depth, choice["finished_length"], SOLVED)
    band_area(claims, draft, band, choice)


def apron(claims, draft, given):
    body, choice = given["body"], given["choices"]
    outline = draft.pieces["body"]
    level = choice["bib_height"]
    claims.near("width by slicing", wide(outline, level + INCH), body["hip_girth"] * choice["cover"], SOLVED)
    claims.near("bib by its top edge", 2 * draft.edge("body", "top"), choice["bib_width"], EQUAL)
    claims.near("length by slicing the fold", high(outline, 0.01), choice["bib_height"] + choice["finished_length"], EQUAL)
    pocket = Polygon(draft.pieces["pocket"]["sewing"])
    area = choice["pocket_width"] * choice["pocket_depth"]
    claims.near("the pocket's area", pocket.area / pocket.length, area / pocket.length, TINY)
    ties = draft.strips["ties"]
    claims.hold("two ties", ties["count"] == 2, ties["count"])
    claims.near("each tie", ties["length_mm"], choice["tie_length"], EQUAL)


def band_area(claims, draft, band, choice):
    """The waistband, cut: two depths and an allowance all round, and the underlap."""
    cutting = Polygon(draft.pieces["waistband"]["cutting"])
    seam = choice["waist_allowance"]
    area = (band + choice["underlap"] + 2 * seam) * (2 * choice["band_depth"] + 2 * seam)
    claims.near("the waistband's cut area", cutting.area / cutting.length, area / cutting.length, EQUAL)


# --- what is drafted -----------------------------------------------------------------

# Every choice that a check leans on is said, so that a changed default changes no check.
# Several sets for each style; lengths in mm.
CHOICES = {
    "wrap_skirt": (wrap_skirt, [
        {"finished_length": 680, "frill_along": "leading_edge_and_whole_hem", "frill_depth": 110, "fullness": 2, "taper": 10,
         "tie_falls": "left", "waist_ease": 0, "hip_ease": 25, "frill_join": 12.7, "frill_hem": 12.7, "side_allowance": 25.4},
        {"finished_length": 720, "frill_along": "leading_edge_and_over_front_hem", "frill_depth": 90, "fullness": 1.75, "taper": 0,
         "tie_falls": "right", "waist_ease": 12, "hip_ease": 40, "frill_join": 10, "frill_hem": 8, "side_allowance": 20},
        {"finished_length": 590, "frill_along": "leading_edge", "frill_depth": 60, "fullness": 2.5, "taper": 20,
         "tie_falls": "left", "waist_ease": 0, "hip_ease": 0, "frill_join": 12, "frill_hem": 10, "side_allowance": 15,
         "waist_allowance": 10, "corner_round": 60, "lead_curve": 30},
    ]),
    "gored_skirt": (gored_skirt, [
        {"finished_length": 690, "gores": "six", "sweep": 1900, "waist_ease": 12, "hip_ease": 50, "eased_on": 12, "band_depth": 30,
         "underlap": 32, "waist_allowance": 12},
        {"finished_length": 810, "gores": "four", "sweep": 2000, "waist_ease": 10, "hip_ease": 60, "eased_on": 0, "band_depth": 40,
         "underlap": 30, "waist_allowance": 10, "seam": 15, "hem_allowance": 25},
        {"finished_length": 640, "gores": "eight", "sweep": 2400, "waist_ease": 20, "hip_ease": 45, "eased_on": 15, "band_depth": 25,
         "underlap": 30, "waist_allowance": 12, "seam": 20},
    ]),
    "circle_skirt": (circle_skirt, [
        {"finished_length": 640, "share": "half", "panels": 2, "waist_ease": 12, "drawn_small": 12, "band_depth": 30, "underlap": 30,
         "waist_allowance": 12, "side_allowance": 25},
        {"finished_length": 560, "share": "full", "panels": 4, "waist_ease": 15, "drawn_small": 20, "band_depth": 35, "underlap": 32,
         "waist_allowance": 10, "side_allowance": 15},
        {"finished_length": 700, "share": "three_quarter", "panels": 3, "waist_ease": 10, "drawn_small": 0, "band_depth": 30,
         "underlap": 30, "waist_allowance": 12, "hem_allowance": 10},
        {"finished_length": 750, "share": "quarter", "panels": 1, "waist_ease": 15, "drawn_small": 12, "band_depth": 30, "underlap": 30,
         "waist_allowance": 12},
    ]),
    "gathered_skirt": (gathered_skirt, [
        {"finished_length": 700, "tiers": 2, "fullness": 1.6, "waist_ease": 12, "band_depth": 30, "underlap": 30, "seam": 12,
         "waist_allowance": 12, "hem_allowance": 38},
        {"finished_length": 950, "tiers": 4, "fullness": 1.4, "waist_ease": 15, "band_depth": 35, "underlap": 32, "seam": 10,
         "waist_allowance": 10, "hem_allowance": 25, "growth": 0.2},
        {"finished_length": 520, "tiers": 1, "fullness": 2.25, "waist_ease": 10, "band_depth": 30, "underlap": 30, "seam": 12,
         "waist_allowance": 12, "hem_allowance": 40},
    ]),
    "apron": (apron, [
        {"finished_length": 540, "cover": 0.6, "bib_height": 270, "bib_width": 240, "pocket_width": 190, "pocket_depth": 170, "tie_length": 850},
        {"finished_length": 620, "cover": 0.75, "bib_height": 300, "bib_width": 200, "pocket_width": 160, "pocket_depth": 150, "tie_length": 700},
    ]),
}

# Our own invention: small, usual, large, straight, with a full hip.
BODIES = [
    {"waist_girth": 640, "hip_girth": 880, "waist_to_hip": 200},
    {"waist_girth": 724, "hip_girth": 962, "waist_to_hip": 205},
    {"waist_girth": 1105, "hip_girth": 1230, "waist_to_hip": 215},
    {"waist_girth": 900, "hip_girth": 930, "waist_to_hip": 190},
    {"waist_girth": 760, "hip_girth": 1120, "waist_to_hip": 220},
]


def drawn_bodies(count):
    """Bodies drawn from the survey's means, spreads and correlations, always the same ones."""
    survey = json.loads((ROOT / "tests" / "outside" / "bodies.json").read_text())
    sd = numpy.array(survey["sd"])
    draws = numpy.random.default_rng(1914).multivariate_normal(
        survey["mean"], numpy.array(survey["correlation"]) * numpy.outer(sd, sd), count
    )
    return [dict(zip(survey["names"], (round(float(v)) for v in row))) for row in draws]


def surveyed_bodies(count):
    """Real rows of the survey, evenly spread, when they lie beside the project."""
    if not SURVEY.exists():
        return None
    rows = list(csv.DictReader(SURVEY.open()))
    return [
        {
            "waist_girth": int(row["waistcircumference"]),
            "hip_girth": int(row["buttockcircumference"]),
            "waist_to_hip": int(row["waistheightomphalion"]) - int(row["buttockheight"]) + 50,
        }
        for row in rows[:: max(1, len(rows) // count)]
    ]


def drafted(style, given):
    """The draft, or what was said when there is none."""
    words = [f"{key}={value}mm" for key, value in given["body"].items()]
    for key, value in given["choices"].items():
        bare = isinstance(value, str) or key in ("fullness", "panels", "tiers", "growth", "cover")
        words.append(f"{key}={value}" if bare else f"{key}={value}mm")
    done = subprocess.run([BODKIN, "draft", style, *words, "--json"], capture_output=True, text=True, timeout=120)
    if done.returncode == 0:
        return Draft(done.stdout), None
    return None, (done.returncode, done.stderr.strip())


def check_draft(claims, style, draft, given):
    for piece in draft.json["pieces"]:
        check_piece(claims, piece)
    for truth in draft.json["truths"]:
        claims.hold("what bodkin itself says holds", truth["held"], truth["what"])
    CHOICES[style][0](claims, draft, given)


def look(job):
    style, given = job
    claims = Claims()
    draft, refusal = drafted(style, given)
    if draft:
        try:
            check_draft(claims, style, draft, given)
        except (KeyError, StopIteration, ValueError, shapely.errors.GEOSException) as error:
            claims.hold("the draft can be measured", False, f"{type(error).__name__}: {error}")
    return claims, refusal, given


def check_style(style, bodies, report):
    _, sets = CHOICES[style]
    jobs = [(style, {"body": body, "choices": sets[n % len(sets)]}) for n, body in enumerate(bodies)]
    # Our own few bodies with every set of choices.
    jobs += [(style, {"body": body, "choices": choices}) for body in BODIES for choices in sets]
    if style == "apron":
        jobs = [(s, {**g, "body": {"hip_girth": g["body"]["hip_girth"]}}) for s, g in jobs]
    together, refusals, where = Claims(), [], {}
    with ThreadPoolExecutor(2) as pool:
        for claims, refusal, given in pool.map(look, jobs):
            together.looked += claims.looked
            for claim, found in claims.broken.items():
                together.broken[claim] += found
                where.setdefault(claim, given)
            if refusal:
                refusals.append(refusal)
    drafts = len(jobs) - len(refusals)
    print(f"{style}: {drafts} drafts, {len(refusals)} refused")
    for claim, times in together.looked.items():
        broken = together.broken.get(claim, [])
        note = f"{len(broken)} of {times}: {'; '.join(broken[:3])}; first at {where[claim]}" if broken else f"{times} times"
        report(f"{style}: {claim}", not broken, note)
    # A refusal is one sentence and exit code 1, and the exception.
    plain = all(code == 1 and words.startswith("bodkin: ") for code, words in refusals)
    report(f"{style}: what is refused is refused in words", plain, f"{len(refusals)} refused")
    # A quarter circle does not go over a hip far wider than its waist, and says so.
    few = len(refusals) * 100 <= len(jobs) * (15 if style == "circle_skirt" else 5)
    said = "; ".join(f"{words} ({times})" for (_, words), times in Counter(refusals).most_common(3))
    report(f"{style}: nearly every body is drafted", few, f"{drafts} of {len(jobs)}. {said}")


# --- the checks themselves -----------------------------------------------------------


def broken_drafts():
    """Drafts with one thing spoilt, and the claim that must see it."""

    def piece(key, spoil):
        def apply(text):
            spoil(next(p for p in text["pieces"] if p["key"] == key))
        return apply

    def pushed(outline, by):
        ring = Polygon(outline).buffer(by, join_style="mitre")
        return [list(p) for p in ring.exterior.coords[:-1]]

    def narrower(p):
        for points in [p["sewing"], *(e["points"] for e in p["edges"])]:
            for point in points:
                point[0] *= 0.996

    def crossed(p):
        p["sewing"][1], p["sewing"][len(p["sewing"]) // 2] = p["sewing"][len(p["sewing"]) // 2], p["sewing"][1]

    def beyond(p):
        for point in p["cutting"]:
            point[0] -= 1.0

    def shift(p):
        p["cutting"] = [[x + 0.15, y + 0.15] for x, y in p["cutting"]]

    return [
        ("wrap_skirt", "hip by slicing back and under-front", piece("back", narrower)),
        ("wrap_skirt", "waist by the edges of back and under-front", piece("under_front", narrower)),
        ("wrap_skirt", "outlines are valid and simple", piece("over_front", crossed)),
        ("wrap_skirt", "nothing is cut beyond a fold", piece("back", beyond)),
        ("wrap_skirt", "each edge keeps its allowance", piece("over_front", shift)),
        ("wrap_skirt", "the cutting line is where shapely's bands put it", piece("over_front", shift)),
        ("wrap_skirt", "the cutting line holds the sewing line", piece("over_front", lambda p: p.update(cutting=pushed(p["sewing"], -1)))),
        ("wrap_skirt", "no corner is cut short of its allowance", piece("over_front", lambda p: p.update(cutting=pushed(p["cutting"], -0.2)))),
        ("wrap_skirt", "no corner reaches beyond twice its allowance", piece("over_front", lambda p: p.update(cutting=pushed(p["cutting"], 40)))),
        ("wrap_skirt", "an allowance lies outside its edge", piece("over_front", lambda p: p.update(cutting=pushed(p["sewing"], -3)))),
        ("wrap_skirt", "an edge is as long as its points", piece("back", lambda p: p["edges"][0].update(length_mm=p["edges"][0]["length_mm"] + 0.3))),
        ("wrap_skirt", "frill by the edges it joins", lambda text: text["strips"][0].update(length_mm=text["strips"][0]["length_mm"] - 1)),
        ("gored_skirt", "hip by slicing the gores", piece("gore", narrower)),
        ("gored_skirt", "as many gores as asked", piece("gore", lambda p: p.update(count=5))),
        ("circle_skirt", "radius of waist and hem", piece("panel", narrower)),
        ("circle_skirt", "a panel's area is its sector's", piece("panel", narrower)),
        ("gathered_skirt", "band and tiers make the length", lambda text: text["strips"][0].update(width_mm=text["strips"][0]["width_mm"] + 1)),
        ("gathered_skirt", "waist by the band", piece("waistband", narrower)),
        ("apron", "width by slicing", piece("body", narrower)),
    ]


def check_the_checks(report):
    """Each claim goes red when a draft is spoilt."""
    good = {}
    for style, claim, spoil in broken_drafts():
        body = dict(BODIES[1])
        if style == "apron":
            body = {"hip_girth": body["hip_girth"]}
        given = {"body": body, "choices": CHOICES[style][1][0]}
        if style not in good:
            good[style], refusal = drafted(style, given)
            if refusal:
                report(f"{style}: a draft to spoil", False, refusal)
                return
        text = copy.deepcopy(good[style].json)
        spoil(text)
        claims = Claims()
        try:
            check_draft(claims, style, Draft(text), given)
        except (IndexError, shapely.errors.GEOSException):
            pass
        report(f"{style}: a spoilt draft breaks “{claim}”", claim in claims.broken, f"broke {sorted(claims.broken)}")


def main():
    if not BODKIN.exists():
        print(f"{BODKIN.name} is not built: cargo build --release")
        print("0 passed, 1 failed")
        return 1
    counts = Counter()

    def report(what, good, note=""):
        counts[good] += 1
        if not good:
            print(f"FAILED {what}: {note}")
        elif "-v" in sys.argv:
            print(f"  ok {what} ({note})")

    bodies = drawn_bodies(200)
    surveyed = surveyed_bodies(100)
    if surveyed is None:
        print("The survey's own rows are not beside the project: only drawn bodies.")
    for style in CHOICES:
        check_style(style, bodies + (surveyed or []), report)
    check_the_checks(report)
    print(f"{counts[True]} passed, {counts[False]} failed")
    return 0 if counts[False] == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
