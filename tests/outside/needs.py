"""The cloth that each style needs, against a published width chart, published requirements and shapely.

Needs are those of `bodkin draft … --json` at 36, 45, 54 and 60 in, on seeded bodies. Areas, the longest piece and what
lies side by side are taken from the cutting outlines with shapely; nothing of the lay is believed.

The chart (yards by width, credited from memory to the Rutgers Cooperative Extension; two stored copies agree) holds
length x width nearly constant: each of its cells is 0.90 to 1.12 of the 36-in area. It speaks of the usual
garment, so the mean over the book must keep within its own 12 %. One garment strays much further, for pieces come
whole: skirts of two lengths on 54 in are skirts of one length on 60. Rows of plain rectangles, put down here without
any search, stray from the chart as far as the lays do, and garments of one or two lengths stray most; both are held.

Prints the spread and ends with `N passed, M failed`.
"""

import json
import math
import subprocess
import sys
import time
from collections import defaultdict
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction

import numpy
import shapely.affinity
from shapely import Polygon

import bodies
from lays import cutting
from pattern import BODKIN, Report
from pieces import Claims

INCH, YARD = 25.4, 914.4
# The shop's habits before it has said its own (src/shop/settings.rs): shrinkage each way, selvedge, ends squared,
# the gap between pieces, the selling step, and what the terms of the sum are rounded up to.
SHRINK, SELVEDGE, SQUARED, GAP, STEP, EIGHTH = 0.03, 12.7, 25.4, 3.175, YARD / 4, INCH / 8

CHART = """
1 3/4 | 1 1/2 | 1 1/2 | 1 3/8 | 1 1/4 | 1 1/8 | 1     | 7/8
2     | 1 3/4 | 1 3/4 | 1 5/8 | 1 1/2 | 1 3/8 | 1 1/4 | 1 1/8
2 1/4 | 2     | 2     | 1 3/4 | 1 5/8 | 1 1/2 | 1 3/8 | 1 1/4
2 1/2 | 2 1/4 | 2 1/4 | 2 1/8 | 1 3/4 | 1 3/4 | 1 5/8 | 1 1/2
2 7/8 | 2 1/2 | 2 1/2 | 2 1/4 | 2     | 1 7/8 | 1 3/4 | 1 5/8
3 1/8 | 2 3/4 | 2 3/4 | 2 1/2 | 2 1/4 | 2     | 1 7/8 | 1 3/4
3 3/8 | 3     | 2 7/8 | 2 3/4 | 2 3/8 | 2 1/4 | 2     | 1 7/8
3 3/4 | 3 1/4 | 3 1/8 | 2 7/8 | 2 5/8 | 2 3/8 | 2 1/4 | 2 1/8
4 1/4 | 3 1/2 | 3 3/8 | 3 1/8 | 2 3/4 | 2 5/8 | 2 3/8 | 2 1/4
4 1/2 | 3 3/4 | 3 5/8 | 3 3/8 | 3     | 2 3/4 | 2 5/8 | 2 1/2
4 3/4 | 4     | 3 7/8 | 3 5/8 | 3 1/4 | 2 7/8 | 2 3/4 | 2 5/8
5     | 4 1/4 | 4 1/8 | 3 7/8 | 3 3/8 | 3 1/8 | 2 7/8 | 2 3/4
"""
CHART = numpy.array(
    [[float(sum(Fraction(part) for part in cell.split())) for cell in row.split("|")] for row in CHART.strip().split("\n")]
)
# Its columns, by the middle of the width that each is headed with; and those of our widths.
MIDDLES = [35.5, 39, 41, 44.5, 50, 53, 59, 66]
COLUMN = {36: 0, 45: 3, 54: 5, 60: 6}
OTHERS = (36, 54, 60)
BAND = 0.12

