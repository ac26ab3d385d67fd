"""What the benchmarks of whole commands share: the demos from any folder, and the part of README.md that each of them writes."""
import os
import pathlib
import time

root = pathlib.Path(__file__).resolve().parent.parent.parent
program = root / "build/release/holdwater"


def demo_text(name):
    """A demo with the path of its weather made absolute."""
    return (root / f"scenarios/{name}.toml").read_text().replace('"weather/', f'"{root}/scenarios/weather/')


def write_part(name, head, lines):
    """Puts the lines between the marks of `tools/bench NAME` in README.md, below a line with the date, `head` and the load."""
    begin, end = f"<!-- tools/bench {name} --write -->", f"<!-- end of {name} -->"
    page = root / "tests/bench/README.md"
    before, rest = page.read_text().split(begin)
    line = f"{time.strftime('%d %B %Y').lstrip('0')}, {head}load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors:"
    page.write_text("\n".join([before + begin, "", line, "", *lines, "", end]) + rest.split(end)[1])
