"""Write the golden files anew: ``python -m tests.golden.renew``, then check each change by eye."""

from __future__ import annotations

from tests.unit import test_spreadsheets_golden


def main() -> None:
    for path in test_spreadsheets_golden.INPUTS:
        expected = test_spreadsheets_golden.expected_path(path)
        expected.write_text(test_spreadsheets_golden.as_text(path), encoding="utf-8", newline="")


if __name__ == "__main__":
    main()
