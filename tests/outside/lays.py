"""The plot of a lay in true scale, read back from the file by pdfplumber and plain arithmetic.

A shop of our own is opened, a garment ordered, and its lay fetched as PDF. Nothing of bodkin's
own pages is believed: the squares, the outlines and the ruler are taken from the PDF as a
plotter gets it. Each outline is laid on the cutting outline of `bodkin draft --json`, as drawn
or turned over or turned end for end.

Prints what does not hold and ends with `N passed, M failed`.
"""

import json
import math
import re
import subprocess
import sys
import tempfile
import urllib.error
import urllib.parse
import urllib.request
import pathlib

import shapely
import shapely.affinity
from shapely import LineString, Polygon

from pattern import BODKIN, CUT, PAGE, Report, bodkin, check_squares, read
from pieces import walked

# Promised: outlines and the ruler within 0.1 mm.
WITHIN = 0.1
TICK, SELVEDGE, FOLD = 0.18, 0.2, 0.5
MARGIN, FOOT = 10, 8
ROLLS = {"cloth": None, "36": 914.4, "60": 1524.0}


class NoRedirect(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *_):
        return None


class Shop:
    """A shop of its own folder, served while it is used."""

    def __init__(self, folder):
        self.server = subprocess.Popen([BODKIN, "serve", "--data", folder, "--port", "0"], stdout=subprocess.PIPE, text=True)
        self.address = re.search(r"http://[^\s/]+", self.server.stdout.readline())[0]
        self.opener = urllib.request.build_opener(NoRedirect)

    def post(self, path, **fields):
        fields = {key.replace("__", "."): value for key, value in fields.items()}
        body = urllib.parse.urlencode(fields).encode()
        request = urllib.request.Request(self.address + path, body, {"Origin": self.address})
        try:
            answer = self.opener.open(request)
            raise RuntimeError(f"{path}: {answer.status} {answer.read().decode()[:400]}")
        except urllib.error.HTTPError as error:
            if error.code != 303:
                raise RuntimeError(f"{path}: {error.code} {re.sub(r'<[^>]*>', ' ', error.read().decode())[:800]}") from error
            return error.headers["Location"].split("?")[0].split("#")[0]

    def get(self, path):
        with self.opener.open(self.address + path) as answer:
            return answer.read()

    def close(self):
        self.server.terminate()
        self.server.wait(timeout=20)


def cutting(piece, on_fold):
    """The outline that is cut: the half on the fold, or the whole piece."""
    ring = piece["cutting"]
    if not piece["fold"] or on_fold:
        return Polygon(ring)
    (ax, ay), (bx, by) = piece["fold"]
    long = math.dist((ax, ay), (bx, by))
    ux, uy = (bx - ax) / long, (by - ay) / long

    def over(x, y):
        along = (x - ax) * ux + (y - ay) * uy
        return 2 * (ax + along * ux) - x, 2 * (ay + along * uy) - y

    other = Polygon([over(*point) for point in ring])
    # A hair, so that the two halves are one piece along their fold.
    return shapely.union(Polygon(ring).buffer(1e-6), other.buffer(1e-6)).buffer(-1e-6)


def off(drawn, outline):
    """How far a drawn outline lies off another at best, in any of the ways that cloth allows."""
    best = math.inf
    for mirrored in (False, True):
        for turn in (0, 90, 180, 270, 45, 135, 225, 315):
            moved = shapely.affinity.rotate(outline, turn, origin=(0, 0))
            if mirrored:
                moved = shapely.affinity.scale(moved, -1, 1, origin=(0, 0))
            x, y, right, foot = moved.bounds
            to_x, to_y, to_right, to_foot = drawn.bounds
            if abs((right - x) - (to_right - to_x)) > 0.2 or abs((foot - y) - (to_foot - to_y)) > 0.2:
                continue
            moved = shapely.affinity.translate(moved, to_x - x, to_y - y)
            best = min(best, shapely.hausdorff_distance(moved.exterior, drawn.exterior, densify=0.5))
    return best


