"""Each style of the book against the body: girths by slicing, lengths, areas, strips."""

import json
import math

import numpy
import shapely
from shapely import LineString, Point, Polygon

from pieces import ALLOWANCE, EQUAL, SOLVED, TINY, edge_of, walked

INCH = 25.4


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
    claims.near(
        "the over-front's side stands over the back's at the hip", abs(side), (hip + choice["hip_ease"]) / 4, SOLVED
    )
    join = whole - (depth if frilled else 0)
    claims.near("centre back length", draft.edge("back", "centre"), join, EQUAL)
    hem = (hip + choice["hip_ease"]) / 4 - choice["taper"]
    trued = numpy.array(draft.pieces["back"]["sewing"])
    claims.near(
        "hem width after the taper",
        abs(trued[numpy.argsort(numpy.hypot(trued[:, 0] - hem, trued[:, 1] - (whole - depth)))[0], 0]),
        hem,
        EQUAL,
    )
    joined = draft.edge("over_front", "leading")
    if choice["frill_along"] != "leading_edge":
        joined += sum(
            draft.edge("over_front", key)
            for key in ("rounded", "hem")
            if key in {e["key"] for e in draft.pieces["over_front"]["edges"]}
        )
    if frilled:
        joined += 2 * (draft.edge("back", "hem") + draft.edge("under_front", "hem"))
    frill = draft.strips["frill"]
    claims.near("frill by the edges it joins", frill["length_mm"], choice["fullness"] * joined, SOLVED)
    claims.near("frill cut depth", frill["width_mm"], depth + choice["frill_join"] + choice["frill_hem"], EQUAL)
    seam = lambda piece: sum(
        walked(e["points"])
        for e in draft.pieces[piece]["edges"]
        if e["key"] in ("side", "lower") and len(e["points"]) > 1
    )
    claims.near("side seams walk", seam("back"), seam("under_front"), EQUAL)


def flared_skirt(claims, draft, given):
    body, choice = given["body"], given["choices"]
    gore, count = draft.pieces["gore"], {"four": 4, "six": 6, "eight": 8}[choice["cut"]]
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
    claims.near(
        "waist by the panels' arcs",
        count * (draft.edge("panel", "waist") + draft.edge("panel", "waist_2")),
        drawn,
        SOLVED,
    )
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
    claims.hold(
        "the first tier is no tighter than the hip", tiers[0]["length_mm"] >= body["hip_girth"] + 2 * INCH - EQUAL
    )
    for above, tier in zip(tiers, tiers[1:]):
        claims.near(
            "each tier is fuller than the one above", tier["length_mm"], above["length_mm"] * choice["fullness"], EQUAL
        )
    claims.hold("as many tiers as asked", sum(key.startswith("tier_") for key in draft.strips) == choice["tiers"])
    seams = choice["waist_allowance"] + (2 * len(tiers) - 2) * choice["seam"] + choice["hem_allowance"]
    depth = sum(tier["width_mm"] for tier in tiers) - seams + choice["band_depth"]
    claims.near("band and tiers make the length", depth, choice["finished_length"], SOLVED)
    band_area(claims, draft, band, choice)


def straight_skirt(claims, draft, given):
    body, choice = given["body"], given["choices"]
    band = body["waist_girth"] + choice["waist_ease"]
    level = body["waist_to_hip"] - choice["band_depth"]
    front, back = draft.pieces["front"], draft.pieces["back"]
    slices = wide(front, level) + 2 * wide(back, level)
    claims.near("hip by slicing front and back", slices, body["hip_girth"] + choice["hip_ease"], SOLVED)
    claims.near("waist by the band", draft.edge("waistband", "join"), band, EQUAL)
    darts_closed = 2 * edge_of(front, "waist")["length_mm"] + 2 * edge_of(back, "waist")["length_mm"]
    claims.near("waist with the darts closed", darts_closed, band + choice["eased_on"], SOLVED)
    claims.near("front length", draft.edge("front", "centre"), choice["finished_length"] - choice["band_depth"], EQUAL)
    side = lambda piece: draft.edge(piece, "side") + draft.edge(piece, "lower")
    claims.near("side seams walk", side("front"), side("back"), SOLVED)
    band_area(claims, draft, band, choice)


def apron(claims, draft, given):
    body, choice = given["body"], given["choices"]
    outline = draft.pieces["body"]
    level = choice["bib_height"]
    claims.near("width by slicing", wide(outline, level + INCH), body["hip_girth"] * choice["cover"], SOLVED)
    claims.near("bib by its top edge", 2 * draft.edge("body", "top"), choice["bib_width"], EQUAL)
    claims.near(
        "length by slicing the fold", high(outline, 0.01), choice["bib_height"] + choice["finished_length"], EQUAL
    )
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


