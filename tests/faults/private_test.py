#!/usr/bin/python3
"""Nothing leaves the machine, and nobody else reads it (issue 7, item 8).

    private_test.py --trencher BIN [--part modes|forgotten|network|temporary|papers]

modes      the book, its copies and every paper are mode 0600, and folders 0700, whatever the umask.
forgotten  after `forget` no byte of name or contact is in the book's file, beside it, or in a temporary one.
network    the program imports no function of the network, and a session under strace makes no call of it.
temporary  every file that a session makes (strace) is private, and none stands in the folder for temporary ones.
papers     every paper in every language, searched for each customer's name and contact.
"""

import argparse
import json
import os
import re
import shutil
import stat
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
from shop import JPEG, LANGUAGES, ROOT, Shop, boards, stock  # noqa: E402

# Unmistakable and invented. The name of each is one word nobody else has, so that a part of it is found, too.
CUSTOMERS = [("Zephyrine Quillfeather", "zq77@quillfeather.example"), ("Balthasar Umberdown", "+44 9921 440017"),
             ("Ottoline Vexworth", "14 Vexworth Mews, Oldhaven"), ("Cosmo Drizzlethwaite", "cosmo@drizzle.example"),
             ("Peregrine Ashenholt", "holt-55@ashenholt.example")]
COUNTS = {}


class Fault(AssertionError):
    pass


def count(what, number=1):
    COUNTS[what] = COUNTS.get(what, 0) + number


def fail_unless(held, sentence):
    if not held:
        raise Fault(sentence)


def signs_of(person):
    """Every word of name and contact that could tell who it is."""
    return [word for text in person for word in re.split(r"[ ,]+", text) if len(word) > 4 and word != "Oldhaven"]


# ---- every paper ---------------------------------------------------------------------------------

def make_papers(shop, folder, languages=("en",)):
    """All that the program writes for somebody to read, [(path, words)]."""
    made = []
    folder.mkdir(exist_ok=True)

    def write(name, *words, most=1):
        target = folder / name
        done = shop.run(*words, "-o", target)
        fail_unless(done.returncode <= most, "%s: %s" % (" ".join(map(str, words)), done.stderr.decode()))
        made.append((target, words[0]))

    pieces = shop.first_pieces
    for language in languages:
        in_language = ("--language", language)
        for batch in (shop.first, shop.ordered):
            write("record-%s-%s.pdf" % (batch, language), "record", batch, *in_language)
            write("card-%s-%s.pdf" % (batch, language), "card", batch, *in_language, "--because", "B", "--by", "1")
            write("offer-%s-%s.txt" % (batch, language), "offer", batch, "--market", "eu", *in_language)
        for form in ("pdf", "txt"):
            for number in (1, 2, 3):
                write("answer-%d-%s.%s" % (number, language, form), "answer", pieces[number], "--about", "contents",
                      *in_language, "--by", "1")
            write("complaint-%s.%s" % (language, form), "complaint", pieces[2], "--severity", "flaw", "--what",
                  "a crack", *in_language, "--by", "1")
        write("stall-%s.pdf" % language, "stall-sheet", *in_language, "--event", "Eastwold market", "--on",
              shop.day(1))
        write("recall-%s" % language, "recall", "G1", "--risk", "R", "--do", "D", "--remedy", "repair", *in_language,
              "--by", "1")
    write("chart.pdf", "chart")
    write("chart-letter.pdf", "chart", "--paper", "letter")
    write("dates.ics", "calendar")
    write("trace.csv", "trace", shop.first)
    write("paper.txt", "statement", "show", "F1")
    done = shop.run("export", folder / "book.jsonl", "--papers", folder / "papers")
    fail_unless(done.returncode == 0, done.stderr.decode())
    said = done.stdout.decode()
    done = shop.run("export", "--csv", folder / "sheets")
    fail_unless(done.returncode == 0, done.stderr.decode())
    said += done.stdout.decode()
    made.append((folder / "sheets", "export --csv"))
    done = shop.run("backup", folder / "copy.db")
    fail_unless(done.returncode == 0, done.stderr.decode())
    return made, said + done.stdout.decode()