# Beside the style as it comes: a second and third cut, so that the needs fill the chart.
CUTS = {
    "apron": [{"finished_length": "30in", "cover": "0.8"}],
    "bodice_block": [{"sleeves": "long"}],
    "childs_frock": [{"finished_length": "34in", "fullness": "2.5"}],
    "circle_skirt": [{"share": "full", "finished_length": "30in"}, {"share": "three_quarter", "panels": "3"}],
    "darted_trousers": [{"hem_round": "22in"}],
    "elastic_trousers": [{"hem_round": "32in"}],
    "fit_and_flare_dress": [{"skirt": "gathered", "sleeves": "short"}],
    "flared_skirt": [{"cut": "eight", "finished_length": "36in"}, {"cut": "a_line"}],
    "gathered_skirt": [{"tiers": "3", "finished_length": "36in"}],
    "kaftan": [{"sleeve": "elbow"}],
    "loose_blouse": [{"sleeve_kind": "set_in", "sleeve": "long"}],
    "mans_tunic": [{"sleeve": "short"}],
    "peplum_top": [{"sleeves": "long", "peplum": "gathered"}],
    "pinafore": [{"finished_length": "36in"}],
    "pleated_skirt": [{"fullness": "2"}],
    "princess_dress": [{"sleeves": "long"}],
    "school_shorts": [{"pocket": "none"}],
    "shift_dress": [{"sleeves": "long", "finished_length": "42in"}],
    "shirt_blouse": [{"sleeves": "long"}],
    "straight_skirt": [{"finished_length": "32in"}],
    "wrap_skirt": [{"frill_along": "leading_edge"}],
    "wrapper": [{"breadths": "two"}],
}
# Sleeves cut in one with the body: for these the chart itself adds a quarter of a yard.
CUT_IN_ONE = {"kaftan", "loose_blouse"}
# So many bodies for each cut.
COUNT = 8


def converted(yards, width):
    """What the chart makes of so many yards of 45 in; beyond its rows in the ratio of the last one."""
    ours, theirs = CHART[:, COLUMN[45]], CHART[:, COLUMN[width]]
    if yards <= ours[0]:
        return yards * theirs[0] / ours[0]
    if yards >= ours[-1]:
        return yards * theirs[-1] / ours[-1]
    return float(numpy.interp(yards, ours, theirs))


def usable(width):
    return width * INCH * (1 - SHRINK) - 2 * SELVEDGE


class Needed:
    """A draft with its needs: mm of lay by width in inches, or why not."""

    def __init__(self, style, values):
        words = [f"{key}={value}" for key, value in values.items()]
        done = subprocess.run([BODKIN, "draft", style, *words, "--json"], capture_output=True, text=True, timeout=120)
        self.style, self.values, self.refusal = style, values, done.stderr.strip() if done.returncode else None
        if self.refusal:
            return
        draft = json.loads(done.stdout)
        self.pieces = [piece for piece in draft["pieces"] if piece["cloth"] == "main"]
        self.strips = [strip for strip in draft["strips"] if strip["cloth"] == "main"]
        self.dimensions = {d["key"]: d["mm"] for d in draft["dimensions"]}
        self.cloth = {round(row["width_mm"] / INCH): row for row in draft["cloth"]}
        self.lay = {width: row.get("lay_mm") for width, row in self.cloth.items()}
        self.boxes = [box for piece in self.pieces for box in boxes(piece)]

    def yards(self, width):
        """Lay, ends and shrinkage, not rounded to the selling step."""
        return (self.lay[width] + 2 * SQUARED) / (1 - SHRINK) / YARD

    def area(self):
        pieces = sum(Polygon(p["cutting"]).area * (2 if p["on_fold"] else 1) * p["count"] for p in self.pieces)
        return pieces + sum(s["length_mm"] * s["width_mm"] * s["count"] for s in self.strips)

    def longest(self):
        """The longest thing that lies along the cloth in one."""
        strips = [s["length_mm"] for s in self.strips if s["grain"] == "along" and not s["joined"]]
        return max([long for long, _ in self.boxes] + strips, default=0.0)


def boxes(piece):
    """The rectangle round each piece as it lies on the cloth, opened out: along and across."""
    outline = cutting(piece, not piece["on_fold"])
    sides = []
    for turn in {"along": (0,), "across": (90,), "bias": (45, 135)}[piece["grain"]]:
        left, top, right, foot = shapely.affinity.rotate(outline, turn, origin=(0, 0)).bounds
        sides.append((foot - top, right - left))
    return [min(sides, key=lambda side: side[1])] * piece["count"]


