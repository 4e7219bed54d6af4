"""``python -m tests.bench NAME [--json] [--small]``: exits non-zero when a target is missed."""

from __future__ import annotations

import argparse
import sys
from importlib import import_module

from .figures import printed

#: Bench by name; each module has ``run(small: bool) -> list[Figure]``.
BENCHES = {"import": "bench_import", "answers": "bench_answers", "scans": "bench_scans",
           "notes": "bench_notes", "fits": "bench_fits",
           "matching": "bench_matching", "report": "bench_report"}  # fmt: skip


def main() -> int:
    """Run one bench and print its figures."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("name", choices=sorted(BENCHES))
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    parser.add_argument("--small", action="store_true", help="a small run: correctness only")
    parser.add_argument("--rules-only", action="store_true",
                        help="notes: what the importer reads, without a club")  # fmt: skip
    parser.add_argument("--show", metavar="FOLDER",
                        help="notes: list what is missed or false in the seen notes")  # fmt: skip
    asked = parser.parse_args()
    more = {}
    if asked.name == "notes":
        more = {"rules_only": asked.rules_only, "show": asked.show}
        if asked.show not in (None, "seen"):
            parser.error("--show takes 'seen' alone: unseen notes are scored and never shown")
    elif asked.rules_only or asked.show:
        parser.error("--rules-only and --show are for the bench of notes")
    figures = import_module(f"tests.bench.{BENCHES[asked.name]}").run(small=asked.small, **more)
    sys.stdout.write(printed(asked.name, figures, as_json=asked.json) + "\n")
    return int(any(not figure.met for figure in figures))


if __name__ == "__main__":
    sys.exit(main())
