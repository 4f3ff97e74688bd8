"""The pattern in true scale, read back from the files by pdfplumber and plain arithmetic.

Nothing of bodkin's own pages is believed: the squares, the paper, the sewing lines and the
words are taken from the PDF as a printer gets it. Tiles are put together by the rows and
columns that are written on them, as a person would by the map, and the sewing lines of the
whole are laid on those of `bodkin draft --json`.

Prints what does not hold and ends with `N passed, M failed`.
"""

import json
import math
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml
from collections import Counter

import pdfplumber
import pypdf
import shapely
import shapely.affinity
import shapely.ops
from shapely import LineString, MultiLineString

from pieces import walked

ROOT = pathlib.Path(__file__).resolve().parents[2]
BODKIN = pathlib.Path(os.environ.get("BODKIN", ROOT / "target" / "release" / "bodkin")).resolve()

MM = 25.4 / 72
# Promised: the squares within 0.05 mm, seams within 0.1 mm of the engine's.
SQUARE, SEAM, PAGE = 0.05, 0.1, 0.01
# Breadths of lines, mm, as they are drawn: sewing lines 0.35, dart legs 0.3, cut 0.6, squares 0.25.
SEW, DART, CUT, FOLD, TEST = 0.35, 0.30, 0.60, 0.50, 0.25
PAPERS = {"a4": (210, 297), "letter": (215.9, 279.4), "a0": (841, 1189), "roll": (914.4, None)}
MARGINS = {"a4": (10, 13), "letter": (10, 13), "a0": (10, 10), "roll": (10, 10)}
OVERLAP = 10

BODY = ["bust_girth=37in", "waist_girth=31in", "hip_girth=39in"]
WIDE = ["bust_girth=120cm", "waist_girth=110cm", "hip_girth=126cm"]


def bodkin(*words):
    done = subprocess.run([BODKIN, *map(str, words)], capture_output=True, text=True, timeout=120)
    return done.returncode, done.stdout, done.stderr


class Sheet:
    """One page: its lines by breadth in mm from the upper left corner, and its words."""

    def __init__(self, page):
        self.size = (float(page.width) * MM, float(page.height) * MM)
        self.text = page.extract_text() or ""
        self.upright_text = "".join(c["text"] for c in page.chars)
        self.lines = []
        for thing in page.lines + page.curves + page.rects:
            if not thing.get("stroke"):
                continue
            points = [(x * MM, y * MM) for x, y in thing["pts"]]
            closed = thing["object_type"] == "rect" or (thing.get("path") or [("",)])[-1][0] == "h"
            if closed and points[0] != points[-1]:
                points.append(points[0])
            dash = thing.get("dash") or ([], 0)
            self.lines.append((round(thing["linewidth"] * MM, 3), points, dash))

    def whole(self, breadth):
        """The lines of one breadth, of a sheet that is its own field."""
        return [LineString(points) for points in self.drawn(breadth) if walked(points) > 1e-6]

    def drawn(self, breadth):
        return [points for width, points, _ in self.lines if abs(width - breadth) < 0.02]


def read(file):
    with pdfplumber.open(file) as pdf:
        return [Sheet(page) for page in pdf.pages]


class Report:
    def __init__(self):
        self.counts = Counter()

    def hold(self, what, truth, found=""):
        self.counts[bool(truth)] += 1
        if not truth:
            print(f"FAILED {what}: {found}")
        elif "-v" in sys.argv:
            print(f"  ok {what} ({found})")

    def near(self, what, found, wanted, within):
        self.hold(what, abs(found - wanted) <= within, f"{found:.4f}, should be {wanted:.4f} within {within}")


def check_squares(report, name, sheet):
    """Two plain squares that lie apart, on the first tile or sheet."""
    squares = []
    for points in sheet.drawn(TEST):
        xs, ys = zip(*points)
        squares.append((min(xs), min(ys), max(xs), max(ys), LineString(points).length, len(points)))
    report.hold(f"{name}: two squares", len(squares) == 2, squares)
    for (x0, y0, x1, y1, around, corners), side, words in zip(squares, (100.0, 101.6), ("100 mm", "4 in")):
        report.near(f"{name}: square {words} across", x1 - x0, side, SQUARE)
        report.near(f"{name}: square {words} down", y1 - y0, side, SQUARE)
        report.near(f"{name}: square {words} around", around, 4 * side, 4 * SQUARE)
        report.hold(f"{name}: square {words} has four corners", corners == 5, corners)
        report.hold(f"{name}: square {words} says so", words in sheet.text, sheet.text[:80])
    if len(squares) == 2:
        (a, b) = (shapely.box(*squares[0][:4]), shapely.box(*squares[1][:4]))
        report.hold(f"{name}: neither square holds the other", a.disjoint(b), "")


