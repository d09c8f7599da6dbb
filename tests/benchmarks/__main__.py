"""Measure: `python -m tests.benchmarks [N ...]`, by default 500 and 2000 entries, and the rules.

Prints, in one run, medians of several, and their ratios to the floor (`tests.benchmarks.floor`). Absolute
figures are the machine's; the ratios are what may be compared.

All is run as it is once installed: every module is compiled to bytecode before anything is timed, whatever
this environment says of it. Without that, half of what a short run takes is Python compiling the tool.
"""

from __future__ import annotations

import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path

from buildlog.works.follow import Follower
from buildlog.works.outcome import Plan
from tests.benchmarks.made_log import make_log

ROUNDS = 5


def installed(place: Path) -> None:
    """Let the processes that are measured find their modules compiled, below a place of this run's own."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ["PYTHONPYCACHEPREFIX"] = str(place / "bytecode")
    log = place / "first"
    make_log(log, 20)
    seconds([sys.executable, "-m", "tests.benchmarks.floor", str(log), str(place / "first-floor")])
    seconds([sys.executable, "-m", "tests.benchmarks.reading", str(log)])
    seconds([sys.executable, "-m", "buildlog", "findings", str(log), "--hold-at", "nothing"])
    seconds(compile_command(log, "all"))


def seconds(command: list[str]) -> float:
    """How long a command takes, as a whole process."""
    began = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - began


def peak(command: list[str]) -> float:
    """The largest resident set of any process of a command, in MB."""
    program = (
        "import resource, subprocess, sys; subprocess.run(sys.argv[1:], check=True, stdout=-3);"
        "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    )
    told = subprocess.run(
        [sys.executable, "-c", program, *command], check=True, capture_output=True, text=True
    )
    return int(told.stdout) / 1024


def measured(run: Callable[[int], float], rounds: int = ROUNDS) -> list[float]:
    """The figure of each round."""
    return [run(number) for number in range(rounds)]


def compile_command(log: Path, edition: str = "shop") -> list[str]:
    command = [sys.executable, "-m", "buildlog", "compile", str(log), "--without-photos"]
    return [*command, "--edition", edition]


def touch_one(log: Path, number: int) -> None:
    """Change the prose of one entry in the middle of the log."""
    entries = sorted((log / "entries").rglob("*.md"))
    entry = entries[len(entries) // 2 + number]
    entry.write_text(entry.read_text("utf-8") + f"\nOnce more, {number}.\n", "utf-8")


def settle() -> None:
    """Let the disk's clock move on: a file only just written is read again before it is trusted."""
    time.sleep(0.2)


def measure(size: int, place: Path) -> None:
    """Measure one size of log and print the figures."""
    log = place / f"log-{size}"
    make_log(log, size)
    settle()

    def cold(number: int, edition: str = "shop") -> float:
        # Each round gets a log of its own: to delete the last edition first would measure the file system,
        # which (ext4) goes out of its way for minutes not to use again what was just deleted.
        twin = place / f"cold-{size}-{edition}-{number}"
        shutil.copytree(log, twin)
        return seconds(compile_command(twin, edition))

    def floor(number: int) -> float:
        return seconds(
            [sys.executable, "-m", "tests.benchmarks.floor", str(log), str(place / f"f{size}-{number}")]
        )

    # The two in turn, so that a machine that grows slower does so for both.
    pairs = [(floor(number), cold(number)) for number in range(ROUNDS)]
    base = statistics.median(pair[0] for pair in pairs)
    print(f"{size} entries; the floor is {base:.2f} s = 1.00 ({base / size * 1000:.2f} ms an entry)")
    told("cold compile, shop, without photos", [pair[1] for pair in pairs], base)
    told("cold compile, both editions", measured(lambda number: cold(number, "all"), 3), base)
    settle()
    seconds(compile_command(log))
    told("nothing changed", measured(lambda _: seconds(compile_command(log))), base)

    def one_changed(number: int) -> float:
        touch_one(log, number)
        return seconds(compile_command(log))

    told("one entry changed, new process", measured(one_changed), base)
    told("one entry changed, inside follow", following(log), base)
    twin = place / f"peak-{size}"
    shutil.copytree(log, twin, ignore=shutil.ignore_patterns("private"))
    print(f"  {'peak memory of a cold compile':38} {peak(compile_command(twin)):8.0f} MB")


def following(log: Path) -> list[float]:
    """One entry changed, to all its pages written, in a process that has compiled before."""
    follower = Follower(log, Plan(photos=False), lambda *_: None, lambda *_: None)
    serving = threading.Thread(target=follower.server.serve_forever, daemon=True)
    serving.start()
    times = []
    for number in range(20):
        touch_one(log, -number - 1)
        began = time.perf_counter()
        outcome = follower.compile()
        times.append(time.perf_counter() - began)
        assert outcome.editions[0].written
    follower.stop()
    return times


def told(what: str, times: list[float], base: float) -> None:
    middle = statistics.median(times)
    worst = max(times)
    print(f"  {what:38} {middle:8.3f} s  {middle / base:6.2f} × the floor  (at most {worst:.3f} s)")


def measure_findings(entries: int, place: Path) -> None:
    """The rules on half as many items as entries and three times as many records, against reading alone."""
    log = place / f"findings-{entries}"
    make_log(log, entries, an_item_every=2)
    settle()

    def cold(command: list[str]) -> float:
        shutil.rmtree(log / "private", ignore_errors=True)
        return seconds(command)

    reading = [sys.executable, "-m", "tests.benchmarks.reading", str(log)]
    asking = [sys.executable, "-m", "buildlog", "findings", str(log), "--hold-at", "nothing"]
    pairs = [(cold(reading), cold(asking)) for _ in range(3)]
    base = statistics.median(pair[0] for pair in pairs)
    asked = statistics.median(pair[1] for pair in pairs)
    print(f"{entries // 2} items, {entries * 3} records: reading {base:.2f} s, findings {asked:.2f} s,")
    print(f"  findings is {asked / base:.2f} × reading")


def main(asked: list[int]) -> None:
    """Measure every size, small first; where none is asked for, the usual ones, and the rules."""
    sizes = asked or [500, 2000]
    print(f"{os.cpu_count()} processors; medians of {ROUNDS} rounds")
    with tempfile.TemporaryDirectory(prefix="buildlog-bench-") as place:
        installed(Path(place))
        for size in sizes:
            measure(size, Path(place))
        if not asked:
            measure_findings(10_000, Path(place))


if __name__ == "__main__":
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    main([int(each) for each in sys.argv[1:]])