# What the maker keeps and needs: whom to reach, and the book itself. Mode 0600, and said to hold them.
OWN_LISTS = re.compile(r"(recall-../(people|pieces)\.csv|trace\.csv|book\.jsonl|copy\.db|sheets/people\.csv)$")
# Of the sheets these name some of them, and no others do.
OWN_SHEETS = re.compile(r"sheets/(batches|gifts|pieces)\.csv$")


def readable(path):
    """All the ways in which somebody could find text in the file."""
    data = path.read_bytes()
    out = [data]
    if path.suffix == ".pdf":
        for words in (["pdftotext", "-enc", "UTF-8", path, "-"], ["pdfinfo", path],
                      ["qpdf", "--qdf", "--object-streams=disable", path, "-"]):
            done = subprocess.run(words, capture_output=True, check=False)
            fail_unless(done.returncode in (0, 3), "%s: %s" % (words[0], done.stderr))
            out.append(done.stdout)
    text = b"\n".join(out)
    unfolded = re.sub(rb"\r?\n[ \t]", b"", text)
    return text + b"\n" + unfolded + b"\n" + re.sub(rb"\s+", b" ", text)


def papers(shop):
    made, said = make_papers(shop, shop.folder / "made", LANGUAGES)
    fail_unless("customers" in said or "names" in said, "no word that the copies hold people's details: " + said)
    found_on = {person: set() for person in CUSTOMERS}
    searched = 0
    for path in sorted((shop.folder / "made").rglob("*")):
        if path.is_dir():
            continue
        name = str(path.relative_to(shop.folder / "made"))
        if OWN_LISTS.search(name) or OWN_SHEETS.search(name):
            count("the maker's own lists")
            if OWN_SHEETS.search(name):
                continue
            if not name.endswith("pieces.csv"):
                fail_unless(all(person[0].encode() in path.read_bytes() for person in CUSTOMERS), name + " lacks one")
            continue
        text = readable(path)
        searched += 1
        for person in CUSTOMERS:
            hits = [sign for sign in signs_of(person) if sign.encode() in text]
            if hits:
                found_on[person].add(name)
    fail_unless(searched > 70, "only %d papers were made" % searched)
    count("papers searched", searched)
    count("searches", searched * sum(len(signs_of(person)) for person in CUSTOMERS))
    for person, names in found_on.items():
        own = re.sub("[^a-z0-9]+", "-", person[0].lower())
        wrong = [name for name in names if not re.search(r"recall-../notice-\d+-%s\.pdf$" % own, name)]
        fail_unless(not wrong, "%s is named on: %s" % (person[0], ", ".join(sorted(wrong))))
        fail_unless(len(names) >= len(LANGUAGES), "%s is on no notice: the search finds nothing" % person[0])
        count("notices that name their own person", len(names))


# ---- modes ---------------------------------------------------------------------------------------

def modes(program, folder):
    old = os.umask(0)
    try:
        for mask in (0o000, 0o022, 0o277, 0o777):
            room = folder / ("umask-%03o" % mask)
            room.mkdir(mode=0o777)
            os.chmod(room, 0o777)
            shop = Shop(program, room)
            os.umask(mask)
            shop.book = room / "deep" / "book.db"
            shop.env["TRENCHER_BOOK"] = str(shop.book)
            os.umask(0)
            (room / "made").mkdir()
            run = shop.run

            def masked(*words, **more):
                return run(*words, preexec_fn=lambda: os.umask(mask), **more)

            shop.run = masked
            stock(shop)
            boards(shop, CUSTOMERS)
            before = {path for path in room.rglob("*")}
            make_papers(shop, room / "made")
            new = {path for path in room.rglob("*")} - before | {shop.book, shop.book.parent,
                                                                room / "made-card.pdf"}
            for path in sorted(new):
                mode = stat.S_IMODE(path.lstat().st_mode)
                want = 0o700 if path.is_dir() else 0o600
                fail_unless(mode == want, "umask %03o: %s has mode %03o" % (mask, path.relative_to(room), mode))
                count("files and folders looked at")
    finally:
        os.umask(old)


