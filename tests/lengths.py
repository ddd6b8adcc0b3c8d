#!/usr/bin/python3
"""Checks that no source is over about 400 lines without a reason, and that each reason is needed."""
import pathlib
import sys

ABOUT, LIMIT = 400, 420
KINDS = {".h", ".cpp", ".c", ".py", ".sh", ".cmake", ".sql"}
REASONS = {
    "src/domain/records.h": "what every kind of entry says, read side by side",
    "src/domain/json.cpp": "reading, writing and ordering of one form",
    "tests/verify_book.py": "a program to take along alone: book-format.md in one file",
    "tests/book/shop.h": "one invented shop, in whose words all tests of the book are told",
    "tests/book/rescue_test.cpp": "cases that are read alone, on one hurt book",
    "tests/engine/cure_test.cpp": "cases that are read alone, on one set of tables",
    "tests/engine/market_test.cpp": "each way that each check of a market comes out, side by side",
    "tests/engine/schedule_test.cpp": "cases that are read alone, on one way of finishing",
}


def main():
    root = pathlib.Path(__file__).resolve().parent.parent
    files = [path for folder in ("src", "tests", "docs", "schema", "templates")
             for path in (root / folder).rglob("*") if path.suffix in KINDS]
    lines = {path.relative_to(root).as_posix(): len(path.read_text(encoding="utf-8").splitlines())
             for path in files}
    wrong = [f"{file}: {count} lines, over {LIMIT}, and tests/lengths.py gives no reason"
             for file, count in sorted(lines.items()) if count > LIMIT and file not in REASONS]
    wrong += [f"{file}: not over {ABOUT} lines; its reason in tests/lengths.py is not needed"
              for file in REASONS if lines.get(file, 0) <= ABOUT]
    print("".join(f"{line}\n" for line in wrong), end="")
    print(f"lengths: {len(files)} files, {len(wrong)} wrong")
    return 1 if wrong or not files else 0


if __name__ == "__main__":
    sys.exit(main())
