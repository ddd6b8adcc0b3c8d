#!/usr/bin/python3
"""Checks which folder of src/ includes which, and which library headers stand where.

  layering.py [--root FOLDER]     prints each breach as path:line: sentence; status 1 if any
  layering.py --self-test         plants one breach after another in a copy and sees each caught
"""
import argparse
import pathlib
import re
import shutil
import sys
import tempfile

# A folder may include itself and these; "" is src/main.cpp.
FOLDERS = {
    "domain": set(),
    "exchange": {"domain"},
    "engine": {"domain"},
    "reference": {"domain", "exchange"},
    "book": {"domain"},
    "paper": {"domain", "engine"},
    "commands": {"domain", "exchange", "engine", "reference", "book", "paper"},
    "": {"commands", "domain"},
}

# Library headers by how they begin, and where they may stand: folders, files, or anywhere.
ANYWHERE = None
LIBRARIES = {
    "sqlite3.h": {"book"},
    "SQLiteCpp/": {"book"},
    "hpdf": {"paper"},
    "jpeglib.h": {"paper/jpeg.cpp", "paper/lazy_libraries.cpp"},
    "jerror.h": {"paper/jpeg.cpp"},
    "qrencode.h": {"paper"},
    "fribidi.h": {"paper"},
    "dlfcn.h": {"paper/lazy_libraries.cpp"},
    "kainjow/mustache.hpp": {"paper"},
    "CLI/": {"commands"},
    "rapidjson/": {"domain/json.cpp"},
    "toml++/": {"reference"},
    "csv.h": {"exchange"},
    "nettle/": {"domain/text.cpp"},
    "absl/": {"domain/zone.cpp"},
    "utf8": {"domain", "paper"},
    "fmt/": ANYWHERE,
}

# What the engines, functions of plain values, have no use for.
OUTSIDE_WORLD = {"fstream", "filesystem", "iostream", "ctime", "cstdio", "thread", "random"}
POSIX = re.compile(r"(sys/\w+|unistd|fcntl|termios|poll|dirent|signal|spawn|langinfo)\.h$")
STANDARD = re.compile(r"\w+$")
INCLUDE = re.compile(r'\s*#\s*include\s*(?:<([^>]+)>|"([^"]+)")')


def own(root, folder, header):
    """What is wrong with including our `header` from `folder`, or nothing."""
    if not (root / "src" / header).is_file() or ".." in header:
        return f'"{header}" is no file under src/; write the path from there'
    target = header.split("/")[0] if "/" in header else ""
    if target != folder and target not in FOLDERS[folder]:
        allowed = ", ".join(sorted(FOLDERS[folder])) or "none other"
        return f'"{header}": {folder or "main.cpp"} may include {allowed}'
    return None


def library(folder, file, header):
    """What is wrong with including the library `header` from `file`, or nothing."""
    if STANDARD.match(header):
        if folder == "engine" and header in OUTSIDE_WORLD:
            return f"<{header}>: engine has no clock, no file and no chance"
        return None
    if POSIX.match(header):
        return f"<{header}>: engine does not touch the system" if folder == "engine" else None
    for start, places in LIBRARIES.items():
        if header.startswith(start):
            if places is ANYWHERE or folder in places or file in places:
                return None
            return f"<{header}> may stand in {', '.join(sorted(places))} only"
    return f"<{header}> belongs to no library that tests/layering.py knows"


def check(root):
    """The breaches under root/src and the number of files read."""
    breaches = []
    files = sorted(p for p in (root / "src").rglob("*") if p.suffix in (".h", ".cpp"))
    for path in files:
        file = path.relative_to(root / "src").as_posix()
        folder = file.split("/")[0] if "/" in file else ""
        if folder not in FOLDERS:
            breaches.append(f"src/{file}:1: {folder} is no folder of the design")
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            if found := INCLUDE.match(line):
                angled, quoted = found.groups()
                wrong = library(folder, file, angled) if angled else own(root, folder, quoted)
                if wrong:
                    breaches.append(f"src/{file}:{number}: {wrong}")
    return breaches, len(files)


def plants():
    """File to plant, its text, and whether it must be caught."""
    for folder in FOLDERS:
        name = f"{folder}/planted.cpp" if folder else "planted.cpp"
        for other in filter(None, FOLDERS):
            caught = other != folder and other not in FOLDERS[folder]
            yield name, f'#include "{other}/target.h"\n', caught
        for start, places in LIBRARIES.items():
            caught = places is not ANYWHERE and folder not in places
            header = start if "." in start else start + ("x.h" if start.endswith("/") else ".h")
            yield name, f"#include <{header}>\n", caught
        yield name, "#include <vector>\n", False
        yield name, "#include <unknown/library.h>\n", True
        yield name, '#include "absent.h"\n', True
        yield name, '#include "../domain/target.h"\n', True
        yield name, "// #include <unknown/library.h>\n", False
        yield name, "#include <fstream>\n", folder == "engine"
        yield name, "#include <unistd.h>\n", folder == "engine"
    yield "domain/json.cpp", "#include <rapidjson/reader.h>\n", False
    yield "newcomer/planted.cpp", "", True


def self_test(root):
    wrong, count = [], 0
    with tempfile.TemporaryDirectory() as folder:
        copy = pathlib.Path(folder)
        shutil.copytree(root / "src", copy / "src")
        for name in filter(None, FOLDERS):
            (copy / "src" / name).mkdir(exist_ok=True)
            (copy / "src" / name / "target.h").write_text("#pragma once\n")
        before = set(check(copy)[0])
        for name, text, caught in plants():
            count += 1
            path = copy / "src" / name
            old = path.read_text() if path.exists() else None
            path.parent.mkdir(exist_ok=True)
            path.write_text(text)
            new = [b for b in check(copy)[0] if b not in before and b.startswith(f"src/{name}:1:")]
            if len(new) != (1 if caught else 0):
                wrong.append(f"{name}: {text.strip()!r}: expected {int(caught)} breach, got {new}")
            if old is None:
                path.unlink()
            else:
                path.write_text(old)
            if name.startswith("newcomer/"):
                path.parent.rmdir()
    print("".join(f"{line}\n" for line in wrong), end="")
    print(f"layering self-test: {count - len(wrong)} passed, {len(wrong)} failed")
    return 1 if wrong or not count else 0


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--root", type=pathlib.Path,
                        default=pathlib.Path(__file__).resolve().parent.parent)
    parser.add_argument("--self-test", action="store_true")
    arguments = parser.parse_args()
    if arguments.self_test:
        return self_test(arguments.root)
    breaches, files = check(arguments.root)
    print("".join(f"{breach}\n" for breach in breaches), end="")
    print(f"layering: {files} files, {len(breaches)} breaches")
    return 1 if breaches or not files else 0


if __name__ == "__main__":
    sys.exit(main())
