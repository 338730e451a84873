#!/usr/bin/env python3
"""Compares rcpsp with general-purpose solvers; see README.md."""
import argparse
import csv
import glob
import json
import os
import subprocess
import sys
import time

import formats
import peers

parser = argparse.ArgumentParser()
parser.add_argument("folders", nargs="+")
parser.add_argument("-rcpsp", default="./rcpsp")
parser.add_argument("-time", type=float, default=10)
parser.add_argument("-workers", type=int, default=2)
parser.add_argument("-seed", type=int, default=1)
parser.add_argument("-sample", type=int, default=0, help="files of each folder, evenly spaced; 0 means all")
parser.add_argument("-minizinc", action="store_true")
parser.add_argument("-solver", default="chuffed")
args = parser.parse_args()


def best_known(folder):
    folder = os.path.abspath(folder)
    while True:
        path = os.path.join(folder, "best_known.csv")
        if os.path.exists(path):
            with open(path) as f:
                return {(r["set"], r["instance"]): r["best_known"] for r in csv.DictReader(f)}
        if folder == os.path.dirname(folder):
            return {}
        folder = os.path.dirname(folder)


def ours(path):
    run = subprocess.run([args.rcpsp, "-time", f"{args.time}s", "-workers", str(args.workers), "-seed", str(args.seed), path],
                         capture_output=True, text=True)
    if run.returncode:
        sys.exit(run.stderr)
    a = json.loads(run.stdout)
    if a["makespan"] is not None:
        a["modes"] = [m - 1 for m in a.get("modes") or [1] * len(a["starts"])]
    return a


solvers = {"rcpsp": lambda path, p: ours(path), "cp-sat": lambda path, p: peers.cpsat(p, args.time, args.workers, args.seed)}
if args.minizinc:
    solvers[args.solver] = lambda path, p: peers.minizinc(p, args.time, args.workers, args.seed, args.solver)

print(f"{'set':10} {'solver':10} {'files':>5} {'plans':>5} {'proofs':>6} {'mean %':>8} {'worst %':>8} {'seconds':>8}   (load {os.getloadavg()[0]:.1f})")
for folder in args.folders:
    files = sorted(f for f in glob.glob(folder + "/*") if f.lower().rsplit(".", 1)[-1] in ("sm", "mm", "rcp", "sch", "jss", "json"))
    if args.sample and len(files) > args.sample:
        files = [files[k * len(files) // args.sample] for k in range(args.sample)]
    known, name = best_known(folder), os.path.basename(os.path.abspath(folder))
    rows, bound = {}, dict.fromkeys(files, 0)
    for solver, solve in solvers.items():
        row = rows[solver] = dict(proofs=0, seconds=0.0, makespan={})
        for path in files:
            p = formats.read(path)
            begin = time.monotonic()
            a = solve(path, p)
            row["seconds"] += time.monotonic() - begin
            row["proofs"] += a["status"] in ("optimal", "infeasible")
            bound[path] = max(bound[path], a.get("lower_bound") or 0)
            if a.get("makespan") is None:
                continue
            row["makespan"][path] = a["makespan"]
            wrong = formats.check(p, a["starts"], a["modes"], a["makespan"])
            if wrong:
                sys.exit(f"{solver} on {path}: the plan breaks {wrong}")
    for solver, row in rows.items():
        gaps = []
        for path, makespan in row["makespan"].items():
            best = known.get((name, os.path.basename(path).rsplit(".", 1)[0]), "")
            if best.isdigit() or not known and bound[path] > 0:
                gaps.append(100 * (makespan / (int(best) if best.isdigit() else bound[path]) - 1))
        mean, worst = (f"{sum(gaps) / len(gaps):8.3f}", f"{max(gaps):8.2f}") if gaps else ("       -", "       -")
        print(f"{name:10} {solver:10} {len(files):5} {len(row['makespan']):5} {row['proofs']:6} {mean} {worst} {row['seconds']:8.1f}", flush=True)