def placed(sheets, paper):
    """Each sheet's row and column as written on it, and where its frame's corner lies in the field."""
    found = []
    for sheet in sheets:
        place = re.search(r"row (\d+) of (\d+), column (\d+) of (\d+)", sheet.upright_text)
        row, column = (int(place[1]) - 1, int(place[3]) - 1) if place else (0, 0)
        mx, my = MARGINS[paper]
        frame = (sheet.size[0] - 2 * mx, sheet.size[1] - 2 * my)
        corner = (column * (frame[0] - OVERLAP), row * (frame[1] - OVERLAP))
        found.append((sheet, row, column, corner, frame))
    return found


def in_field(sheet, corner, paper, breadth):
    """The lines of a sheet in the millimetres of the whole field."""
    dx, dy = corner[0] - MARGINS[paper][0], corner[1] - MARGINS[paper][1]
    return MultiLineString([[(x + dx, y + dy) for x, y in points] for points in sheet.drawn(breadth)])


def fields(sheets):
    """Sheets that are taped together, by the field that is written on them; large ones stand alone."""
    groups = {}
    for at, sheet in enumerate(sheets):
        place = re.search(r"field (\d+) of \d+", sheet.upright_text)
        tiled = "row " in sheet.upright_text
        groups.setdefault(place[1] if place else ("tiled" if tiled else at), []).append(sheet)
    return list(groups.values())


def assembled(sheets, paper, breadth):
    """The lines of one breadth of all sheets, taped together: where a sheet is laid over the
    one before it, the upper one is seen."""
    there = {(row, column) for _, row, column, _, _ in placed(sheets, paper)}
    runs = []
    for sheet, row, column, (x, y), (wide, high) in placed(sheets, paper):
        seen_x = x + wide - (OVERLAP if (row, column + 1) in there else 0)
        seen_y = y + high - (OVERLAP if (row + 1, column) in there else 0)
        seen = in_field(sheet, (x, y), paper, breadth).intersection(shapely.box(x, y, seen_x, seen_y))
        runs += [list(g.coords) for g in getattr(seen, "geoms", [seen]) if g.length > 1e-6]
    # Runs that end within a hundredth of a millimetre of one another go on there.
    ends = []
    for run in runs:
        for at in (0, -1):
            same = next((end for end in ends if math.dist(end, run[at]) < 0.01), None)
            ends += [] if same else [run[at]]
            run[at] = same or run[at]
    merged = shapely.ops.linemerge(MultiLineString(runs))
    return list(merged.geoms) if isinstance(merged, MultiLineString) else [merged]


def check_strips(report, name, sheets, paper):
    """What two sheets have in common shows the same lines on both."""
    laid = {(row, column): (sheet, corner, frame) for sheet, row, column, corner, frame in placed(sheets, paper)}
    worst, looked = 0.0, 0
    for (row, column), (sheet, corner, frame) in laid.items():
        for other in ((row, column + 1), (row + 1, column)):
            if other not in laid:
                continue
            far = laid[other][1]
            # A hair inside the strip, so that a line along its very edge is on both or on neither.
            strip = shapely.box(
                far[0] + 0.01, far[1] + 0.01, corner[0] + frame[0] - 0.01, corner[1] + frame[1] - 0.01
            )
            for breadth in (SEW, CUT, DART, FOLD):
                one = in_field(sheet, corner, paper, breadth).intersection(strip)
                two = in_field(laid[other][0], far, paper, breadth).intersection(strip)
                if one.is_empty != two.is_empty:
                    worst = max(worst, one.length + two.length)
                elif not one.is_empty:
                    worst = max(worst, shapely.hausdorff_distance(one, two, densify=0.5))
                    looked += 1
    report.hold(f"{name}: the strips of neighbours agree", worst < 0.02, f"{worst:.4f} mm off in {looked} strips")


def sewing(piece, opened):
    """The edges of a piece that are sewn, as the JSON has them; both halves when opened out."""
    edges = [e["points"] for e in piece["edges"] if not e["fold"] and walked(e["points"]) > 1e-6]
    if opened and piece["on_fold"]:
        (ax, ay), (bx, by) = piece["fold"]
        ux, uy = (bx - ax) / math.dist(*piece["fold"]), (by - ay) / math.dist(*piece["fold"])

        def over(x, y):
            along = (x - ax) * ux + (y - ay) * uy
            return 2 * (ax + along * ux) - x, 2 * (ay + along * uy) - y

        edges = edges + [[over(*p) for p in edge] for edge in edges]
    return edges