# ---- forgotten -----------------------------------------------------------------------------------

def traces_of(texts, folders):
    """Files that hold one of the texts, as UTF-8, UTF-16 or hexadecimal."""
    found = []
    for folder in folders:
        for path in Path(folder).rglob("*"):
            if not path.is_file():
                continue
            data = path.read_bytes()
            for text in texts:
                for form in (text.encode(), text.encode("utf-16-le"), text.encode("utf-16-be"),
                             text.encode().hex().encode()):
                    if form in data:
                        found.append("%s in %s" % (text, path.name))
    return found


def forgotten(program, folder):
    room = folder / "forget"
    temp = folder / "forget-tmp"
    room.mkdir()
    temp.mkdir()
    shop = Shop(program, room)
    shop.env.update({"TMPDIR": str(temp), "SQLITE_TMPDIR": str(temp)})
    stock(shop)
    # Enough people for rows to leave free pages; long contacts reach over several pages of the file.
    code = shop.id("batch", "--wood", "W1", "--finish", "F1", "--schedule", "oil", "--pieces", "2", "--size",
                   "300x200x20mm", "--use", "cutting-board", "--place", "house", "--by", "1")
    people = [("Forgotten%03d Wexcombe" % number, ("mark%03d-" % number) * (1 + number % 30)) for number in range(60)]
    for name, contact in people:
        shop.enter("batch", "--wood", "W1", "--finish", "F1", "--schedule", "oil", "--pieces", "1", "--size",
                   "300x200x20mm", "--use", "cutting-board", "--place", "house", "--for", name, "--contact",
                   contact[:290], "--by", "1")
    fail_unless(code, "no batch")
    words = [text for name, contact in people for text in (name.split()[0], contact[:8])]
    fail_unless(len(traces_of(words, [room])) >= len(words), "the search does not even find what is there")
    for at, (name, _) in enumerate(people):
        gone = people[:at + 1] if at % 10 == 9 or at == 0 else None
        done = shop.run("forget", name, "--by", "1", *(["--vacuum"] if at == len(people) - 1 else []))
        fail_unless(done.returncode == 0, done.stderr.decode())
        if not gone:
            continue
        texts = [text for one, contact in gone for text in (one.split()[0], contact[:8])]
        left = traces_of(texts, [room, temp])
        fail_unless(not left, "after %d were forgotten: %s" % (at + 1, left[:5]))
        count("searches for the forgotten", len(texts) * 4)
    fail_unless(not os.listdir(temp), "left in the folder for temporary files: %s" % os.listdir(temp))
    fail_unless(sorted(path.name for path in room.iterdir()) == ["book.db", "house.csv", "own.toml", "paper.txt"],
                "side files: %s" % os.listdir(room))
    fail_unless(shop.run("verify").returncode == 0, "verify")
    count("people forgotten", len(people))


# ---- network -------------------------------------------------------------------------------------

OF_THE_NETWORK = re.compile(
    r"^_*(socket|socketpair|connect|bind|listen|accept4?|send|sendto|sendmsg|sendmmsg|recv|recvfrom|recvmsg|recvmmsg|"
    r"getaddrinfo|getnameinfo|gethostby\w+|getservby\w+|getprotoby\w+|res_\w+|ns_\w+|inet_\w+|shutdown|getpeername|"
    r"getsockname|setsockopt|getsockopt|curl_\w+|SSL_\w+|gnutls_\w+|if_nameindex|getifaddrs)(@.*)?$")


def imports(path):
    done = subprocess.run(["nm", "-D", "--undefined-only", path], capture_output=True, text=True, check=True)
    return {line.split()[-1] for line in done.stdout.splitlines()}


