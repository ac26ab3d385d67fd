#!/usr/bin/python3
"""Times the studies that a designer waits for, as whole commands: the plain household and the hardest design.

  tools/bench studies [--runs N] [--limit SECONDS] [--write]

Processor time on one core (`taskset`), worst and best of N runs (default 7), beside its budget and beside the time of a
plain NumPy loop (plain_loop.py) for the same number of years. A command that needs more than the limit (default 600 s
of processor time) is stopped, and says so; one that needs more than a tenth of it runs once. --write puts the table
into tests/bench/README.md.
"""
import argparse
import json
import os
import pathlib
import resource
import subprocess
import sys
import tempfile

from common import demo_text, program, root, write_part

hardest = root / "tests/bench/hardest.toml"

# Three more designs of the household, and the lists of a search: 50 batteries x 10 arrays.
OPTIONS = """
[[option]]
name = "battery of 20 kWh"
"battery.capacity" = "20 kWh"

[[option]]
name = "array of 3 kW"
"array.rated_power" = "3 kW"
"controller.power_limit" = "3.2 kW"

[[option]]
name = "both"
"battery.capacity" = "20 kWh"
"array.rated_power" = "3 kW"
"controller.power_limit" = "3.2 kW"
"""
BATTERIES = ",".join(f"{5 + 0.5 * i:g} kWh" for i in range(50))
ARRAYS = ",".join(f"{1 + 0.25 * i:g} kW" for i in range(10))


def studies(folder):
    """Name, years that a loop would run for the same question, and arguments and budget [s] of both designs."""
    plain = folder / "household.toml"
    plain.write_text(demo_text("juniper-bend-household") + OPTIONS)
    size = [f"--vary=battery.capacity={BATTERIES}", f"--vary=array.rated_power={ARRAYS}", "--require=demand_met=0.999"]
    size_48 = [f"--vary=battery.capacity={','.join(f'{6 + 3 * i:g} kWh' for i in range(8))}",
               f"--vary=array.rated_power={','.join(f'{1 + 0.5 * i:g} kW' for i in range(6))}"]
    return (
        ("`simulate`, typical year, with its file", 1,
         ["simulate", plain, "--years=0", "--out=a.h5"], 0.040, ["simulate", hardest, "--years=0", "--out=a.h5"], 0.060),
        # Battery new and at the end of its life; run-ins are left out.
        ("`simulate`, verdict over 50 years", 2 * 50,
         ["simulate", plain, "--json"], 0.150, ["simulate", hardest, "--json"], 0.400),
        # 365 starts without sun and 365 in the cloudy period, a week each, new and aged.
        ("`autonomy`, its table", 2 * 2 * 7,
         ["autonomy", plain, "--option=base design"], 0.300, ["autonomy", hardest, "--option=base design"], 1.5),
        ("`compare`, four designs over 50 years", 4 * (50 + 1 + 2 * 7),
         ["compare", plain], 0.4, ["compare", hardest], 1.5),
        # Budget of the verdict over many years: 8 batteries x 6 arrays.
        ("`size`, 48 combinations over 50 years", 48 * 50,
         ["size", plain, *size_48], 1, ["size", hardest, *size_48], 4),
        ("`size`, 500 combinations over 50 years", 500 * 50,
         ["size", plain, *size], 4, ["size", hardest], 15),
        # The verdict, autonomy, and twenty what-ifs of 365 starts of about five days.
        ("`report`", 2 * 50 + 28 + 20 * 5,
         ["report", plain, "--option=base design", "--out=a.html"], 1.5,
         ["report", hardest, "--option=base design", "--out=a.html"], 4))


def seconds(arguments, folder, limit):
    """Processor time of one run on one core; None if it needs more than the limit."""
    def one_core():
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
        resource.setrlimit(resource.RLIMIT_CPU, (int(limit), int(limit)))
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run = subprocess.run([program, *arguments], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
                         preexec_fn=one_core)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    if run.returncode < 0 or used >= limit:
        return None
    if run.returncode > 1:  # 1: the answer is no
        sys.exit(f"{' '.join(map(str, arguments))}: {run.stderr.decode()}")
    return used


def text_of(times, budget, limit):
    if None in times:
        return f"more than {limit:.0f} s", f"**missed** ({budget:g} s)"
    digits = (lambda s: f"{1e3 * s:.0f} ms") if max(times) < 1 else (lambda s: f"{s:.2f} s" if s < 10 else f"{s:.0f} s")
    shown = digits(max(times)) if len(times) == 1 else f"{digits(max(times))} to {digits(min(times))}"
    return shown, ("reached" if max(times) <= budget else "**missed**") + f" ({budget:g} s)"


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--runs", type=int, default=7)
    parser.add_argument("--limit", type=float, default=600)
    parser.add_argument("--write", action="store_true")
    asked = parser.parse_args()
    loop = json.loads(subprocess.run([root / "tests/bench/plain_loop.py"], check=True, capture_output=True,
                                     text=True).stdout)["seconds_a_year"]
    lines = ["| question | household | budget | hardest design | budget | years | NumPy loop |",
             "|---|---|---|---|---|---|---|"]
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        for question, years, plain, plain_budget, hard, hard_budget in studies(folder):
            cells = []
            for arguments, budget in ((plain, plain_budget), (hard, hard_budget)):
                times = [seconds(arguments, folder, asked.limit)]
                if times[0] is not None and times[0] < 0.1 * asked.limit:
                    times += [seconds(arguments, folder, asked.limit) for _ in range(asked.runs - 1)]
                cells += text_of(times, budget, asked.limit)
            lines.append(f"| {question} | {' | '.join(cells)} | {years} | {years * loop:.2g} s |")
            print(lines[-1], flush=True)
    if asked.write:
        write_part("studies", f"worst and best of {asked.runs} runs (one number: a single run), ", lines)


main()
