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
import os
import pathlib
import subprocess
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

import numpy
import shapely
from shapely import Polygon

from pieces import DARTED, Claims, check_piece
from slices import SLICED
from styles import CHOICES, Draft

CHECKS = {**CHOICES, **SLICED}
# Not measured here, and why. Their truths and allowances are proved inside (tests/it).
NOT_MEASURED = {
    "childs_frock": "bodies of children are not drawn here",
    "pinafore": "bodies of children are not drawn here",
    "school_shorts": "bodies of children are not drawn here",
    "loose_blouse": "no girth is declared but the bust, at the underarm's own corners",
    "shirt_blouse": "no girth is declared but the bust, round a turned dart",
    "pleated_skirt": "its hip is what is left between folded pleats",
    "wrapper": "a straight length of cloth",
}

ROOT = pathlib.Path(__file__).resolve().parents[2]
BODKIN = pathlib.Path(os.environ.get("BODKIN", ROOT / "target" / "release" / "bodkin")).resolve()
SURVEY = ROOT.parent / "shared" / "checks" / "bodies" / "ansur2_female.csv"

# Our own invention: small, usual, large, straight, with a full hip.
BODIES = [
    {"bust_girth": 840, "waist_girth": 640, "hip_girth": 880, "waist_to_hip": 200},
    {"bust_girth": 916, "waist_girth": 724, "hip_girth": 962, "waist_to_hip": 205},
    {"bust_girth": 1190, "waist_girth": 1105, "hip_girth": 1230, "waist_to_hip": 215},
    {"bust_girth": 960, "waist_girth": 900, "hip_girth": 930, "waist_to_hip": 190},
    {"bust_girth": 930, "waist_girth": 760, "hip_girth": 1120, "waist_to_hip": 220},
]


def drawn_bodies(count):
    """Bodies drawn from the survey's means, spreads and correlations, always the same ones."""
    survey = json.loads((ROOT / "tests" / "outside" / "bodies.json").read_text())
    sd = numpy.array(survey["sd"])
    draws = numpy.random.default_rng(1914).multivariate_normal(
        survey["mean"], numpy.array(survey["correlation"]) * numpy.outer(sd, sd), count
    )
    bodies = [dict(zip(survey["names"], (round(float(v)) for v in row))) for row in draws]
    # The figures have no bust: three quarters of the waist and 370 mm (judgement).
    return [{**body, "bust_girth": round(0.75 * body["waist_girth"] + 370)} for body in bodies]


def surveyed_bodies(count):
    """Real rows of the survey, evenly spread, when they lie beside the project."""
    if not SURVEY.exists():
        return None
    rows = list(csv.DictReader(SURVEY.open()))
    return [
        {
            "bust_girth": int(row["chestcircumference"]),
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
        for edge in piece["edges"]:
            if style in SLICED:
                edge["may_be_darted"] = any(dart["edge"] == edge["key"] for dart in piece["darts"])
            else:
                edge["may_be_darted"] = style == "straight_skirt" and (piece["key"], edge["key"]) in DARTED
        check_piece(claims, piece)
    for truth in draft.json["truths"]:
        claims.hold("what bodkin itself says holds", truth["held"], truth["what"])
    CHECKS[style][0](claims, draft, given)


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
    _, sets = CHECKS[style]
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
        note = (
            f"{len(broken)} of {times}: {'; '.join(broken[:3])}; first at {where[claim]}"
            if broken
            else f"{times} times"
        )
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
        (
            "wrap_skirt",
            "the cutting line holds the sewing line",
            piece("over_front", lambda p: p.update(cutting=pushed(p["sewing"], -1))),
        ),
        (
            "wrap_skirt",
            "no corner is cut short of its allowance",
            piece("over_front", lambda p: p.update(cutting=pushed(p["cutting"], -0.2))),
        ),
        (
            "wrap_skirt",
            "no corner reaches beyond twice its allowance",
            piece("over_front", lambda p: p.update(cutting=pushed(p["cutting"], 40))),
        ),
        (
            "wrap_skirt",
            "an allowance lies outside its edge",
            piece("over_front", lambda p: p.update(cutting=pushed(p["sewing"], -3))),
        ),
        (
            "wrap_skirt",
            "an edge is as long as its points",
            piece("back", lambda p: p["edges"][0].update(length_mm=p["edges"][0]["length_mm"] + 0.3)),
        ),
        (
            "wrap_skirt",
            "frill by the edges it joins",
            lambda text: text["strips"][0].update(length_mm=text["strips"][0]["length_mm"] - 1),
        ),
        ("flared_skirt", "hip by slicing the gores", piece("gore", narrower)),
        ("flared_skirt", "as many gores as asked", piece("gore", lambda p: p.update(count=5))),
        ("circle_skirt", "radius of waist and hem", piece("panel", narrower)),
        ("circle_skirt", "a panel's area is its sector's", piece("panel", narrower)),
        (
            "gathered_skirt",
            "band and tiers make the length",
            lambda text: text["strips"][0].update(width_mm=text["strips"][0]["width_mm"] + 1),
        ),
        ("gathered_skirt", "waist by the band", piece("waistband", narrower)),
        ("straight_skirt", "hip by slicing front and back", piece("back", narrower)),
        ("princess_dress", "bust_girth by slicing", piece("side_front", narrower)),
        ("shift_dress", "waist_girth by slicing", piece("back", narrower)),
        ("bodice_block", "waist_girth by slicing", piece("back", narrower)),
        ("darted_trousers", "hip_girth by slicing", piece("front", narrower)),
        ("apron", "width by slicing", piece("body", narrower)),
    ]


def check_the_checks(report):
    """Each claim goes red when a draft is spoilt."""
    good = {}
    for style, claim, spoil in broken_drafts():
        body = dict(BODIES[1])
        if style == "apron":
            body = {"hip_girth": body["hip_girth"]}
        given = {"body": body, "choices": CHECKS[style][1][0]}
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
    listed = subprocess.run([BODKIN, "styles"], capture_output=True, text=True, check=True).stdout.splitlines()
    unchecked = {line.split()[0] for line in listed if line.strip()} - set(CHECKS) - set(NOT_MEASURED)
    report("every style of the book is measured here", not unchecked, f"not {sorted(unchecked)}")
    for style in CHECKS:
        check_style(style, bodies + (surveyed or []), report)
    check_the_checks(report)
    print(f"{counts[True]} passed, {counts[False]} failed")
    return 0 if counts[False] == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