def network_names(names):
    return sorted(name for name in names if OF_THE_NETWORK.match(name))


def libraries_of(program, folder):
    """Those that the program is linked with, and those that papers make it load, as the loader tells."""
    linked = set(re.findall(r"=> (/\S+)", subprocess.run(["ldd", program], capture_output=True, text=True).stdout))
    room = folder / "loading"
    logs = room / "logs"
    logs.mkdir(parents=True)
    shop = Shop(program, room / "shop")
    shop.folder.mkdir()
    shop.env.update({"LD_DEBUG": "libs", "LD_DEBUG_OUTPUT": str(logs / "ld")})
    stock(shop)
    boards(shop, CUSTOMERS)
    make_papers(shop, shop.folder / "made")
    told = "".join(log.read_text(errors="replace") for log in logs.iterdir())
    loaded = {str(Path(library)) for library in re.findall(r"calling init: (/\S+)", told)}
    names = " ".join(Path(library).name for library in loaded)
    fail_unless(all(name in names for name in ("libhpdf", "libjpeg", "libqrencode", "libpng16")),
                "loaded for papers: %s" % names)
    real = {os.path.realpath(library): library for library in sorted(linked | loaded)}
    return sorted(real.values())


def network(program, folder):
    names = imports(program)
    fail_unless(len(names) > 100 and any(name.startswith("open") for name in names),
                "nm lists too few imports: %d" % len(names))
    fail_unless(network_names({"socket@GLIBC_2.2.5", "getaddrinfo"}), "the pattern finds nothing")
    fail_unless(not network_names(names), "the program imports %s" % network_names(names))
    # Functions of its own and of what is linked into it.
    own = subprocess.run(["nm", "--defined-only", program], capture_output=True, text=True).stdout
    linked = network_names({line.split()[-1] for line in own.splitlines()})
    fail_unless(not linked, "linked in: %s" % linked)
    count("imported functions looked at", len(names))
    for library in libraries_of(program, folder):
        of_it = network_names(imports(library))
        print("  %s: %s" % (Path(library).name, ", ".join(of_it) or "none"))
        count("shared libraries looked at")


# ---- under strace --------------------------------------------------------------------------------

def traced(program, folder, calls):
    """A session under strace: its log's lines, or nothing where strace may not work here."""
    room = folder / ("strace-" + re.sub(r"\W", "", calls))
    room.mkdir()
    logs = room / "logs"
    logs.mkdir()
    temp = room / "tmp"
    temp.mkdir()
    wrapper = room / "traced"
    wrapper.write_text("#!/bin/sh\nexec strace -f -qq -s 4096 -e trace=%s -e signal=none -o %s/$$ %s \"$@\"\n" %
                       (calls, logs, program))
    wrapper.chmod(0o755)
    check = subprocess.run(["strace", "-qq", "-e", "trace=%network", "-o", room / "check", sys.executable, "-c",
                            "import socket; socket.socket()"], capture_output=True)
    if check.returncode != 0 or "socket(" not in (room / "check").read_text():
        return None, None
    shop = Shop(wrapper, room / "shop")
    shop.folder.mkdir()
    shop.env.update({"TMPDIR": str(temp), "PATH": "/usr/bin:/bin"})
    stock(shop)
    boards(shop, CUSTOMERS)
    make_papers(shop, shop.folder / "made")
    # Through a pipe, and with more than is held in memory.
    with subprocess.Popen(["cat", shop.folder / "house.csv"], stdout=subprocess.PIPE) as feed:
        subprocess.run([wrapper, "readings", "/dev/stdin", "--place", "Cupboard", "--by", "1"], env=shop.env,
                       cwd=shop.folder, stdin=feed.stdout, capture_output=True)
    shop.run("forget", CUSTOMERS[3][0], "--even-if-recalled", "--vacuum", "--by", "1")
    shop.run("import", shop.folder / "made" / "book.jsonl", "--book", shop.folder / "again.db")
    shop.run("verify")
    for path in logs.iterdir():
        count("commands under strace (%s)" % calls.split(",")[0])
    return shop, [(path.name, line) for path in sorted(logs.iterdir()) for line in path.read_text(
        errors="replace").splitlines()]


