"""Draws crew problems from seeds, asks foreguy for the shortest bill and MiniZinc with
Gecode for the least time of crew.mzn, and compares.

  bill_minizinc.py PROGRAM MODEL SCRATCH COUNT

The class of problems is what the model states: roles worn by one hand all the time, the
order of a role's card, after, waits for what one step alone does, walking, grades, joint
steps and the helm. Lines in the hand, gear and rules are not among it: which of their
bills are safe at any speed is held against every way by test_bill_shortest.c."""
import json
import random
import subprocess
import sys

PLACES_M = [0, 3, 6]
PACES = [0.5, 1.0, 2.0]
GRADES = ["", "new", "able", "sure"]


def draw(seed):
    rng = random.Random(seed)
    case = {"roles": rng.randint(2, 5), "hands": rng.randint(2, 4), "helm": rng.random() < 0.3}
    count = rng.randint(max(4, case["roles"]), 8)
    case["grade"] = [[rng.choice([0, 1, 2, 3, 3, 3]) for _ in range(case["hands"])]
                     for _ in range(case["roles"])]
    case["pace"] = [rng.choice(PACES) for _ in range(case["hands"])]
    case["home"] = [rng.randrange(3) for _ in range(case["roles"])]
    case["steps"] = []
    for s in range(count):
        role = s if s < case["roles"] else rng.randrange(case["roles"])
        step = {"roles": [role], "at": rng.randrange(3), "usual": rng.randint(1, 9),
                "needs": rng.choice([1, 1, 2]), "after": [], "begun": [], "wait": []}
        if case["helm"] and role == 0:
            step["at"] = case["home"][0]
        elif rng.random() < 0.2:
            step["roles"] = sorted({role, rng.randrange(1, case["roles"])})
        step["slow"] = step["usual"] + rng.randint(1, 6)
        for key, odds in (("after", 0.35), ("begun", 0.15), ("wait", 0.2)):
            if s and rng.random() < odds:
                step[key].append(rng.randrange(s))
        step["begun"] = [t for t in step["begun"] if t not in step["after"]]
        case["steps"].append(step)
    return case


def rig_text(case):
    parts = "".join(f"  done-{s}: {{words: part {s}, tended-at: bow, values: {{not: not, so: so}}}}\n"
                    for s in range(len(case["steps"])))
    places = "".join(f"  {name}: {{words: {name}, forward: {m} m}}\n"
                     for name, m in zip(("aft", "mid", "bow"), PLACES_M))
    sees = ", ".join(f"done-{s}" for s in range(len(case["steps"])))
    roles = "".join(f"  r{r}: {{words: Role {r}, station: {('aft', 'mid', 'bow')[case['home'][r]]}, "
                    f"{'steers: yes, ' if case['helm'] and r == 0 else ''}sees: [{sees}]}}\n"
                    for r in range(case["roles"]))
    return ("format: 1\nrig: made-up\ntitle: Made up\nparts:\n" + parts + "stations:\n" + places
            + "roles:\n" + roles)


def step_text(s, step):
    roles = ", ".join(f"r{r}" for r in step["roles"])
    text = f"  - step: s{s}\n" + (f"    roles: [{roles}]\n" if len(step["roles"]) > 1
                                 else f"    role: {roles}\n")
    text += (f"    at: {('aft', 'mid', 'bow')[step['at']]}\n    do: Do it.\n"
             f"    takes: [1 s, {step['usual']} s, {step['slow']} s]\n    hands: {step['needs']}\n")
    after = [f"s{t}" for t in step["after"]] + [f"{{step: s{t}, started: yes}}" for t in step["begun"]]
    if after:
        text += f"    after: [{', '.join(after)}]\n"
    if step["wait"]:
        text += "    wait: {" + ", ".join(f"done-{t}: so" for t in step["wait"]) + "}\n"
    return text + f"    finish: {{done-{s}: so}}\n"


def procedure_text(case):
    begin = ", ".join(f"done-{s}: not" for s in range(len(case["steps"])))
    return ("format: 1\nprocedure: made-up-steps\ntitle: Steps\nfamily: care\nrig: made-up\n"
            "revised: 2026-11-25\nabout: Made up.\nsource: a test\n"
            f"suits: {{hands: {{least: 1, usual: 1}}}}\nbegin: {{{begin}}}\nsteps:\n"
            + "".join(step_text(s, step) for s, step in enumerate(case["steps"])))


