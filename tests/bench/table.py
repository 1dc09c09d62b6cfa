"""Puts what the benches of tests/bench.sh printed into one table.

    python3 tests/bench/table.py FOLDER
"""

import datetime
import os
import platform
import re
import sys


def text(name: str) -> str:
    with open(os.path.join(sys.argv[1], f"{name}.txt"), encoding="utf-8") as file:
        return file.read()


def numbers(pattern: str, where: str) -> list[float]:
    found = re.search(pattern, where, re.MULTILINE)
    if not found:
        raise SystemExit(f"table: nothing like {pattern!r} was printed")
    return [float(number) for number in found.groups()]


def row(what: str, ours: str, other: str, ratio: str) -> None:
    print(f"| {what} | {ours} | {other} | {ratio} |")


def main() -> None:
    cores = os.cpu_count()
    print(f"{datetime.date.today()}, {platform.system()} {platform.machine()}, {cores} cores\n")
    row("what", "here", "against", "ratio")
    row("---", "---", "---", "---")

    app, bare = re.findall(r"^ *(\d+) +\d+  total$", text("bytes"), re.MULTILINE)
    row("bytes over the wire (brotli)", f"{int(app) / 1000:.0f} kB", f"bare Leptos page {int(bare) / 1000:.0f} kB", f"{int(app) / int(bare):.1f}")
    for kind in ["cold", "offline"]:
        (ours,) = numbers(rf"^ *app +{kind} +paint (\d+)", text("starts"))
        (other,) = numbers(rf"^ *bare page +{kind} +paint (\d+)", text("starts"))
        row(f"{kind} start to first paint, 1/4 speed", f"{ours:.0f} ms", f"bare Leptos page {other:.0f} ms", f"{ours / other:.2f}")
    for bench, name, what in [
        ("keystroke", "Nettle, pad", "keystroke: main-thread work until the chart is redrawn, 1/4 speed"),
        ("day-entry", r"8 rounds, processor at 1/4", "entry on the page Day, 8 rounds, both pulleys, 1/4 speed"),
    ]:
        ms, high, units = numbers(rf"^{name}: .*\n +main-thread work +([\d.]+) ms \(95 % +([\d.]+) ms\) +([\d.]+) units", text(bench))
        row(what, f"{ms:.0f} ms (95 %: {high:.0f})", "ten thousand square roots", f"{units:.0f}")
    (day,) = numbers(r"as drawn +median +([\d.]+) ms", text("day"))
    for method, ms in re.findall(r"^(\w+), rtol .*: (\d+) ms", text("scipy"), re.MULTILINE):
        row("8 rounds in 6 h, both pulleys, native", f"{day:.1f} ms", f"SciPy {method} {ms} ms", f"{float(ms) / day:.0f} times as long")
    log = text("log-read")
    (ours,) = numbers(r"^shortest ([\d.]+)", log)
    (polars,) = numbers(r"^polars .*: shortest ([\d.]+)", log)
    row("log of a million rows, native", f"{ours:.3f} s", f"polars on all cores {polars:.3f} s", f"{polars / ours:.2f} times as long")
    for name, ms, times in re.findall(r"^(.{36}) +([\d.]+) ms +([\d.]+) times", log, re.MULTILINE):
        row("the same in a browser", "1", f"{name.strip()} {ms} ms", f"{times} times as long")
    tasks = text("long-tasks").splitlines()[2:]
    for column, what in [(2, "the start"), (3, "going to a page"), (4, "an entry")]:
        cells = [line.split("|")[column].strip() for line in tasks]
        long = [float(cell.split()[0]) for cell in cells if cell not in ("under 50", "none")]
        row(f"longest task of {what}, 1/4 speed", f"{max(long, default=50):.0f} ms", "50 ms", f"over it on {len(long)} of {len(cells)} pages")
    used = text("long-use").splitlines()[2:]
    first = used[0].split("|")
    for line in used[1:]:
        cells = line.split("|")
        row(f"memory of module and of scripts after {cells[1].strip()}", f"{cells[2].strip()} MB, {cells[3].strip()} MB", f"{first[2].split()[0]}, {first[3].split()[0]} MB after {first[1].strip()}", "in brackets")


main()
