"""The peers: one plain model each, default search."""
import json
import subprocess
import tempfile

import formats


def cpsat(p, seconds, workers, seed):
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    starts, ends, picks = [], [], []
    uses = [([], []) for _ in p["capacity"]]
    horizon = p["horizon"]
    for job in p["jobs"]:
        start, end = model.new_int_var(0, horizon, ""), model.new_int_var(0, horizon, "")
        pick = [model.new_bool_var("") for _ in job] if len(job) > 1 else [True]
        for (duration, renewable, _), chosen in zip(job, pick):
            if len(job) > 1:
                interval = model.new_optional_interval_var(start, duration, end, chosen, "")
            else:
                interval = model.new_interval_var(start, duration, end, "")
            for (intervals, demands), d in zip(uses, renewable):
                if d:
                    intervals.append(interval)
                    demands.append(d)
        if len(job) > 1:
            model.add_exactly_one(pick)
        starts.append(start), ends.append(end), picks.append(pick)
    for i, j, lag, from_end in p["arcs"]:
        model.add(starts[j] >= (ends if from_end else starts)[i] + lag)
    if "zero" in p:
        model.add(starts[p["zero"]] == 0)
    for r, ((intervals, demands), capacity) in enumerate(zip(uses, p["capacity"])):
        for at, end, missing in formats.gaps(p, r):
            intervals.append(model.new_fixed_size_interval_var(at, end - at, ""))
            demands.append(missing)
        if intervals:
            model.add_cumulative(intervals, demands, capacity)
    for r, budget in enumerate(p["budget"]):
        model.add(sum(m[2][r] * c for job, pick in zip(p["jobs"], picks) for m, c in zip(job, pick)) <= budget)
    last = model.new_int_var(0, horizon, "")
    model.add_max_equality(last, ends)
    model.minimize(last)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    status = solver.solve(model)
    name = {cp_model.OPTIMAL: "optimal", cp_model.FEASIBLE: "feasible", cp_model.INFEASIBLE: "infeasible"}.get(status, "unknown")
    bound = round(solver.best_objective_bound) if name != "infeasible" else None
    if name not in ("optimal", "feasible"):
        return dict(status=name, lower_bound=bound)
    modes = [next(k for k, c in enumerate(pick) if c is True or solver.value(c)) for pick in picks]
    return dict(status=name, lower_bound=bound, makespan=int(solver.objective_value), starts=[solver.value(s) for s in starts], modes=modes)


MODEL = """include "cumulative.mzn";
int: n; int: h; int: k; int: a;
array[1..n] of int: d; array[1..k, 1..n] of int: u; array[1..k] of int: c;
array[1..a] of int: i; array[1..a] of int: j; array[1..a] of int: w;
array[1..n] of var 0..h: s; var 0..h: last;
constraint forall(x in 1..a)(s[j[x]] >= s[i[x]] + w[x]);
constraint forall(x in 1..n)(s[x] + d[x] <= last);
constraint forall(r in 1..k)(cumulative(s, d, row(u, r), c[r]));
solve minimize last;
output ["{\\"starts\\": \\(s), \\"makespan\\": \\(last)}\\n"];
"""


def minizinc(p, seconds, workers, seed, solver):
    """A lazy-clause solver; single-mode problems only."""
    if "gaps" in p or any(len(job) > 1 for job in p["jobs"]):
        return dict(status="unknown")
    d = [job[0][0] for job in p["jobs"]]
    data = dict(n=len(d), h=p["horizon"], k=len(p["capacity"]), a=len(p["arcs"]), d=d, c=p["capacity"],
                u=[[job[0][1][r] for job in p["jobs"]] for r in range(len(p["capacity"]))],
                i=[x[0] + 1 for x in p["arcs"]], j=[x[1] + 1 for x in p["arcs"]],
                w=[x[2] + (d[x[0]] if x[3] else 0) for x in p["arcs"]])
    with tempfile.TemporaryDirectory() as folder:
        with open(folder + "/m.mzn", "w") as f:
            f.write(MODEL)
        with open(folder + "/d.json", "w") as f:
            json.dump(data, f)
        out = subprocess.run(["minizinc", "--solver", solver, "-f", "-a", "-r", str(seed), "--time-limit", str(int(seconds * 1000)),
                              folder + "/m.mzn", folder + "/d.json"], capture_output=True, text=True).stdout
    plans = [json.loads(x) for x in out.splitlines() if x.startswith("{")]
    if "=====UNSATISFIABLE=====" in out:
        return dict(status="infeasible")
    if not plans:
        return dict(status="unknown")
    status = "optimal" if "==========" in out.splitlines() else "feasible"
    return dict(plans[-1], status=status, modes=[0] * len(d))
