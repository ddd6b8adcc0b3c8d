#!/usr/bin/python3
"""Checks that every header under src/ compiles alone and guards itself.

  headers.py [--root FOLDER]      names each header that does not; status 1 where there is one
"""
import argparse
import concurrent.futures
import os
import pathlib
import shutil
import subprocess
import sys


def wrong_with(root, header):
    """The compiler's complaint about `header` as the only include, or nothing."""
    name = header.relative_to(root / "src").as_posix()
    if "\n#pragma once\n" not in "\n" + header.read_text(encoding="utf-8"):
        return f"{name}: no #pragma once"
    # In the build folder under a name that stays, so that ccache knows it again.
    alone = root / "build" / "headers" / (name.replace("/", "_") + ".cpp")
    alone.parent.mkdir(parents=True, exist_ok=True)
    alone.write_text(f'#include "{name}"\n#include "{name}"\n')
    launcher = ["ccache"] if shutil.which("ccache") else []
    done = subprocess.run(
        [*launcher, "g++", "-std=c++20", "-Wall", "-Wextra", "-I", root / "src", "-c", alone,
         "-o", alone.with_suffix(".o")], text=True, capture_output=True)
    return f"{name}:\n{done.stderr}" if done.returncode or done.stderr else None


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--root", type=pathlib.Path,
                        default=pathlib.Path(__file__).resolve().parent.parent)
    root = parser.parse_args().root.resolve()
    headers = sorted((root / "src").rglob("*.h"))
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        wrong = [w for w in pool.map(lambda header: wrong_with(root, header), headers) if w]
    print("".join(f"{w}\n" for w in wrong), end="")
    print(f"headers: {len(headers) - len(wrong)} passed, {len(wrong)} failed")
    return 1 if wrong or not headers else 0


if __name__ == "__main__":
    sys.exit(main())