def rows(needed, width):
    """Rectangles in rows from selvedge to selvedge, the longest first, each in the first row with room; strips across
    in rows of their own. What a cutter with no patience would lay. Nothing where something is too wide."""
    room, lying, below = usable(width), list(needed.boxes), 0.0
    for strip in needed.strips:
        whole = strip["length_mm"] + 2 * strip["join_mm"]
        for _ in range(strip["count"]):
            if strip["grain"] == "across":
                if whole > room and not strip["joined"]:
                    return None
                # A last length shorter than 4 in takes some of the one before.
                lengths = 1 if whole <= room else math.ceil(strip["length_mm"] / (room - 2 * strip["join_mm"] - 4 * INCH))
                below += lengths * strip["width_mm"]
            elif strip["grain"] == "along":
                most = max(2000.0, needed.longest())
                lengths = math.ceil(strip["length_mm"] / (most - 2 * strip["join_mm"])) if strip["joined"] else 1
                lying += [(strip["length_mm"] / lengths + 2 * strip["join_mm"], strip["width_mm"])] * lengths
            else:
                side = (whole + strip["width_mm"]) / math.sqrt(2)
                lying.append((side, side))
    if any(wide > room for _, wide in lying):
        return None
    shelves = []
    for long, wide in sorted(lying, reverse=True):
        shelf = next((s for s in shelves if s[1] + GAP + wide <= room), None)
        if shelf:
            shelf[1] += GAP + wide
        else:
            shelves.append([long, wide])
    return sum(long for long, _ in shelves) + GAP * (len(shelves) - (0 if below else 1)) + below


def up(mm, step):
    return math.ceil(mm / step - 1e-9) * step


# How much longer than rows of rectangles a lay may be. Needs are first lays: pieces dropped one by one, the largest
# first. That mostly gains on rows, for pieces nest; where it does not it was 15 % at most (a loose blouse on
# 45 in), and the search that follows on the order's page ends below the rows. Most must not need it.
OVER_ROWS, ROWS_HOLD = 1.2, 0.98
# The least of the cloth that comes to be cut: 0.45 was an A-line skirt on 60 in, both halves in one length with much beside.
LEAST_CUT = 0.40


def check_needs(claims, needed):
    """What holds of every need by itself."""
    area, last = needed.area(), math.inf
    for width, row in sorted(needed.cloth.items()):
        lay, by_rows = needed.lay[width], rows(needed, width)
        claims.hold("what is too wide is refused, and nothing else", (lay is None) == (by_rows is None), f"{width} in: {row}")
        if lay is None or by_rows is None:
            continue
        share = area / (lay * usable(width))
        claims.hold("length x width holds the area of all pieces", share <= 1, f"{share:.3f} at {width} in")
        claims.hold("no lay leaves more than three fifths of the cloth", share >= LEAST_CUT, f"{share:.3f} at {width} in")
        claims.hold("a lay is as long as its longest piece", lay >= needed.longest() - 0.1, f"{lay:.0f} mm at {width} in")
        claims.hold("a lay is hardly longer than rows of rectangles", lay <= OVER_ROWS * by_rows, f"{lay:.0f} and {by_rows:.0f} mm at {width} in")
        claims.hold("wider cloth takes no more length", lay <= last + 1e-6, f"{lay:.0f} after {last:.0f} mm at {width} in")
        last = lay
        # The sum by our own arithmetic: what is cut keeps (1 - shrinkage) of its length.
        squared = up(lay, EIGHTH) + 2 * SQUARED
        cut = squared + up(squared / (1 - SHRINK) - squared, EIGHTH)
        claims.near("the length to buy is the sum rounded up", row["buy_mm"], up(cut, STEP), 0.01)