def check_plot(report, name, pages, draft, roll, inches):
    sheet = pages[0]
    check_squares(report, name, sheet)
    report.hold(f"{name}: no longer than PDF allows", all(page.size[1] <= 5080 for page in pages), [p.size for p in pages])
    if ROLLS[roll]:
        report.hold(f"{name}: as wide as the roll", all(abs(p.size[0] - ROLLS[roll]) < PAGE for p in pages), sheet.size)
    report.hold(f"{name}: each sheet says whose", all("2026" in p.upright_text or "20" in p.text for p in pages), "")
    if len(pages) > 1:
        return
    outlines = [Polygon(points) for points in sheet.drawn(CUT) if len(points) > 3]
    wanted = [(piece, half) for piece in draft["pieces"] if piece["cloth"] == "main" for half in ((False, True) if piece["fold"] else (False,))]
    found, strips = {}, []
    for outline in outlines:
        best = min(((off(outline, cutting(piece, half)), piece["letter"], half) for piece, half in wanted), key=lambda one: one[0])
        if best[0] <= WITHIN:
            found.setdefault(best[1], []).append(outline)
        else:
            strips.append((outline, best[0]))
    for piece in draft["pieces"]:
        if piece["cloth"] == "main":
            least = math.ceil(piece["count"] / 2)
            report.hold(f"{name}: {piece['letter']} is there in true size", len(found.get(piece["letter"], [])) >= least, f"{len(found.get(piece['letter'], []))} of {least}")
    # What is no piece is a length of a strip: a rectangle as broad as one of the strips.
    broad = [strip["width_mm"] for strip in draft["strips"]]
    for outline, far in strips:
        x, y, right, foot = outline.minimum_rotated_rectangle.bounds
        sides = [right - x, foot - y]
        report.hold(f"{name}: what is no piece is a strip", any(abs(side - b) <= WITHIN for side in sides for b in broad), f"{sides}, {broad}, {far:.3f} off")
    # The ruler: a mark each inch or centimetre, from the beginning of the lay.
    marks = sorted(points[0][1] for points in sheet.drawn(TICK) if walked(points) < 12)
    step = 25.4 if inches else 10.0
    steps = [b - a for a, b in zip(marks, marks[1:])]
    report.hold(f"{name}: the ruler has its marks", len(marks) > 10 and all(abs(s - step) < WITHIN for s in steps), steps[:5])
    figures = re.findall(r"(\d+) (?:in|cm)\b", sheet.text)
    report.hold(f"{name}: the ruler has its figures", "0" in figures and len(figures) > 5, figures[:9])
    # Nothing lies above the beginning of the lay or left of the selvedge.
    top = min(outline.bounds[1] for outline in outlines)
    report.hold(f"{name}: the lay begins where the ruler does", top >= marks[0] - WITHIN, f"{top} {marks[0]}")
    text = "".join(sheet.upright_text.split())
    for piece in draft["pieces"]:
        if piece["cloth"] == "main":
            report.hold(f"{name}: {piece['label']} is named", "".join(piece["label"].split()) in text, text[:200])
    report.hold(f"{name}: the selvedge is marked", "selvedge" in text and sheet.drawn(SELVEDGE), "")
    if "folded" in sheet.text:
        report.hold(f"{name}: the fold is drawn", sheet.drawn(FOLD), "")


def check_style(report, shop, style, body, width, inches):
    order = shop.post("/orders", client="1", style=style, what="Sunday best", price="90", fittings="0", width=width)
    draft = json.loads(bodkin("draft", style, *body, "--json")[1])
    for roll in ROLLS:
        with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
            file.write(shop.get(f"{order}/A/lay.pdf?roll={roll}"))
            file.flush()
            check_plot(report, f"{style} at {width} on {roll}", read(file.name), draft, roll, inches)


class Silent(Report):
    def __init__(self):
        super().__init__()
        self.broken = []

    def hold(self, what, truth, found=""):
        if not truth:
            self.broken.append(what)


def check_the_checks(report, shop):
    """Each claim goes red when the sheet is spoilt."""
    order = shop.post("/orders", client="1", style="straight_skirt", what="Sunday best", price="90", fittings="0", width="45")
    draft = json.loads(bodkin("draft", "straight_skirt", *BODY, "--json")[1])
    with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
        file.write(shop.get(f"{order}/A/lay.pdf"))
        file.flush()

        def stretched(by):
            return lambda sheet: [(w, [(x, y * by) for x, y in points], dash) for w, points, dash in sheet.lines]

        def without(breadth):
            return lambda sheet: [line for line in sheet.lines if abs(line[0] - breadth) > 0.02]

        for claim, spoil in (
            ("in true size", stretched(1.001)),
            ("square 4 in down", stretched(0.999)),
            ("the ruler has its marks", without(TICK)),
            ("the selvedge is marked", without(SELVEDGE)),
        ):
            sheets, silent = read(file.name), Silent()
            check_plot(silent, "unspoilt", sheets, draft, "cloth", True)
            report.hold("an unspoilt plot holds", not silent.broken, silent.broken)
            sheets[0].lines = spoil(sheets[0])
            try:
                check_plot(silent, "spoilt", sheets, draft, "cloth", True)
            except (IndexError, ValueError) as why:
                silent.broken.append(f"the ruler has its marks: {why}")
            report.hold(f"a spoilt plot breaks “{claim}”", any(claim in what for what in silent.broken), silent.broken)


BODY = ["bust_girth=37in", "waist_girth=31in", "hip_girth=39in"]


def main():
    if not BODKIN.exists():
        print(f"{BODKIN.name} is not built: cargo build --release")
        print("0 passed, 1 failed")
        return 1
    report = Report()
    hours = {f"hours__{day}": "6" for day in range(7)}
    for showing, measures, widths, inches in (
        ("eighths", {"m__bust_girth": "37", "m__waist_girth": "31", "m__hip_girth": "39"}, ("45", "60"), True),
        ("millimetres", {"m__bust_girth": "37 in", "m__waist_girth": "31 in", "m__hip_girth": "39 in"}, ("115",), False),
    ):
        with tempfile.TemporaryDirectory() as folder:
            shop = Shop(folder)
            try:
                shop.post("/shop/open", shop_name="Ropewalk Sewing Room", showing=showing, currency="EUR", **hours)
                shop.post("/clients", name="Zoë Farrugia", wearer="woman")
                shop.post("/clients/1/fitting", day="2026-01-02", source="tape", **measures)
                for width in widths:
                    for style in ("straight_skirt", "wrap_skirt", "circle_skirt"):
                        check_style(report, shop, style, BODY, width, inches)
                if inches:
                    check_the_checks(report, shop)
            finally:
                shop.close()
    print(f"{report.counts[True]} passed, {report.counts[False]} failed")
    return 0 if report.counts[False] == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
