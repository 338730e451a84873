"""Readers of the benchmark formats and a checker, written apart from the Go ones.

A problem is a dict: horizon, jobs (each a list of modes: duration, renewable, non-renewable),
arcs (i, j, lag, from_end: start j >= start or end of i + lag), capacity, budget. All jobs of the file
are kept, dummies included; the makespan is the latest end. A generated problem has "gaps" too: by
resource, spans (from, to, amount) in which that much of the capacity is missing.
"""
import json
import re


def read(path):
    text = open(path).read()
    ending = path.lower().rsplit(".", 1)[-1]
    if ending in ("sm", "mm"):
        return psplib(text)
    if ending == "rcp":
        return patterson(text)
    if ending == "sch":
        return progenmax(text)
    if ending == "json":
        return generated(text)
    return jobshop(text)


def finish(p):
    longest = sum(max(m[0] for m in job) for job in p["jobs"])
    p["horizon"] = longest + sum(max(0, lag) for _, _, lag, _ in p["arcs"])
    return p


def numbers(line):
    return [int(w) for w in line.split()]


def psplib(text):
    lines = [x for x in text.splitlines() if x.strip() and x.strip().strip("*-")]

    def count(name):
        return int(next(x for x in lines if name in re.sub(r" +", "", x)).split(":")[1].split()[0])

    n, k, b = count("jobs(incl"), count("-renewable"), count("-nonrenewable")

    def after(heading):
        return next(i for i, x in enumerate(lines) if x.replace(" ", "").startswith(heading)) + 2

    arcs, modes = [], []
    for x in lines[after("PRECEDENCE"):after("PRECEDENCE") + n]:
        v = numbers(x)
        modes.append(v[1])
        arcs += [(v[0] - 1, j - 1, 0, True) for j in v[3:]]
    at, jobs = after("REQUESTS"), []
    for m in modes:
        jobs.append([])
        for _ in range(m):
            v = numbers(lines[at])[-(1 + k + b):]
            jobs[-1].append((v[0], v[1:1 + k], v[1 + k:]))
            at += 1
    v = numbers(lines[after("RESOURCEAVAIL")])
    return finish(dict(jobs=jobs, arcs=arcs, capacity=v[:k], budget=v[k:]))


def patterson(text):
    v = iter(numbers(text))
    n, k = next(v), next(v)
    capacity = [next(v) for _ in range(k)]
    jobs, arcs = [], []
    for i in range(n):
        d = next(v)
        jobs.append([(d, [next(v) for _ in range(k)], [])])
        arcs += [(i, next(v) - 1, 0, True) for _ in range(next(v))]
    return finish(dict(jobs=jobs, arcs=arcs, capacity=capacity, budget=[]))


def progenmax(text):
    lines = [x.split() for x in text.splitlines() if x.strip()]
    n = int(lines[0][0]) + 2
    arcs = []
    for x in lines[1:n + 1]:
        i, m = int(x[0]), int(x[2])
        arcs += [(i, int(x[3 + a]), int(x[3 + m + a].strip("[]")), False) for a in range(m)]
    jobs = [[(int(x[2]), [int(w) for w in x[3:]], [])] for x in lines[n + 1:2 * n + 1]]
    arcs += [(i, n - 1, 0, True) for i in range(n - 1)]
    return finish(dict(jobs=jobs, arcs=arcs, capacity=[int(w) for w in lines[2 * n + 1]], budget=[], zero=0))


def jobshop(text):
    lines = [x for x in text.splitlines() if x.strip() and not x.startswith("#")]
    n, machines = numbers(lines[0])
    jobs, arcs = [], []
    for x in lines[1:n + 1]:
        v = numbers(x)
        for k in range(0, len(v), 2):
            if k:
                arcs.append((len(jobs) - 1, len(jobs), 0, True))
            jobs.append([(v[k + 1], [int(r == v[k]) for r in range(machines)], [])])
    return finish(dict(jobs=jobs, arcs=arcs, capacity=[1] * machines, budget=[]))


def generated(text):
    """A problem as rcpsp -generate writes it."""
    q = json.loads(text)
    horizon = q["Horizon"]
    if q["Calendars"] or q["Machines"] or q["Goals"] or any(a["ToEnd"] for a in q["Arcs"]):
        raise ValueError("calendars, machines, goals and lags to ends are not compared")
    if any(a["Earliest"] > 0 or a["Latest"] < horizon for a in q["Activities"]):
        raise ValueError("bounds of starts are not compared")
    gaps = []
    for r in q["Renewable"]:
        steps = [(s["From"], s["Capacity"]) for s in r["Steps"] or []]
        ends = [s[0] for s in steps[1:]] + [horizon]
        gaps.append([(at, end, r["Capacity"] - c) for (at, c), end in zip(steps, ends) if c < r["Capacity"]])
    return dict(
        jobs=[[(m["Duration"], m["Demand"], m["Consume"] or []) for m in a["Modes"]] for a in q["Activities"]],
        arcs=[(a["From"], a["To"], a["Lag"], a["FromEnd"]) for a in q["Arcs"]],
        capacity=[r["Capacity"] for r in q["Renewable"]], budget=q["Budget"] or [], horizon=horizon, gaps=gaps)


def gaps(p, r):
    return p["gaps"][r] if "gaps" in p else []


def check(p, starts, modes, makespan):
    """Returns what is wrong with a plan, or nothing. Modes count from 0."""
    chosen = [job[m] for job, m in zip(p["jobs"], modes)]
    ends = [s + m[0] for s, m in zip(starts, chosen)]
    if min(starts) < 0 or ("zero" in p and starts[p["zero"]] != 0):
        return "a start is before 0"
    for i, j, lag, from_end in p["arcs"]:
        if starts[j] < (ends if from_end else starts)[i] + lag:
            return f"arc {i} to {j}"
    for r, capacity in enumerate(p["capacity"]):
        events = [(s, m[1][r]) for s, m in zip(starts, chosen) if m[0]] + [(e, -m[1][r]) for e, m in zip(ends, chosen) if m[0]]
        for at, end, missing in gaps(p, r):
            events += [(at, missing), (end, -missing)]
        events.sort()
        used = 0
        for k, (t, change) in enumerate(events):
            used += change
            if used > capacity and (k + 1 == len(events) or events[k + 1][0] > t):
                return f"resource {r} at {t}"
    for r, budget in enumerate(p["budget"]):
        if sum(m[2][r] for m in chosen) > budget:
            return f"budget {r}"
    if max(ends) != makespan:
        return f"makespan {makespan}, last end {max(ends)}"
    return None