def everybody():
    """Styles, their cuts and bodies: always the same ones."""
    rng = numpy.random.default_rng(45)
    women, men = bodies.seeded(rng, 0, COUNT), bodies.seeded(rng, 1, COUNT)
    children = bodies.children(rng, COUNT)
    whose = {"mans_tunic": men, "childs_frock": children, "pinafore": children, "school_shorts": children}
    for style, cuts in CUTS.items():
        for cut in [{}, *cuts]:
            for body in whose.get(style, women):
                yield style, {**{key: f"{mm:.1f}mm" for key, mm in body.items()}, **cut}


def check_book(report):
    with ThreadPoolExecutor(2) as pool:
        drafts = list(pool.map(lambda one: Needed(*one), everybody()))
    claims = defaultdict(Claims)
    for needed in drafts:
        claims[needed.style].hold("it is drafted", not needed.refusal, needed.refusal)
        if not needed.refusal:
            check_needs(claims[needed.style], needed)
    for style, held in claims.items():
        for claim, times in held.looked.items():
            broken = held.broken.get(claim, [])
            report.hold(f"{style}: {claim}", not broken, f"{len(broken)} of {times}: {'; '.join(broken[:3])}" if broken else f"{times} times")
    return [needed for needed in drafts if not needed.refusal]


def lengths(needed, width):
    """How many lengths of its longest piece the shorter of two lays is."""
    return min(needed.lay[width], needed.lay[45]) / needed.longest()


def check_spread(report, drafts):
    """Needs at the other widths by those at 45 in, as the chart has it."""
    print("need ÷ what the chart makes of the need at 45 in:     least  mean  most    within 12 %")
    by_style, strays, few, many = defaultdict(lambda: defaultdict(list)), defaultdict(list), [], []
    for needed in drafts:
        for width in OTHERS:
            if not needed.lay[45] or not needed.lay[width]:
                continue
            ratio = needed.yards(width) / converted(needed.yards(45), width)
            by_style[width][needed.style].append(ratio)
            (few if lengths(needed, width) < 1.1 else many if lengths(needed, width) > 2.1 else []).append(ratio)
            plain = {w: (rows(needed, w) + 2 * SQUARED) / (1 - SHRINK) / YARD for w in (45, width)}
            strays[width].append((ratio, plain[width] / converted(plain[45], width)))
    for width in OTHERS:
        ours, plain = numpy.array(strays[width]).T
        within = numpy.mean(abs(ours - 1) <= BAND)
        print(f"  {width} in, {len(ours)} drafts{'':28}{ours.min():8.2f}{ours.mean():6.2f}{ours.max():6.2f}{within:13.0%}")
        print(f"     rows of rectangles{'':30}{plain.min():8.2f}{plain.mean():6.2f}{plain.max():6.2f}{numpy.mean(abs(plain - 1) <= BAND):13.0%}")
        means = {style: float(numpy.mean(ratios)) for style, ratios in by_style[width].items()}
        low, high = min(means, key=means.get), max(means, key=means.get)
        print(f"     least {low} {means[low]:.2f}, most {high} {means[high]:.2f}; {len(means)} styles, {len(CUTS) - len(means)} too wide")
        mean = float(numpy.mean(list(means.values())))
        report.near(f"{width} in: the mean over the styles keeps the chart's band", mean, 1, BAND)
        report.hold(f"{width} in: lays stray hardly more than rows of rectangles", ours.std() <= 1.15 * plain.std(), f"{ours.std():.3f} {plain.std():.3f}")
        report.hold(f"{width} in: they stray where rectangles do", numpy.corrcoef(ours, plain)[0, 1] >= 0.3, f"{numpy.corrcoef(ours, plain)[0, 1]:.2f}")
        # Length x width against 45 in, without the chart.
        level = [needed.yards(width) * width / (needed.yards(45) * 45) for needed in drafts if needed.lay[45] and needed.lay[width]]
        report.near(f"{width} in: length x width is that of 45 in", float(numpy.mean(level)), 1, BAND + 0.03)
        print(f"     length x width ÷ that of 45 in {'':17}{min(level):8.2f}{numpy.mean(level):6.2f}{max(level):6.2f}")
    print(f"  by lengths of the longest piece: one {numpy.std(few):.2f} off (spread), more than two {numpy.std(many):.2f}")
    report.hold("garments of one length stray most", numpy.std(few) > numpy.std(many) + 0.03, f"{numpy.std(few):.3f} {numpy.std(many):.3f}")
    check_cut_in_one(report, drafts)
    ratios = [needed.lay[w] / rows(needed, w) for needed in drafts for w in COLUMN if needed.lay[w]]
    over = float(numpy.mean(numpy.array(ratios) <= 1.01))
    print(f"  lay ÷ rows of rectangles: {min(ratios):.2f} to {max(ratios):.2f}, mean {numpy.mean(ratios):.2f}; no longer: {over:.1%} of {len(ratios)}")
    report.hold("nearly all lays are no longer than rows of rectangles", over >= ROWS_HOLD, f"{over:.3f}")