# Every choice that a check leans on is said, so that a changed default changes no check.
# Several sets for each style; lengths in mm.
CHOICES = {
    "wrap_skirt": (
        wrap_skirt,
        [
            {
                "finished_length": 680,
                "frill_along": "leading_edge_and_whole_hem",
                "frill_depth": 110,
                "fullness": 2,
                "taper": 10,
                "tie_falls": "left",
                "waist_ease": 0,
                "hip_ease": 25,
                "frill_join": 12.7,
                "frill_hem": 12.7,
                "side_allowance": 25.4,
            },
            {
                "finished_length": 720,
                "frill_along": "leading_edge_and_over_front_hem",
                "frill_depth": 90,
                "fullness": 1.75,
                "taper": 0,
                "tie_falls": "right",
                "waist_ease": 12,
                "hip_ease": 40,
                "frill_join": 10,
                "frill_hem": 8,
                "side_allowance": 20,
            },
            {
                "finished_length": 590,
                "frill_along": "leading_edge",
                "frill_depth": 60,
                "fullness": 2.5,
                "taper": 20,
                "tie_falls": "left",
                "waist_ease": 0,
                "hip_ease": 0,
                "frill_join": 12,
                "frill_hem": 10,
                "side_allowance": 15,
                "waist_allowance": 10,
                "corner_round": 60,
                "lead_curve": 30,
            },
        ],
    ),
    "flared_skirt": (
        flared_skirt,
        [
            {
                "finished_length": 690,
                "cut": "six",
                "sweep": 1900,
                "waist_ease": 12,
                "hip_ease": 50,
                "eased_on": 12,
                "band_depth": 30,
                "underlap": 32,
                "waist_allowance": 12,
            },
            {
                "finished_length": 810,
                "cut": "four",
                "sweep": 2000,
                "waist_ease": 10,
                "hip_ease": 60,
                "eased_on": 0,
                "band_depth": 40,
                "underlap": 30,
                "waist_allowance": 10,
                "seam": 15,
                "hem_allowance": 25,
            },
            {
                "finished_length": 640,
                "cut": "eight",
                "sweep": 2400,
                "waist_ease": 20,
                "hip_ease": 45,
                "eased_on": 15,
                "band_depth": 25,
                "underlap": 30,
                "waist_allowance": 12,
                "seam": 20,
            },
        ],
    ),
    "circle_skirt": (
        circle_skirt,
        [
            {
                "finished_length": 640,
                "share": "half",
                "panels": 2,
                "waist_ease": 12,
                "drawn_small": 12,
                "band_depth": 30,
                "underlap": 30,
                "waist_allowance": 12,
                "side_allowance": 25,
            },
            {
                "finished_length": 560,
                "share": "full",
                "panels": 4,
                "waist_ease": 15,
                "drawn_small": 20,
                "band_depth": 35,
                "underlap": 32,
                "waist_allowance": 10,
                "side_allowance": 15,
            },
            {
                "finished_length": 700,
                "share": "three_quarter",
                "panels": 3,
                "waist_ease": 10,
                "drawn_small": 0,
                "band_depth": 30,
                "underlap": 30,
                "waist_allowance": 12,
                "hem_allowance": 10,
            },
            {
                "finished_length": 750,
                "share": "quarter",
                "panels": 1,
                "waist_ease": 15,
                "drawn_small": 12,
                "band_depth": 30,
                "underlap": 30,
                "waist_allowance": 12,
            },
        ],
    ),
    "gathered_skirt": (
        gathered_skirt,
        [
            {
                "finished_length": 700,
                "tiers": 2,
                "fullness": 1.6,
                "waist_ease": 12,
                "band_depth": 30,
                "underlap": 30,
                "seam": 12,
                "waist_allowance": 12,
                "hem_allowance": 38,
            },
            {
                "finished_length": 950,
                "tiers": 4,
                "fullness": 1.4,
                "waist_ease": 15,
                "band_depth": 35,
                "underlap": 32,
                "seam": 10,
                "waist_allowance": 10,
                "hem_allowance": 25,
                "growth": 0.2,
            },
            {
                "finished_length": 520,
                "tiers": 1,
                "fullness": 2.25,
                "waist_ease": 10,
                "band_depth": 30,
                "underlap": 30,
                "seam": 12,
                "waist_allowance": 12,
                "hem_allowance": 40,
            },
        ],
    ),
    "straight_skirt": (
        straight_skirt,
        [
            {
                "finished_length": 620,
                "hip_ease": 50,
                "figure": "even",
                "vent": 200,
                "waist_ease": 12,
                "eased_on": 12,
                "band_depth": 30,
                "underlap": 30,
                "waist_allowance": 12,
            },
            {
                "finished_length": 560,
                "hip_ease": 60,
                "figure": "full_front",
                "vent": 0,
                "waist_ease": 15,
                "eased_on": 0,
                "band_depth": 35,
                "underlap": 32,
                "waist_allowance": 10,
                "side_allowance": 20,
            },
            {
                "finished_length": 680,
                "hip_ease": 45,
                "figure": "full_seat",
                "vent": 220,
                "waist_ease": 10,
                "eased_on": 15,
                "band_depth": 30,
                "underlap": 30,
                "waist_allowance": 12,
                "hem_allowance": 40,
            },
        ],
    ),
    "apron": (
        apron,
        [
            {
                "finished_length": 540,
                "cover": 0.6,
                "bib_height": 270,
                "bib_width": 240,
                "pocket_width": 190,
                "pocket_depth": 170,
                "tie_length": 850,
            },
            {
                "finished_length": 620,
                "cover": 0.75,
                "bib_height": 300,
                "bib_width": 200,
                "pocket_width": 160,
                "pocket_depth": 150,
                "tie_length": 700,
            },
        ],
    ),
}

# Our own invention: small, usual, large, straight, with a full hip.
