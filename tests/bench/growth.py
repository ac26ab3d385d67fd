#!/usr/bin/python3
"""How time and memory of the studies grow, and what a second processor gives.

  tools/bench growth [--write]

Growth: processor time on one core and peak memory at four sizes, each four times the one before (three and a half for days). The
exponent is the slope of log(time) over log(size) between the two largest sizes: 1 is linear, and less where a fixed part is shared.
Processors: time by the clock on one core over that on two, the better of two runs each; it needs an idle machine.
--write puts tables and plot into tests/bench/README.md.
"""
import math
import os
import pathlib
import subprocess
import sys
import tempfile
import time

import made_stations
from common import demo_text, program, write_part


def scenario(name, folder):
    path = folder / f"{name}.toml"
    path.write_text(demo_text(name))
    return path


def run(arguments, folder, processors):
    """Seconds by the clock, seconds of processor time and peak MiB of one command."""
    for old in folder.glob("out.*"):
        old.unlink()
    began = time.monotonic()
    child = subprocess.Popen([program, *map(str, arguments)], cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
                             preexec_fn=lambda: os.sched_setaffinity(0, set(range(processors))))
    problem = child.stderr.read().decode()
    _, status, usage = os.wait4(child.pid, 0)
    clock_s = time.monotonic() - began
    if os.waitstatus_to_exitcode(status) not in (0, 1):  # 1: the answer is no
        sys.exit(f"{' '.join(map(str, arguments))}: {problem}")
    return clock_s, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def growths(folder, stations):
    """Name of what grows, its sizes, and the command at one size."""
    household, livestock = scenario("juniper-bend-household", folder), scenario("saltbush-livestock", folder)

    def some_stations(count):
        path = folder / "stations.txt"
        path.write_text("".join(f"{p}\n" for p in stations[:count]))
        return path

    def batteries(count):
        return ",".join(f"{5 + 50 * i / count:g} kWh" for i in range(count))

    return (
        ("rows of a sweep", (125, 500, 2000, 8000),
         lambda n: ["sweep", livestock, "--vary=battery.capacity=3 kWh..9 kWh", "--vary=array.tilt=20 deg..60 deg",
                    f"--sample={n}", "--out=out.h5"]),
        ("made years of a verdict", (25, 100, 400, 1600), lambda n: ["years", household, f"--years={n}", "--out=out.csv"]),
        ("stations of a region", (2, 8, 32, 128),
         lambda n: ["region", household, "--stations", some_stations(n), "--array", "2.2 kW,3 kW", "--years=8", "--out=out.csv"]),
        ("combinations of a size search, each run", (30, 120, 480, 1920),
         lambda n: ["size", household, f"--vary=battery.capacity={batteries(n // 10)}",
                    "--vary=array.rated_power=" + ",".join(f"{1 + 0.25 * i:g} kW" for i in range(10)),
                    "--require=demand_met=0.999", "--years=8", f"--all-up-to={n}", "--out=out.csv"]),
        ("days of a result file", (8, 28, 98, 343),
         lambda n: ["simulate", household, "--years=0", f"--days={n}", "--out=out.h5"]))


def studies(folder, stations):
    """Studies that take longer than half a second on one core."""
    household, livestock = folder / "juniper-bend-household.toml", folder / "saltbush-livestock.toml"
    cattle = scenario("hollerbrook-cattle", folder)
    (folder / "few.txt").write_text("".join(f"{p}\n" for p in stations[:8]))
    return (
        ("`simulate`, 50 winters of the cattle farm", ["simulate", cattle]),
        ("`autonomy` of the cattle farm", ["autonomy", cattle]),
        ("`years`, 400 winters", ["years", household, "--years=400"]),
        ("`compare`, four designs of a farm", ["compare", scenario("thorn-gully-options", folder)]),
        ("`sensitivity`, the ranges of a scenario", ["sensitivity", scenario("alder-flat-store", folder)]),
        ("`size`, 480 combinations", growths(folder, stations)[3][2](480)),
        ("`report` of the household", ["report", household, "--out=out.html"]),
        ("`report` of the farm with four designs", ["report", scenario("thorn-gully-options", folder), "--out=out.html"]),
        ("`sweep`, 2,000 rows", growths(folder, stations)[0][2](2000)),
        ("`sweep --reliability`", ["sweep", livestock, "--reliability"]),
        ("`region`, 8 stations", ["region", household, "--stations", folder / "few.txt", "--array", "2.2 kW,3 kW", "--years=20"]))


def plot(lines):
    """Time over that of the smallest size (up), size over the smallest (right), both logarithmic; a slash on the diagonal is linear."""
    width, height, most = 48, 16, math.log(64)
    grid = [[" "] * (width + 1) for _ in range(height + 1)]
    for column in range(width + 1):
        grid[round(column * height / width)][column] = "."
    for mark, sizes, times in lines:
        for size, seconds in zip(sizes, times):
            right = round(width * math.log(size / sizes[0]) / most)
            up = round(height * math.log(max(1, seconds / times[0])) / most)
            if 0 <= right <= width and 0 <= up <= height:
                grid[up][right] = mark
    labels = {0: " 1", round(height / 3): " 4", round(2 * height / 3): "16", height: "64"}
    rows = [f"{labels.get(up, '  ')} |{''.join(grid[up])}".rstrip() for up in range(height, -1, -1)]
    axis = [" "] * (width + 3)
    for size in (1, 4, 16, 64):
        at = round(width * math.log(size) / most)
        axis[at:at + len(str(size))] = str(size)
    return ["times as long", *rows, "   +" + "-" * (width + 1), "    " + "".join(axis).rstrip() + "  times the size"]


def main():
    text, lines = [], []
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        (folder / "stations").mkdir()
        stations = made_stations.write_stations(program, 128, folder / "stations")
        text += ["| grows | sizes | processor time [s] | peak memory [MiB] | exponent |", "|---|---|---|---|---|"]
        for what, sizes, command in growths(folder, stations):
            mark = {"rows": "r", "made": "y", "stat": "s", "comb": "c", "days": "d"}[what[:4]]
            runs = [min((run(command(n), folder, 1) for _ in range(2)), key=lambda r: r[1]) for n in sizes]
            times = [r[1] for r in runs]
            exponent = math.log(times[-1] / times[-2]) / math.log(sizes[-1] / sizes[-2])
            text.append(f"| {mark}: {what} | {', '.join(f'{n:,}' for n in sizes)} | {', '.join(f'{t:.3g}' for t in times)} | "
                        f"{', '.join(f'{r[2]:.0f}' for r in runs)} | {exponent:.2f} |")
            lines.append((mark, sizes, times))
            print(text[-1], flush=True)
        text += ["", "```", *plot(lines), "```", "", "| study | one processor [s] | two [s] | times as fast |", "|---|---|---|---|"]
        for what, command in studies(folder, stations):
            one, two = (min(run(command, folder, n)[0] for _ in range(2)) for n in (1, 2))
            text.append(f"| {what} | {one:.2f} | {two:.2f} | {one / two:.2f} |")
            print(text[-1], flush=True)
    print("\n".join(text))
    if "--write" in sys.argv[1:]:
        write_part("growth", "", text)


main()