def check_cut_in_one(report, drafts):
    """The chart's note: add 1/4 yd where sleeves are cut in one with the body."""
    for style in sorted(CUT_IN_ONE):
        some = [n for n in drafts if n.style == style and n.values.get("sleeve_kind") != "set_in"]
        for width in (54, 60):
            both = [(n.yards(width), converted(n.yards(45), width)) for n in some if n.lay[45] and n.lay[width]]
            bare, added = (float(numpy.mean([need / (chart + more) for need, chart in both])) for more in (0, 0.25))
            print(f"  {style} at {width} in: {bare:.2f} of the chart, {added:.2f} with the 1/4 yd that it adds for sleeves cut in one")
            report.near(f"{style} at {width} in: the chart and its 1/4 yd", added, 1, BAND)


def check_chart(report):
    """That the chart was written down as it was read: its areas as they were reckoned from it then."""
    areas = CHART * numpy.array(MIDDLES) / (CHART[:, :1] * MIDDLES[0])
    report.near("chart: least area of a cell", areas.min(), 0.90, 0.005)
    report.near("chart: greatest area of a cell", areas.max(), 1.12, 0.005)
    report.near("chart: least mean of a column", areas.mean(axis=0)[1:].min(), 0.95, 0.005)
    report.near("chart: greatest mean of a column", areas.mean(axis=0)[1:].max(), 1.03, 0.005)
    falls = bool((numpy.diff(CHART, axis=1) <= 0).all() and (numpy.diff(CHART, axis=0) >= 0).all())
    report.hold("chart: wider is shorter, more is more", falls, CHART)


# --- published requirements ----------------------------------------------------------


def told(words, found, book):
    print(f"  {words}: ours {found}; published {book}")


def check_published(report):
    print("published requirements (lays alone; the books neither shrink nor square):")
    check_skirt(report)
    check_lengths(report)
    check_drawers(report)
    check_pleats(report)
    check_ruffles(report)
    check_circles(report)


def check_skirt(report):
    """Every Woman's Encyclopaedia, vol. 1 p. 637: a skirt 42 in long is 3 1/4 yd of 54 in. No measures stand there; waist
    25, hip 40 are those of Bennett's gored skirt (The Perfect Dressmaking System, 1914, p. 13), with his hem of 2 1/4 yd
    and Ingalls' of 3 yd (Text-Book on Domestic Art, 1911: 2 1/2 to 3)."""
    least, most = (gored(hem).lay[54] / YARD for hem in ("81in", "108in"))
    told("skirt of 42 in on 54 in, six gores, hem 2 1/4 and 3 yd", f"{least:.2f} and {most:.2f} yd", "3 1/4 yd")
    # The wider one may come out shorter where the search nests better than she did: by the chart's band.
    report.hold("a 42-in skirt of 54-in cloth lies between the two hems", least <= 3.25 <= most * (1 + BAND), (least, most))


def gored(hem):
    return Needed("flared_skirt", {"waist_girth": "25in", "hip_girth": "40in", "finished_length": "42in", "cut": "six", "sweep": hem})


def check_lengths(report):
    """Kinne and Cooley, Clothing and Health (1916): for a skirt three lengths, each 4 in longer than it is finished."""
    found, book = gored("81in").lay[36] / INCH, 3 * (42 + 4)
    told("gored skirt of 42 in on 36 in", f"{found:.0f} in", f"{book} in")
    # Gores nest at their narrow ends: half a length less is possible, hardly more.
    report.hold("a gored skirt takes three lengths", 2.5 / 3 <= found / book <= 1 + BAND, found / book)