def joined(edges):
    return shapely.ops.linemerge(MultiLineString([LineString(e) for e in edges]))


def turns(line):
    """The line as drawn, and turned by a quarter, with its box at the origin."""
    for angle in (0, 90):
        turned = shapely.affinity.rotate(line, angle, origin=(0, 0))
        low_x, low_y, _, _ = turned.bounds
        yield angle, shapely.affinity.translate(turned, -low_x, -low_y)


def check_seams(report, name, sheets, paper, draft, letters, opened):
    """Every sewing line of every piece lies in the pattern, as long as the engine says."""
    found = []
    for at, field in enumerate(fields(sheets)):
        # Apart from one another, as they are on the table.
        lines = field[0].whole(SEW) if len(field) == 1 else assembled(field, paper, SEW)
        found += [shapely.affinity.translate(line, at * 20000, 0) for line in lines]
    pieces = [p for p in draft["pieces"] if not letters or p["letter"] in letters]
    lengths = sum(walked(e) for p in pieces for e in sewing(p, opened))
    drawn = sum(line.length for line in found)
    report.near(f"{name}: all sewing lines together", drawn, lengths, SEAM * max(1, len(pieces)))
    # Where each piece lies is found by its box; runs of one piece touch or lie in its box.
    clusters = found
    for piece in pieces:
        ours = joined(sewing(piece, opened))
        best = None
        for angle, line in turns(ours):
            wide, high = line.bounds[2:]
            starts = {(round(g.bounds[0], 2), round(g.bounds[1], 2)) for g in clusters}
            for x in {s[0] for s in starts}:
                for y in {s[1] for s in starts}:
                    box = shapely.box(x - 0.2, y - 0.2, x + wide + 0.2, y + high + 0.2)
                    inside = [g for g in clusters if box.contains(g)]
                    if not inside or abs(sum(g.length for g in inside) - line.length) > 1:
                        continue
                    least_x = min(g.bounds[0] for g in inside)
                    least_y = min(g.bounds[1] for g in inside)
                    placed = shapely.affinity.translate(line, least_x, least_y)
                    off = shapely.hausdorff_distance(placed, MultiLineString(inside), densify=0.5)
                    if best is None or off < best[0]:
                        best = (off, angle, least_x, least_y, inside)
        label = f"{name}: piece {piece['letter']}"
        report.hold(f"{label} is in the pattern", best is not None, "no place found")
        if best is None:
            continue
        off, angle, x, y, inside = best
        report.hold(f"{label} has its sewing line's shape", off <= SEAM, f"{off:.4f} mm off")
        for edge in piece["edges"]:
            if edge["fold"] or walked(edge["points"]) < 1e-6:
                continue
            # The edge's stretch of the pattern: what lies on it, end to end.
            _, line = next(t for t in turns(ours) if t[0] == angle)
            shift = shapely.affinity.rotate(ours, angle, origin=(0, 0)).bounds
            run = shapely.affinity.rotate(LineString(edge["points"]), angle, origin=(0, 0))
            run = shapely.affinity.translate(run, x - shift[0], y - shift[1])
            near = shapely.unary_union(inside).intersection(run.buffer(0.02, cap_style="flat"))
            report.near(f"{label}, {edge['key']}", near.length, walked(edge["points"]), SEAM)


def check_words(report, name, sheets, draft, letters):
    text = " ".join("".join(s.upright_text.split()) for s in sheets)
    for piece in draft["pieces"]:
        if letters and piece["letter"] not in letters:
            continue
        for words in (piece["label"], f"cut {piece['count']}"):
            report.hold(f"{name}: “{words}” is written", "".join(words.split()) in text, text[:200])


# What lies so near a fold lies on it, mm.
BESIDE_FOLD = 0.06


def check_cut(report, name, sheets, paper, draft):
    """The cutting lines, too, are as long as the engine's, without what lies on a fold."""
    drawn = sum(line.length for line in assembled(sheets, paper, CUT))
    wanted, folds = 0.0, 0
    for piece in draft["pieces"]:
        ring = LineString(piece["cutting"] + piece["cutting"][:1])
        if piece["fold"]:
            (ax, ay), (bx, by) = piece["fold"]
            far = 1e4 / math.dist((ax, ay), (bx, by))
            fold = LineString([(ax - far * (bx - ax), ay - far * (by - ay)), (bx + far * (bx - ax), by + far * (by - ay))])
            ring = ring.difference(fold.buffer(BESIDE_FOLD))
            folds += 1
        wanted += ring.length
    # What is taken off beside a fold takes that much of the line at each of its ends, too.
    report.near(f"{name}: all cutting lines together", drawn, wanted, 0.5 + 2 * BESIDE_FOLD * folds)


