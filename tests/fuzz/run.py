"""Any number of inputs nobody would write.

    python tests/fuzz/run.py --inputs 1000000 --seed 7     # random changes of the samples
    python tests/fuzz/run.py --corpus 200                  # every line prefix, and every line left out
    python tests/fuzz/run.py --guided 100000               # guided by coverage; needs the package atheris

An input that raises, or takes more than `--seconds` of processor time, is written to `--keep` and named;
the exit code is then 1.
"""

from __future__ import annotations

import argparse
import hashlib
import signal
import sys
import time
import traceback
from collections.abc import Iterator
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parent), str(Path(__file__).resolve().parents[2])]

from inputs import Case, case, seeds  # noqa: E402
from trying import tried  # noqa: E402


class TooSlowError(Exception):
    """An input took longer than it may."""


def edited(count: int) -> Iterator[Case]:
    """Every prefix on a line boundary and every single line left out, of so many samples."""
    sources = [one for one in seeds() if one.kind in ("sv", "vhd")]
    for one in sources[:count]:
        lines = one.text.splitlines(keepends=True)
        for at in range(len(lines)):
            yield Case(one.kind, "".join(lines[:at]))
            yield Case(one.kind, "".join(lines[:at] + lines[at + 1 :]))


def failure(one: Case, seconds: float) -> str | None:
    """What went wrong with an input, None when nothing did."""

    def late(*_: object) -> None:
        raise TooSlowError(f"more than {seconds} s")

    # Processor time, so that other work on the machine is not taken for an input's.
    signal.signal(signal.SIGVTALRM, late)
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
    try:
        tried(one)
    except BaseException as wrong:
        if isinstance(wrong, KeyboardInterrupt):
            raise
        return "".join(traceback.format_exception(wrong)[-6:])
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
    return None


def guided(count: int, seconds: float, keep: Path) -> None:
    """Let atheris choose what to change; it ends the process at the first failure."""
    try:
        import atheris
    except ImportError:
        raise SystemExit("atheris is not installed: python -m venv fuzz && fuzz/bin/pip install atheris -e .") from None
    kinds = ("sv", "vhd", "intent", "toml", "profile", "list")
    corpus = keep / "corpus"
    corpus.mkdir(parents=True, exist_ok=True)
    for number, one in enumerate(seeds()):
        (corpus / f"{number}").write_bytes(bytes([kinds.index(one.kind)]) + one.text.encode()[:4000])

    def put_through(data: bytes) -> None:
        if data:
            tried(Case(kinds[data[0] % len(kinds)], data[1:].decode("utf-8", "replace")))

    atheris.instrument_all()
    options = [sys.argv[0], str(corpus), f"-runs={count}", f"-timeout={int(seconds)}", f"-artifact_prefix={keep}/"]
    atheris.Setup(options, put_through)
    atheris.Fuzz()


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--inputs", type=int, default=10_000)
    parser.add_argument("--first", type=int, default=0, help="number of the first input")
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--seconds", type=float, default=10.0, help="processor time an input may take")
    parser.add_argument("--for", dest="minutes", type=float, help="end after so many minutes")
    parser.add_argument("--keep", type=Path, default=Path("fuzz-failures"), help="folder for failing inputs")
    parser.add_argument("--corpus", type=int, metavar="FILES", help="edits of so many samples instead")
    parser.add_argument("--guided", type=int, metavar="RUNS", help="guided by coverage instead")
    args = parser.parse_args()
    if args.guided is not None:
        guided(args.guided, args.seconds, args.keep)
        return 0
    numbers = range(args.first, args.first + args.inputs)
    cases = edited(args.corpus) if args.corpus is not None else (case(args.seed, one) for one in numbers)
    started, done, failed, slowest = time.monotonic(), 0, 0, 0.0
    for one in cases:
        before = time.process_time()
        wrong = failure(one, args.seconds)
        slowest = max(slowest, time.process_time() - before)
        done += 1
        if wrong is not None:
            failed += 1
            name = hashlib.sha256(one.text.encode("utf-8", "surrogatepass")).hexdigest()[:12]
            args.keep.mkdir(parents=True, exist_ok=True)
            (args.keep / f"{name}.{one.kind}").write_bytes(one.text.encode("utf-8", "surrogatepass"))
            print(f"input {args.first + done - 1} ({name}.{one.kind}):\n{wrong}", flush=True)
        if args.minutes is not None and time.monotonic() - started > args.minutes * 60:
            break
    print(f"{done} inputs, {failed} failed, slowest {slowest:.2f} s of processor time")
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(main())
