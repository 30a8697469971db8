"""Throw spoilt inputs at everything that reads: nothing but a clear sentence may come back.

    python scripts/fuzz.py --rounds 10000
    python scripts/fuzz.py --only workbook --rounds 500
    python scripts/fuzz.py --repeat 1234       # one round again, with its traceback

Each round spoils one good input and reads it. It fails when anything but an
``AbreastError`` is raised, when a message is no single clear sentence, when a
round computes for more than 5 s, when memory passes the limit, or when a job that was
read is not the same after it was written and read again.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import random
import resource
import signal
import sys
import tempfile
import time
import traceback
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from benchmarks.spaceout.generate import FLAVOURS, generate
from scripts.mutations import (
    NASTY_TEXTS,
    spoil_bytes,
    spoil_csv,
    spoil_package,
    spoil_text,
    spoil_toml,
    spoil_tree,
)

from abreast.errors import AbreastError

MOST_SECONDS = 5.0
MOST_WAITING_S = 60.0
MOST_BYTES = 1_500_000_000
LONGEST_SENTENCE = 300
SOLVE_SECONDS = 0.5


class TooSlowError(BaseException):
    """A round took too long; no ordinary handler may swallow this."""


class WrongError(Exception):
    """A result that breaks a promise of the program."""


def check_sentence(text: str) -> None:
    """Refuse a message that is empty, too long, or holds signs that no line should."""
    if not text.strip() or len(text) > LONGEST_SENTENCE:
        message = f"message of {len(text)} characters: {text[:400]!r}"
        raise WrongError(message)
    odd = [sign for sign in text if unicodedata.category(sign) in ("Cc", "Cs", "Zl", "Zp")]
    if odd or "Traceback" in text or "pydantic" in text:
        message = f"message is no plain sentence: {text!r}"
        raise WrongError(message)


@cache
def good_files(name: str) -> dict[str, bytes]:
    """The files of a bundled job."""
    from abreast.examples import example_path

    return {path.name: path.read_bytes() for path in sorted(example_path(name).iterdir())}


@cache
def good_workbook(name: str) -> bytes:
    """A bundled job as a workbook."""
    from abreast.examples import example_path
    from abreast.jobfile import read_job
    from abreast.jobfile.write import workbook_bytes

    return workbook_bytes(read_job(example_path(name)).require_job())


def any_job(rng: random.Random) -> str:
    """Name of a bundled job."""
    from abreast.examples import names

    return rng.choice(names())


def spoil_file(rng: random.Random, name: str, content: bytes) -> bytes:
    """One file of a job folder, spoilt as bytes or as what it is."""
    if rng.random() < 0.15:
        return spoil_bytes(rng, content)
    text = content.decode("utf-8", "replace")
    spoil = spoil_toml if name.endswith(".toml") else spoil_csv
    return spoil(rng, text).encode("utf-8", "surrogatepass")


def odd_entry(rng: random.Random, folder: Path) -> None:
    """Something in the folder that is no ordinary file of it."""
    names = [path.name for path in folder.iterdir()]
    path = folder / rng.choice([*names, "notes.csv", "RACK.CSV", "job.toml.csv"])
    if path.exists():
        path.unlink()
    way = rng.randrange(6)
    if way == 0:
        path.mkdir()
    elif way == 1:
        path.symlink_to("/etc/passwd")
    elif way == 2:
        path.symlink_to(path.name)
    elif way == 3:
        os.mkfifo(path)
    elif way == 4:
        path.write_bytes(b"id\n" + b"x\n" * 1_000_000)
    else:
        path.write_bytes(b"id,")
        os.truncate(path, rng.choice((3_000_000, 900_000_000)))


def fuzz_folder(rng: random.Random, place: Path) -> str:
    """A job folder with some files spoilt."""
    files = dict(good_files(any_job(rng)))
    for _ in range(rng.choice((1, 1, 2, 4))):
        name = rng.choice(list(files))
        files[name] = spoil_file(rng, name, files[name])
    for name, content in files.items():
        (place / name).write_bytes(content)
    if rng.random() < 0.08:
        odd_entry(rng, place)
    return read_and_judge(rng, place)


def fuzz_workbook(rng: random.Random, place: Path) -> str:
    """A workbook spoilt inside or outside."""
    path = place / rng.choice(("job.xlsx", "job.XLSX", "job.xlsm"))
    path.write_bytes(spoil_package(rng, good_workbook(f"{rng.choice(JOBS)}/corrected")))
    return read_and_judge(rng, path)


JOBS = ("quernstone_14", "skerrow_a09")


def read_and_judge(rng: random.Random, path: Path) -> str:
    """Read a job; judge every message, and the way back when there is a job."""
    from abreast.jobfile import read_job, write_folder

    result = read_job(path)
    for issue in result.issues:
        check_sentence(issue.message)
        if issue.proposal:
            check_sentence(issue.proposal)
    if (result.job is None) != bool(result.errors):
        message = f"job {result.job is not None}, yet {len(result.errors)} errors"
        raise WrongError(message)
    if result.job is None:
        return "refused"
    if rng.random() < 0.3:
        with tempfile.TemporaryDirectory() as other:
            write_folder(result.job, Path(other))
            again = read_job(Path(other))
        if again.job != result.job:
            message = "the job is another one after writing and reading"
            raise WrongError(message)
    solve_job(result.job)
    return "suspected" if result.suspicions else "read"


def solve_job(job: Any) -> None:
    """Space out a job that was read, under a limit."""
    from abreast.spaceout.build import build_case
    from abreast.spaceout.solve import solve

    try:
        solve(build_case(job).case, limit_s=SOLVE_SECONDS)
    except AbreastError as fault:
        check_sentence(fault.message)


def grow(rng: random.Random, data: dict[str, Any]) -> None:
    """Make a case large while it stays well formed: a big rack, long lengths, many steps."""
    stock = data["stock"]
    for n in range(rng.choice((0, 100, 600, 4000))):
        piece = dict(rng.choice(stock[:10]))
        piece["id"] = f"new {n}"
        piece["overall"] += rng.randrange(400)
        piece["effective"] = piece["overall"] - piece.get("make_up_loss", 0)
        stock.append(piece)
    way = rng.randrange(4)
    if way == 0:
        data["gap"] *= rng.choice((2, 10, 1000))
    elif way == 1:
        data["seat"] |= {"min": 0, "max": rng.choice((10**4, 10**6)), "step": 1}
    elif way == 2:
        data["max_items"] = 60
        data["reserve"] = [0] * 61
        data["union"] |= {"min": 0, "max": rng.choice((10**5, 10**8))}


def fuzz_case(rng: random.Random, place: Path) -> str:
    """A bare space-out case, spoilt as data or as text, then solved under a limit."""
    from abreast.actions.solve import solve_text

    flavour = rng.choice(list(FLAVOURS))
    data: Any = generate(rng.randrange(10**6), rng.choice((10, 14, 20)), flavour)
    if rng.random() < 0.2:
        grow(rng, data)
    if rng.random() < 0.8:
        text = json.dumps(spoil_tree(rng, data) if rng.random() < 0.8 else data)
    else:
        text = spoil_text(rng, json.dumps(data, indent=1))
    if rng.random() < 0.05:
        text = "[" * rng.choice((100, 100_000)) + text
    answer = solve_text(
        text,
        "case.json",
        limit_s=SOLVE_SECONDS,
        alternatives=rng.choice((0, 0, 3)),
        fall_backs=rng.random() < 0.2,
        explain=rng.random() < 0.2,
    )
    json.dumps(answer, allow_nan=False)
    return str(answer["status"])


def fuzz_calculator(rng: random.Random, place: Path) -> str:
    """The example of a calculator, spoilt."""
    from abreast.actions import calculators

    name = rng.choice(calculators.names())[0]
    result = calculators.run(name, spoil_tree(rng, calculators.example(name)))
    json.dumps(result, allow_nan=False)
    return "computed"


def fuzz_quantity(rng: random.Random, place: Path) -> str:
    """A text read as a quantity of any kind."""
    from abreast.units import Dimension, parse, units_of

    dimension = rng.choice(list(Dimension))
    unit = rng.choice([None, *(one.symbol for one in units_of(dimension))])
    text = rng.choice(NASTY_TEXTS)
    for _ in range(rng.randrange(4)):
        at = rng.randrange(len(text) + 1)
        text = text[:at] + rng.choice("0123456789 .,/-+'\"ftinmk½@eE\t") + text[at:]
    parsed = parse(text, dimension, unit)
    check_sentence(parsed.echo)
    return "read"


Target = Callable[[random.Random, Path], str]
TARGETS: dict[str, Target] = {
    "folder": fuzz_folder,
    "workbook": fuzz_workbook,
    "case": fuzz_case,
    "calculator": fuzz_calculator,
    "quantity": fuzz_quantity,
}
SHARES = {"folder": 30, "workbook": 10, "case": 20, "calculator": 30, "quantity": 10}


@dataclass
class Tally:
    """What came of the rounds so far."""

    outcomes: Counter[str] = field(default_factory=Counter)
    failures: list[str] = field(default_factory=list)
    slowest: tuple[float, int, str] = (0.0, 0, "")

    def note(self, name: str, outcome: str) -> None:
        """Count one round."""
        self.outcomes[f"{name}: {outcome}"] += 1


def _alarm(_signal: int, _frame: object) -> None:
    raise TooSlowError


@contextlib.contextmanager
def at_most(seconds: float, waiting_s: float) -> Iterator[None]:
    """Break off what computes longer, or waits longer (a machine may be busy with other work)."""
    signal.signal(signal.SIGPROF, _alarm)
    signal.signal(signal.SIGALRM, _alarm)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    signal.setitimer(signal.ITIMER_REAL, waiting_s)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.setitimer(signal.ITIMER_REAL, 0)


def one_round(salt: int, number: int, only: str | None, tally: Tally, *, loud: bool) -> None:
    """Spoil one input, read it, and note what came of it."""
    rng = random.Random(f"{salt} {number}")
    name = only or rng.choices(list(SHARES), list(SHARES.values()))[0]
    begun = time.process_time()
    try:
        with tempfile.TemporaryDirectory() as place, at_most(MOST_SECONDS, MOST_WAITING_S):
            outcome = TARGETS[name](rng, Path(place))
    except AbreastError as fault:
        outcome = "refused"
        try:
            if fault.code == "wrong-answer":
                raise WrongError(fault.message)
            check_sentence(fault.message)
        except WrongError as wrong:
            outcome = "FAILED"
            tally.failures.append(f"round {number} ({name}): {wrong}")
    except (Exception, TooSlowError) as fault:
        outcome = "FAILED"
        tally.failures.append(f"round {number} ({name}): {type(fault).__name__}: {fault}"[:600])
        if loud:
            traceback.print_exc()
    tally.note(name, outcome)
    taken = time.process_time() - begun
    tally.slowest = max(tally.slowest, (taken, number, name))


def run(
    rounds: range, salt: int, only: str | None = None, *, loud: bool = False, most_s: float = 1e9
) -> Tally:
    """Run rounds until they are done or the time is up."""
    tally = Tally()
    begun = time.perf_counter()
    for number in rounds:
        if time.perf_counter() - begun > most_s:
            break
        one_round(salt, number, only, tally, loud=loud)
        if number % 500 == 499:
            print(f"{number + 1} rounds, {len(tally.failures)} failures", file=sys.stderr)
    return tally


def limit_memory(most_bytes: int) -> None:
    """Make any allocation beyond the limit fail."""
    resource.setrlimit(resource.RLIMIT_AS, (most_bytes, most_bytes))


def main() -> int:
    """Run from the command line; 1 when a round failed."""
    parser = argparse.ArgumentParser(description="spoil inputs and see that they are refused well")
    parser.add_argument("--rounds", type=int, default=10_000, help="rounds to run")
    parser.add_argument("--from", dest="first", type=int, default=0, help="number of the first")
    parser.add_argument("--salt", type=int, default=1, help="start of the random numbers")
    parser.add_argument("--only", choices=sorted(TARGETS), help="one kind of input")
    parser.add_argument("--repeat", type=int, help="one round again, with its traceback")
    parser.add_argument("--seconds", type=float, default=1e9, help="stop after so long")
    args = parser.parse_args()
    limit_memory(MOST_BYTES)
    rounds = range(args.first, args.first + args.rounds)
    if args.repeat is not None:
        rounds = range(args.repeat, args.repeat + 1)
    tally = run(rounds, args.salt, args.only, loud=args.repeat is not None, most_s=args.seconds)
    for outcome, count in sorted(tally.outcomes.items()):
        print(f"{count:7d}  {outcome}")
    taken, number, name = tally.slowest
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    print(f"slowest: round {number} ({name}), {taken:.2f} s; peak memory {peak:.0f} MB")
    for failure in tally.failures:
        print(failure)
    return 1 if tally.failures else 0


if __name__ == "__main__":
    sys.exit(main())