def drawn(folder, style, body, paper, pieces=(), opened=False):
    """The pages of a pattern and the draft that it shows; or what was said instead."""
    file = folder / f"{len(list(folder.iterdir()))}.pdf"
    words = ["--paper", paper, "--out", file]
    if pieces:
        words += ["--pieces", ",".join(pieces)]
    if opened:
        words.append("--opened")
    code, out, err = bodkin("pattern", style, *body, *words)
    if code:
        return None, None, err
    draft = json.loads(bodkin("draft", style, *body, "--json")[1])
    told = int(re.search(r"(\d+) pages?", out)[1])
    return read(file), draft, (told, len(pypdf.PdfReader(file).pages))


def check_pattern(report, folder, style, body, paper, pieces=(), opened=False):
    name = f"{style} on {paper}{' ' + ','.join(pieces) if pieces else ''}{' opened' if opened else ''}"
    sheets, draft, counted = drawn(folder, style, body, paper, pieces, opened)
    report.hold(f"{name}: is drawn", sheets is not None, counted)
    if sheets is not None:
        report.hold(f"{name}: as many pages as told", {*counted, len(sheets)} == {len(sheets)}, counted)
        check_sheets(report, name, sheets, draft, paper, set(pieces), opened)


def check_sheets(report, name, sheets, draft, paper, letters, opened):
    wide, high = PAPERS[paper]
    tiled = paper in ("a4", "letter")
    for at, sheet in enumerate(sheets, 1):
        if not tiled and "page " in sheet.text:
            continue  # a map, on paper of its own
        report.near(f"{name}: page {at} wide", sheet.size[0], wide, PAGE)
        if high:
            report.near(f"{name}: page {at} high", sheet.size[1], high, PAGE)
        report.hold(f"{name}: page {at} no longer than PDF allows", sheet.size[1] <= 5080, sheet.size)
        # Nothing in the margins that printers keep.
        mx, my = MARGINS[paper]
        pts = [p for _, points, _ in sheet.lines for p in points]
        spill = max([0.0] + [max(mx - x, x - sheet.size[0] + mx, my - y, y - sheet.size[1] + my) for x, y in pts])
        report.hold(f"{name}: page {at} keeps its margins", spill <= 0.01, f"{spill:.3f} mm over")
    # Before a field that is taped together stands its map.
    tiles = [sheet for sheet in sheets if "page " not in sheet.text]
    if tiled:
        report.hold(f"{name}: the map comes first", "100 %" in sheets[0].text and "page 2" in sheets[0].text, sheets[0].text)
        for at, sheet in enumerate(tiles, 2):
            report.hold(f"{name}: page {at} says its row and column", "row " in sheet.upright_text, sheet.text[:99])
    check_squares(report, name, tiles[0])
    check_seams(report, name, tiles, paper, draft, letters, opened)
    for field in fields(tiles):
        check_strips(report, name, field, paper)
    if tiled and not letters and not opened:
        check_cut(report, name, tiles, paper, draft)
    check_words(report, name, sheets, draft, letters)


def svg_points(path):
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path)]


def check_svg(report, folder, style, body):
    """Each piece as SVG: its size is in mm, its sewing lines are as long as the engine's, edge by edge."""
    draft = json.loads(bodkin("draft", style, *body, "--json")[1])
    for piece in draft["pieces"]:
        file = folder / f"{style}-{piece['letter']}.svg"
        code, _, err = bodkin("pattern", style, *body, "--pieces", piece["letter"], "--out", file)
        name = f"{style} piece {piece['letter']} as SVG"
        report.hold(f"{name}: is drawn", code == 0, err)
        if code:
            continue
        root = xml.parse(file).getroot()
        box = [float(v) for v in root.get("viewBox").split()]
        mm = [root.get(side) for side in ("width", "height")]
        true = [f"{v:.4f}".rstrip("0").rstrip(".") + "mm" for v in box[2:]]
        report.hold(f"{name}: a unit is a millimetre", mm == true, f"{mm} {true}")
        space = "{http://www.w3.org/2000/svg}"
        runs = [svg_points(p.get("d")) for p in root.iter(f"{space}path") if p.get("data-line") == "sew"]
        edges = [e for e in piece["edges"] if not e["fold"] and len(e["points"]) > 1]
        report.hold(f"{name}: a line for each edge", len(runs) == len(edges), f"{len(runs)} of {len(edges)}")
        for run, edge in zip(runs, edges):
            report.near(f"{name}: {edge['key']}", walked(run), walked(edge["points"]), SEAM)
            report.near(f"{name}: {edge['key']} begins", math.dist(run[0], edge["points"][0]), 0, 0.001)
        text = " ".join(t.text or "" for t in root.iter(f"{space}text"))
        report.hold(f"{name}: its name is on it", piece["label"] in text, text)