def check_drawers(report):
    """Ingalls (1911): drawers, waist 24, hip 39, side 22, are 1 3/4 yd of 36 in. The nearest is a pair of shorts without
    pockets, drawn to the same side; drawers have bands and a placket, which the shorts have not, so that up to a quarter of
    their cloth is not in ours."""
    shorts = Needed("school_shorts", {"waist_girth": "24in", "hip_girth": "39in", "body_rise": "11in", "inside_leg": "10 1/4in", "growth_hem": "1in", "pocket": "none"})
    side = shorts.dimensions["finished_length"] / INCH
    found = shorts.lay[36] / INCH
    told(f"drawers, side {side:.1f} in, on 36 in", f"{found:.0f} in ({rows(shorts, 36) / INCH:.0f} in rows)", "63 in")
    report.near("drawn to the side of the drawers", side, 22, 0.1)
    report.hold("shorts take hardly more than drawers, and at least three quarters", 0.75 * 63 <= found <= (1 + BAND) * 63, found)


def check_pleats(report):
    """Conover, A Complete Course in Dressmaking, vol. 5 (1921), pp. 63-69: a pleated skirt of two and a half widths of 36-in
    cloth for waist 28, hip 40, seamed to 88 in. Ours has whole breadths alike, so that every seam hides in a pleat: three
    lengths where the book shares the third with another skirt. The band lies along the cloth below or beside."""
    skirt = Needed("pleated_skirt", {"waist_girth": "28in", "hip_girth": "40in", "fullness": str(round(88 / 42, 4)), "breadth": "34in"})
    breadth = next(p for p in skirt.pieces if p["key"] == "panel")
    (long, _), *_ = boxes(breadth)
    band = max(long for long, wide in skirt.boxes if wide < 4 * INCH)
    report.near("pleated: as much cloth round as in the book", skirt.dimensions["cloth_round"] / INCH, 88, 0.1)
    report.hold("pleated: three breadths for two and a half", breadth["count"] == 3, breadth["count"])
    told("pleated skirt on 36 in", f"{skirt.lay[36] / long:.2f} lengths with its band", "2 1/2 widths without")
    report.hold("pleated: from two and a half lengths to three and the band", 2.5 * long <= skirt.lay[36] <= 3 * long + band + 3 * GAP + EIGHTH, skirt.lay[36])


def check_ruffles(report):
    """Baldt, Clothing for Women (1916): strips = edge x ratio ÷ width of the cloth, rounded up; cloth = strips x depth. Her
    selvedges and joins take nothing, so that with ours a strip more may be needed; what her rounding leaves at the ends
    is cloth that the next tier may use. The band lies along the cloth, beside a row that is not full or below."""
    for tiers in (1, 2, 3):
        words = {"waist_girth": "28in", "hip_girth": "40in", "tiers": tiers, "finished_length": "30in"}
        skirt = Needed("gathered_skirt", words)
        band = max(long for long, _ in skirt.boxes)
        for width in COLUMN:
            book, ours = strips_deep(skirt, width * INCH, 0), strips_deep(skirt, usable(width), 2)
            lay, least = skirt.lay[width], sum(s["length_mm"] * s["width_mm"] for s in skirt.strips) / usable(width)
            name = f"{tiers} tier(s) on {width} in"
            report.hold(f"{name}: not below the strips' own area", lay >= least, f"{lay:.0f} {least:.0f}")
            report.hold(f"{name}: no more than Baldt's strips and the band", lay <= ours + band + GAP + EIGHTH, f"{lay:.0f} {ours:.0f}")
            if width == 36:
                found = f"{lay / INCH:.0f} in with a band of {band / INCH:.0f} in"
                told(f"gathered skirt, {name}", found, f"{book / INCH:.0f} in; {ours / INCH:.0f} in with our selvedges and joins")