def network_session(program, folder):
    shop, lines = traced(program, folder, "%network")
    if shop is None:
        print("  strace does not work here: the session was not traced")
        return
    calls = [line for _, line in lines if re.search(r"\b(socket|connect|bind|sendto|sendmsg|recvfrom|recvmsg)\(", line)]
    fail_unless(not calls, "calls of the network: %s" % calls[:3])


def temporary(program, folder):
    shop, lines = traced(program, folder, "openat,open,creat,mkdir,mkdirat,unlink,unlinkat,umask")
    if shop is None:
        print("  strace does not work here: temporary files were not looked at")
        return
    temp = str(shop.folder.parent / "tmp")
    masks = {}
    for at, (process, line) in enumerate(lines):
        found = re.search(r"umask\((0\d*)\)", line)
        if found:
            masks[process] = int(found.group(1), 8)
        made = re.search(r'(?:openat\(AT_FDCWD, |open\(|creat\()"([^"]*)", ([A-Z_|]*)(?:, (0\d+))?\) = (\d+)', line)
        if not made or not ("O_CREAT" in made.group(2) or "O_TMPFILE" in made.group(2)):
            continue
        path, flags, mode = made.group(1), made.group(2), int(made.group(3) or "0", 8)
        given = mode & ~masks.get(process, 0o022)
        fail_unless(given & 0o077 == 0, "%s is made with mode %03o" % (path, given))
        count("files made")
        if "O_TMPFILE" in flags:
            count("files without a name")
            continue
        inside = path.startswith(str(shop.folder)) or not path.startswith("/")
        if not inside:
            gone = any(other == process and re.search(r'unlink(at)?\((AT_FDCWD, )?"%s"' % re.escape(path), text)
                       for other, text in lines[at:at + 6])
            fail_unless(path.startswith(temp) or path.startswith(("/tmp/", "/var/tmp/", "/dev/")),
                        "a file is made at %s" % path)
            fail_unless(gone or path.startswith("/dev/"), "%s stands in the folder for temporary files" % path)
            count("files unlinked at once")
    fail_unless(COUNTS.get("files made", 0) > 100, "strace saw too few files")
    fail_unless(not os.listdir(temp), "left: %s" % os.listdir(temp))
    names = sorted(path.name for path in shop.folder.rglob("*"))
    left = [name for name in names if re.search(r"-journal|-wal|-shm|\.new-|\.[A-Za-z0-9]{6}$", name)]
    fail_unless(not left, "left: %s" % left)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--trencher", required=True, type=Path)
    parser.add_argument("--part", choices=["modes", "forgotten", "network", "temporary", "papers"])
    options = parser.parse_args()
    program = options.trencher.resolve()

    def with_shop(folder):
        room = folder / "papers"
        room.mkdir()
        shop = Shop(program, room)
        stock(shop)
        boards(shop, CUSTOMERS)
        papers(shop)

    with tempfile.TemporaryDirectory(prefix="trencher-private-") as name:
        folder = Path(name)
        parts = {"modes": lambda: modes(program, folder), "forgotten": lambda: forgotten(program, folder),
                 "network": lambda: (network(program, folder), network_session(program, folder)),
                 "temporary": lambda: temporary(program, folder), "papers": lambda: with_shop(folder)}
        try:
            for part in [options.part] if options.part else parts:
                parts[part]()
        except Fault as fault:
            print("FAILED: %s" % fault)
            return 1
        finally:
            print(", ".join("%s %d" % (what, number) for what, number in COUNTS.items()))
    return 0


if __name__ == "__main__":
    sys.exit(main())
