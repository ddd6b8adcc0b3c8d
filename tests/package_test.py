#!/usr/bin/python3
"""The Debian package on a machine that has nothing for building: an empty root with Debian's essential
packages and what the package depends on, no more. It is installed there by dpkg, plays the demo, and
is taken away again. Nothing is fetched: the root's files are those of this machine's packages."""
import argparse
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent
BUILDING = ("g++", "cmake", "python3", "libsqlite3-0", "libhpdf-dev")  # must not be in the root
failures = []


def check(holds, told):
    if not holds:
        failures.append(told)
        print("FAILED:", told)


def output(*words, **more):
    return subprocess.run(words, check=True, capture_output=True, text=True, **more).stdout


class Installed:
    """The packages of this machine by name, as dpkg's status tells them."""

    def __init__(self):
        self.stanzas = {}
        self.providers = {}
        for stanza in pathlib.Path("/var/lib/dpkg/status").read_text().split("\n\n"):
            fields = dict(re.findall(r"^([A-Za-z-]+): (.*)$", stanza, re.MULTILINE))
            if "installed" in fields.get("Status", ""):
                self.stanzas[fields["Package"]] = (fields, stanza)
                for provided in re.split(r"[ ,]+", fields.get("Provides", "")):
                    self.providers.setdefault(provided, fields["Package"])

    def named(self, relations):
        """The packages that satisfy a field of dependencies."""
        for group in filter(None, (part.strip() for part in relations.split(","))):
            for choice in group.split("|"):
                name = re.match(r"[a-z0-9+.-]+", choice.strip())[0]
                if name in self.stanzas or name in self.providers:
                    yield name if name in self.stanzas else self.providers[name]
                    break
            else:
                raise RuntimeError(f"nothing on this machine is {group}")

    def closure(self, relations):
        out, todo = set(), {name for name, (fields, _) in self.stanzas.items() if fields.get("Essential") == "yes"}
        todo |= set(self.named(relations))
        while todo:
            name = todo.pop()
            out.add(name)
            fields = self.stanzas[name][0]
            todo |= set(self.named(fields.get("Depends", "") + "," + fields.get("Pre-Depends", ""))) - out
        return out


def lay_root(root, packages, installed):
    for folder in ("bin", "sbin", "lib", "lib32", "lib64", "libx32"):
        if pathlib.Path("/", folder).is_symlink():
            (root / "usr" / folder).mkdir(parents=True, exist_ok=True)
            (root / folder).symlink_to(f"usr/{folder}")
    for name in sorted(packages):
        for line in output("dpkg", "-L", name).splitlines():
            source, target = pathlib.Path(line), root / line.lstrip("/")
            if not os.path.lexists(source) or line.startswith(("/usr/share/doc/", "/usr/share/locale/")):
                continue
            if source.is_dir() and not source.is_symlink():
                target.mkdir(parents=True, exist_ok=True)
            elif not os.path.lexists(target):
                target.parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(source, target, follow_symlinks=False)
    awk = root / "usr/bin/awk"  # a link of dpkg's alternatives, which no package holds
    if not os.path.lexists(awk):
        awk.symlink_to("mawk")
    (root / "dev").mkdir(exist_ok=True)
    (root / "dev/null").touch()
    (root / "tmp").mkdir(exist_ok=True)
    admin = root / "var/lib/dpkg"
    for folder in ("info", "updates", "triggers", "parts"):
        (admin / folder).mkdir(parents=True, exist_ok=True)
    (admin / "available").touch()
    (admin / "status").write_text("".join(f"{installed.stanzas[name][1]}\n\n" for name in sorted(packages)))
    for name in packages:  # dpkg wants the list of each package's files
        architecture = installed.stanzas[name][0]["Architecture"]
        for form in (name, f"{name}:{architecture}"):
            source = pathlib.Path("/var/lib/dpkg/info", f"{form}.list")
            if source.is_file():
                shutil.copy2(source, admin / "info")


class Root:
    def __init__(self, folder):
        self.folder = folder
        self.before = [] if os.geteuid() == 0 else ["unshare", "--map-root-user"]

    def dpkg(self, *words):
        return subprocess.run([*self.before, "dpkg", f"--root={self.folder}", "--force-not-root", *words],
                              capture_output=True, text=True, env={"PATH": "/usr/sbin:/usr/bin:/sbin:/bin"})

    def run(self, *words, **variables):
        return subprocess.run([*self.before, "/usr/sbin/chroot", self.folder, *words], capture_output=True, text=True,
                              timeout=600, env={"PATH": "/usr/bin:/bin", "HOME": "/tmp", "LC_ALL": "C.UTF-8"} | variables)