def strips_deep(skirt, across, joins):
    """Every strip of one width deep, each length from selvedge to selvedge."""
    deep = 0.0
    for strip in skirt.strips:
        lengths = math.ceil(strip["length_mm"] / (across - joins * strip["join_mm"]) - 1e-9)
        deep += lengths * strip["width_mm"] * strip["count"]
    return deep


# Waist of a circle skirt and its radius, cm: W ÷ 2π of a full circle, W ÷ π of a half (geometry).
CIRCLES = [(60, 9.549, 19.099), (66, 10.504, 21.008), (70, 11.141, 22.282), (76, 12.096, 24.192)]


def check_circles(report):
    """A half circle of radius R lies in 2 R of any cloth that is as wide as R; a full one cut as two halves also in 2 R
    where the cloth is as wide as 2 R. R is the waist's radius by the table, the length and the hem; the straight edges
    have their allowance beyond, and the band lies beside."""
    for waist, full, half in CIRCLES:
        for share, panels, radius in (("full", 2, full), ("half", 1, half)):
            plain = {"waist_ease": "0in", "drawn_small": "0in", "band_depth": "1in", "hem_allowance": "1/4in", "finished_length": "40cm"}
            skirt = Needed("circle_skirt", {"waist_girth": f"{waist}cm", "hip_girth": f"{waist + 24}cm", "share": share, "panels": panels, **plain})
            if skirt.refusal:
                report.hold(f"{share} circle, waist {waist} cm", False, skirt.refusal)
                continue
            outer = radius * 10 + 400 - INCH + INCH / 4
            lay = skirt.lay[60]
            band = max(long for long, wide in skirt.boxes if wide < 4 * INCH)
            # Along the chord twice R; one beside the other, or cut with the chord across, never below R.
            told(f"{share} circle, waist {waist} cm, on 60 in", f"{lay:.0f} mm", f"2 R = {2 * outer:.0f} mm")
            report.near(f"{share} circle, waist {waist} cm: 2 R and no more than the allowances", lay, max(2 * outer, band), 2 * INCH)


def spoilt(report, drafts):
    """Each claim goes red when a need is spoilt."""
    good = next(n for n in drafts if n.style == "shift_dress" and all(n.lay.values()))

    def broken(change):
        claims, kept = Claims(), (dict(good.lay), {w: dict(row) for w, row in good.cloth.items()})
        change(good)
        check_needs(claims, good)
        good.lay, good.cloth = kept
        return claims.broken

    def scaled(by, widths=COLUMN):
        return lambda n: n.lay.update({w: n.lay[w] * by for w in widths})

    report.hold("an unspoilt need holds", not broken(lambda n: None), "")
    for claim, change in (
        ("length x width holds the area of all pieces", scaled(0.5)),
        ("no lay leaves more than three fifths of the cloth", scaled(2.0)),
        ("a lay is as long as its longest piece", scaled(0.4)),
        ("a lay is hardly longer than rows of rectangles", scaled(1.8)),
        ("wider cloth takes no more length", scaled(1.5, (60,))),
        ("what is too wide is refused, and nothing else", lambda n: n.lay.update({60: None})),
        ("the length to buy is the sum rounded up", lambda n: n.cloth[45].update(buy_mm=n.cloth[45]["buy_mm"] + STEP)),
    ):
        report.hold(f"a spoilt need breaks “{claim}”", claim in broken(change), sorted(broken(change)))


def main():
    if not BODKIN.exists():
        print(f"{BODKIN.name} is not built: cargo build --release")
        print("0 passed, 1 failed")
        return 1
    began, report = time.monotonic(), Report()
    listed = subprocess.run([BODKIN, "styles"], capture_output=True, text=True, check=True).stdout.splitlines()
    report.hold("every style of the book is needed here", {line.split()[0] for line in listed if line.strip()} == set(CUTS), listed)
    check_chart(report)
    drafts = check_book(report)
    check_spread(report, drafts)
    check_published(report)
    spoilt(report, drafts)
    print(f"{len(drafts)} drafts, {time.monotonic() - began:.0f} s")
    print(f"{report.counts[True]} passed, {report.counts[False]} failed")
    return 0 if report.counts[False] == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