def check_refusals(report, folder):
    there = folder / "there.pdf"
    there.write_text("mine")
    for words, said in (
        (["--paper", "napkin", "--out", folder / "n.pdf"], "no paper"),
        (["--pieces", "Q", "--out", folder / "n.pdf"], "The pieces are A"),
        (["--out", there], "exists already"),
        (["--out", folder / "n.txt"], "neither"),
        (["--out", folder / "n.svg"], "one piece"),
    ):
        code, _, err = bodkin("pattern", "straight_skirt", *BODY, *words)
        report.hold(f"refused in words: {words[0]} {words[1]}", code == 1 and said in err, f"{code} {err}")
    report.hold("a file that exists is left alone", there.read_text() == "mine")


def check_the_checks(report, folder):
    """Each claim goes red when the pages are spoilt."""

    class Silent(Report):
        def __init__(self):
            super().__init__()
            self.broken = []

        def hold(self, what, truth, found=""):
            if not truth:
                self.broken.append(what)

    def every(change):
        def spoil(sheets):
            for sheet in sheets:
                sheet.lines = [(width, [change(x, y) for x, y in points], dash) for width, points, dash in sheet.lines]

        return spoil

    def one_sheet(sheets):
        for at, (width, points, dash) in enumerate(sheets[4].lines):
            sheets[4].lines[at] = (width, [(x + 0.3, y) for x, y in points], dash)

    def a_line_gone(sheets):
        for sheet in sheets:
            sheet.lines = [line for line in sheet.lines if abs(line[0] - SEW) > 0.02 or LineString(line[1]).length < 150]

    def other_words(sheets):
        for sheet in sheets:
            sheet.upright_text = sheet.upright_text.replace("Back", "Beck")

    for claim, spoil in (
        ("square 100 mm across", every(lambda x, y: (x * 1.001, y))),
        ("square 4 in down", every(lambda x, y: (x, y * 0.999))),
        ("all sewing lines together", every(lambda x, y: (x * 1.001, y * 1.001))),
        ("the strips of neighbours agree", one_sheet),
        ("keeps its margins", every(lambda x, y: (x - 3, y))),
        ("all sewing lines together", a_line_gone),
        ("“Back” is written", other_words),
    ):
        sheets, draft, _ = drawn(folder, "straight_skirt", BODY, "a4")
        silent = Silent()
        check_sheets(silent, "spoilt", sheets, draft, "a4", set(), False)
        report.hold("unspoilt pages hold", not silent.broken, silent.broken)
        spoil(sheets)
        check_sheets(silent, "spoilt", sheets, draft, "a4", set(), False)
        report.hold(f"spoilt pages break “{claim}”", any(claim in what for what in silent.broken), silent.broken)


def main():
    if not BODKIN.exists():
        print(f"{BODKIN.name} is not built: cargo build --release")
        print("0 passed, 1 failed")
        return 1
    report = Report()
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        listed = subprocess.run([BODKIN, "styles"], capture_output=True, text=True, check=True).stdout.splitlines()
        for style in (line.split()[0] for line in listed if line.strip()):
            body = BODY if style != "apron" else BODY[1:]
            check_pattern(report, folder, style, body, "a4")
            check_pattern(report, folder, style, body, "roll")
        for style, body, paper, pieces, opened in (
            ("straight_skirt", WIDE, "letter", ("A", "B"), False),
            ("straight_skirt", WIDE, "a0", (), False),
            ("circle_skirt", BODY, "a0", (), True),
            ("straight_skirt", BODY, "a4", ("A",), True),
            ("wrap_skirt", WIDE, "letter", (), True),
            ("flared_skirt", WIDE, "letter", (), False),
        ):
            check_pattern(report, folder, style, body, paper, pieces, opened)
        for style in ("straight_skirt", "wrap_skirt"):
            check_svg(report, folder, style, BODY)
        check_refusals(report, folder)
        check_the_checks(report, folder)
    print(f"{report.counts[True]} passed, {report.counts[False]} failed")
    return 0 if report.counts[False] == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