def test(package, folder):
    installed = Installed()
    depends = output("dpkg-deb", "-f", str(package), "Depends")
    packages = installed.closure(depends)
    for name in BUILDING:
        check(name not in packages, f"the package needs {name}, which is for building")
    root = Root(folder)
    lay_root(folder, packages, installed)
    check(not (folder / "usr/bin/trencher").exists(), "trencher is in the empty root already")
    # Without what it depends on it must not go in.
    status = folder / "var/lib/dpkg/status"
    whole = status.read_text()
    status.write_text("\n\n".join(part for part in whole.split("\n\n") if not part.startswith("Package: libqrencode4\n")))
    done = root.dpkg("--install", str(package))
    check(done.returncode != 0 and "libqrencode4" in done.stderr, f"it goes in without libqrencode4: {done.stderr}")
    root.dpkg("--purge", "trencher")
    status.write_text(whole)
    files = {path for path in output("find", str(folder), "-path", f"{folder}/var", "-prune", "-o", "-print").split("\n")}

    done = root.dpkg("--install", str(package))
    check(done.returncode == 0, f"dpkg --install: {done.stderr}")
    for made in ("usr/bin/trencher", "usr/share/man/man1/trencher.1.gz", "usr/share/man/man1/trencher-log.1.gz",
                 "usr/share/bash-completion/completions/trencher", "usr/share/zsh/vendor-completions/_trencher",
                 "usr/share/fish/vendor_completions.d/trencher.fish", "usr/share/doc/trencher/copyright"):
        check((folder / made).is_file(), f"the package has no {made}")
    other = [line for line in output("dpkg-deb", "-c", str(package)).splitlines()
             if re.search(r"\.desktop$|/(systemd|init\.d|etc)/", line)]
    check(not other, f"the package brings more than a program: {other}")
    for name in ("demo-scenario.sh", "demo-board.jpg"):
        (folder / "demo").mkdir(exist_ok=True)
        shutil.copy2(ROOT / "docs" / name, folder / "demo")
    (folder / "demo/out").mkdir()
    played = root.run("/bin/sh", "-eu", "/demo/demo-scenario.sh", TRENCHER="/usr/bin/trencher", TZ="Europe/London",
                      TRENCHER_BOOK="/demo/out/book.db", out="/demo/out", kept="/demo")
    check(played.returncode == 0, f"the demo in the empty root: {played.stdout[-400:]} {played.stderr}")
    papers = sorted((folder / "demo/out").glob("*.pdf"))
    check(len(papers) >= 10, f"papers of the demo: {[path.name for path in papers]}")
    for paper in papers:
        done = subprocess.run(["qpdf", "--check", paper], capture_output=True, text=True)
        check(done.returncode == 0, f"{paper.name}: {done.stdout}{done.stderr}")
    whole = root.run("/usr/bin/trencher", "verify", TRENCHER_BOOK="/demo/out/book.db")
    check(whole.returncode == 0, f"verify in the empty root: {whole.stdout}{whole.stderr}")
    next_words = root.run("/usr/bin/trencher", "complete", "--", "rec").stdout
    check("receive\t" in next_words, f"completion in the empty root: {next_words}")

    shutil.rmtree(folder / "demo")
    done = root.dpkg("--purge", "trencher")
    check(done.returncode == 0, f"dpkg --purge: {done.stderr}")
    left = {path for path in output("find", str(folder), "-path", f"{folder}/var", "-prune", "-o", "-print").split("\n")} - files
    check(not left, f"taking it away leaves {sorted(left)[:5]}")


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--build", required=True, type=pathlib.Path)
    build = options.parse_args().build.resolve()
    with tempfile.TemporaryDirectory(prefix="trencher-package-") as folder:
        folder = pathlib.Path(folder)
        made = subprocess.run(["cpack", "-G", "DEB", "-B", folder / "packed"], cwd=build, capture_output=True, text=True)
        check(made.returncode == 0, f"cpack: {made.stdout}{made.stderr}")
        packages = list((folder / "packed").glob("*.deb"))
        if len(packages) == 1:
            (folder / "root").mkdir()
            test(packages[0], folder / "root")
        else:
            check(False, f"cpack made {packages}")
    if failures:
        sys.exit(f"{len(failures)} failures")
    print("The package goes into an empty root, plays the demo there, and leaves nothing behind.")


main()