def crew_text(case):
    text = "format: 1\ncrew: Made up\nhands:\n"
    for h in range(case["hands"]):
        knows = ", ".join(f"r{r}: {GRADES[case['grade'][r][h]]}" for r in range(case["roles"])
                          if case["grade"][r][h])
        text += (f"  - hand: Hand {chr(65 + h)}\n    aboard: yes\n    knows: {{{knows}}}\n"
                 f"    pace: {case['pace'][h]} m/s\n")
    return text


def rows(name, pairs):
    return f"{name} = [|" + "|".join(f"{a},{b}" for a, b in pairs) + "|];\n" if pairs else \
        f"{name} = array2d(1..0, 1..2, []);\n"


def data_text(case):
    steps, hands = case["steps"], case["hands"]
    walk = [round(abs(a - b) / pace * 10) for pace in case["pace"] for a in PLACES_M for b in PLACES_M]
    ended = [(t + 1, s + 1) for s, step in enumerate(steps) for t in step["after"] + step["wait"]]
    begun = [(t + 1, s + 1) for s, step in enumerate(steps) for t in step["begun"]]
    latest = sum(10 * step["slow"] + 120 for step in steps)
    grades = [grade for row in case["grade"] for grade in row]
    return (f"hands = {hands};\nroles = {case['roles']};\nsteps = {len(steps)};\nplaces = 3;\n"
            f"latest = {latest};\ngrade = array2d(1..{case['roles']}, 1..{hands}, {grades});\n"
            f"walk = array3d(1..{hands}, 1..3, 1..3, {walk});\n"
            f"home = {[place + 1 for place in case['home']]};\n"
            "roles_of = [" + ", ".join("{" + ", ".join(str(r + 1) for r in step["roles"]) + "}"
                                       for step in steps) + "];\n"
            f"at = {[step['at'] + 1 for step in steps]};\n"
            f"usual = {[10 * step['usual'] for step in steps]};\n"
            f"slow = {[10 * step['slow'] for step in steps]};\n"
            f"needs = {[step['needs'] for step in steps]};\n"
            f"arrows = {len(ended)};\nothers = {len(begun)};\nhelm = {1 if case['helm'] else 0};\n"
            + rows("ended", ended) + rows("begun", begun))


def write(path, text):
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
    return path


def ours(program, scratch, case):
    """Tenths of a second; -1: proved that there is none."""
    write(f"{scratch}/procedures/rig/made-up.yaml", rig_text(case))
    steps = write(f"{scratch}/made-up-steps.yaml", procedure_text(case))
    crew = write(f"{scratch}/crew.yaml", crew_text(case))
    boat = write(f"{scratch}/boat.yaml", "format: 1\nboat: Made up\nlength: 10 m\n")
    run = subprocess.run([program, "bill", steps, "--crew", crew, "--boat", boat, "--json"],
                         capture_output=True, text=True)
    bill = json.loads(run.stdout) if run.stdout.strip() else {}
    if bill.get("proved"):
        return bill["total_ms"] // 100
    if bill.get("none", "").startswith("No bill for the"):
        return -1
    sys.exit(f"foreguy {run.returncode}: {run.stdout} {run.stderr}")


def theirs(model, scratch, case):
    data = write(f"{scratch}/crew.dzn", data_text(case))
    run = subprocess.run(["minizinc", "--solver", "gecode", model, data],
                         capture_output=True, text=True)
    if "=====UNSATISFIABLE=====" in run.stdout:
        return -1
    if "==========" not in run.stdout:
        sys.exit(f"minizinc: {run.stdout} {run.stderr}")
    return int(run.stdout.split()[0])


def main(program, model, scratch, count):
    found = none = wrong = 0
    for seed in range(int(count)):
        case = draw(seed)
        least, bill = theirs(model, scratch, case), ours(program, scratch, case)
        if least == bill:
            found += least >= 0
            none += least < 0
        else:
            wrong += 1
            print(f"seed {seed}: foreguy {bill}, Gecode {least}")
    print(f"{found} crews with the same least time, {none} without a bill; {wrong} differ")
    return wrong > 0 or found < int(count) // 4 or none < int(count) // 20


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
