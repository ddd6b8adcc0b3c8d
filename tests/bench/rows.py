"""The rows of the bench: each a function over Bench that yields what it found. A row checks that
both sides printed the same, as far as they can, and ends all where not."""
import csv
import datetime
import io
import os
import re
import shutil
from xml.etree import ElementTree


def need(good, what):
    if not good:
        raise SystemExit(f"wrong: {what}")


def a_closed_piece(bench):
    """A piece in the middle of the book that has left."""
    return bench.ask(
        "SELECT code FROM piece WHERE given IS NOT NULL ORDER BY code"
        f" LIMIT 1 OFFSET {bench.pieces // 2}"
    )[0]


def start(bench):
    yield bench.row("start", 200, [bench.trencher, "--version"], ["true"], "true", 2.5)


def answer(bench):
    piece = a_closed_piece(bench)
    batch = piece[: piece.rindex("-", 0, piece.rindex("-"))]
    ours = [bench.trencher, "answer", piece, "--about", "contents", "tree-nut", "milk", "--book", bench.book]
    yield bench.row("answer", 200, ours, [bench.tool("bench_answer"), bench.book, piece], "a C program", 1.5)
    said, looked_up = bench.out("a"), bench.out("b")
    entries = {int(line.split("|")[0]) for line in looked_up.splitlines()[1:]}
    named = {int(number) for group in re.findall(r"\[entr(?:y|ies)\s+([\d,\s]+)", said) for number in re.findall(r"\d+", group)}
    need(len(named) > 5 and named <= entries, f"answer rests on {sorted(named - entries)} beside the C program's")
    shell = ["sqlite3", "-batch", "-noheader", "-readonly", bench.book,
             bench.query("answer", **{"?1": f"'{batch}'", "?2": f"'{piece}'"})]
    found = bench.row("answer, shell", 200, ours, shell, "sqlite3 shell", 1.0)
    need(bench.out("b").count("\n") >= len(entries), "the shell's rows")
    yield found


def trace(bench):
    ours = [bench.trencher, "trace", "F1", "--csv", "--book", bench.book]
    shell = ["sqlite3", "-batch", "-csv", "-readonly", bench.book, bench.query("trace", **{"@TIN@": "F1"})]
    found = bench.row("trace F1 --csv", 5, ours, shell, "sqlite3 shell", 1.0)
    mine = [row for row in csv.reader(io.StringIO(bench.out("a"))) if row[1] == "after"]
    hand = list(csv.reader(io.StringIO(bench.out("b"))))
    pieces = sum(row[5] == "piece" for row in hand)
    need(pieces == bench.pieces // 20, f"F1 is on {pieces} pieces")
    for one, other in zip(mine, hand):
        need(one == other, f"trace: {one} beside {other}")
    need(len(mine) == len(hand), "trace: as many rows")
    found.setdefault("counts", {}).update({"pieces": pieces, "rows": len(mine)})
    yield found


def import_(bench):
    exported, made = bench.path("export.jsonl"), bench.path("imported.db")
    gone = f"rm -f {made} {made}-journal {bench.path('bare.db')}"
    found = bench.row("export", 3, [bench.trencher, "export", exported, "--replace", "--book", bench.book])
    yield found
    bench.run(["sqlite3", "-batch", "-readonly", bench.book, bench.query("import-csv", **{"@FOLDER@": bench.folder})])
    for name, query, goal in (("import", "import", 1.2), ("import, index behind", "import-index-last", None)):
        if name != "import" and bench.smoke:
            continue
        found = bench.row(
            name, 3, [bench.trencher, "import", exported, "--book", made],
            ["sqlite3", "-batch", bench.path("bare.db"), bench.query(query, **{"@FOLDER@": bench.folder})],
            "sqlite3 .import", goal, gone)
        entries = int(bench.ask("SELECT count(*) FROM entry")[0])
        need(bench.out("b").split()[0] == str(entries), "as many entries by .import")
        need(str(entries) in bench.out("a"), "as many entries by import")
        yield found


def verify(bench):
    raw = bench.path("hashed.bytes")
    if not os.path.exists(raw):
        bench.run([bench.tool("parts"), "bytes", bench.book, raw])
    found = bench.row("verify: chain and bodies", 3, [bench.tool("parts"), "chain", bench.book],
                      ["sha256sum", raw], "sha256sum", 1.5)
    found.setdefault("counts", {}).update({"entries": bench.out("a").split()[0], "MB hashed": round(os.path.getsize(raw) / 1e6)})
    yield found
    exported, made = bench.path("export.jsonl"), bench.path("imported.db")
    if not os.path.exists(exported):
        bench.run([bench.trencher, "export", exported, "--book", bench.book])
    found = bench.row("verify, all", 3, [bench.trencher, "verify", "--book", bench.book],
                      [bench.trencher, "import", exported, "--book", made], "trencher import", 1.3,
                      f"rm -f {made} {made}-journal")
    need("unaltered" in bench.out("a"), "verify finds the book unaltered")
    yield found


def syncs(bench, words):
    """fsync and fdatasync of one command; nothing where strace cannot run."""
    if not shutil.which("strace"):
        return None
    log = bench.path("syncs")
    bench.run(["strace", "-f", "-e", "trace=fsync,fdatasync", "-o", log, *words])
    with open(log, encoding="utf-8") as file:
        return sum("sync(" in line for line in file)


def log_coat(bench):
    mine, bare = bench.copy("ours.db"), None
    pairs = 2 if bench.smoke else max(3, round(40 * bench.repeat))

    def received(stock, kind):  # so much that it is enough for every batch
        told = bench.run([bench.trencher, "receive", stock, "--kind", kind, "--name", "Invented", "--supplier",
                          "Invented Supply", "--lot", "B1", "--amount", "100l", "--by", "1", "--at", "70h ago", "--json",
                          "--book", mine])
        return re.search(r'"id": "([FG]\d+)"', told).group(1)

    tin, glue = received("finish", "mineral-oil"), received("glue", "pva-d3")
    batches = []
    for _ in range(pairs + 2):  # young batches, each for one coat
        told = bench.run([bench.trencher, "batch", "--wood", "W1", "--glue", glue, "--finish", tin, "--schedule", "oil",
                          "--pieces", "10", "--size", "400x250x22mm", "--use", "cutting-board", "--place", "house",
                          "--by", "1", "--at", "60h ago", "--json", "--book", mine])
        batches.append(re.search(r'"id": "(\d\d-\d+)"', told).group(1))
        bench.run([bench.trencher, "log", "glue-up", batches[-1], "--from", glue + "=90ml", "--temp", "19C", "--rh", "50",
                   "--by", "1", "--at", "58h ago", "--book", mine])
    bare = bench.path("bare-coats.db")
    shutil.copyfile(mine, bare)
    ours = [bench.trencher, "log", "coat", "BATCH", "--from", f"{tin}=50ml", "--temp", "19C", "--rh", "50", "--by", "1",
            "--book", mine]
    theirs = [bench.tool("bench_log_coat"), bare, "BATCH", tin, "50000"]

    def with_batch(words, batch):
        return [batch if word == "BATCH" else word for word in words]

    lists = bench.path("batches")
    with open(lists, "w", encoding="utf-8") as file:
        file.write("\n".join(batches) + "\n")
    os.environ["TIMER_LIST"] = lists
    scale, bench.repeat = bench.repeat, 1
    found = bench.row("log coat", pairs - 1, with_batch(ours, "@@"), with_batch(theirs, "@@"), "a C program", 1.3)
    bench.repeat = scale
    del os.environ["TIMER_LIST"]
    same = "SELECT m.id FROM mention m WHERE m.entry = (SELECT max(number) - {} FROM entry) ORDER BY 1"
    need(bench.ask(same.format(0), mine) == bench.ask(same.format(0), bare), "the same mentions of the coat")
    coats = "SELECT count(*), (SELECT drawn_ul FROM tin_use WHERE tin = '{}') FROM noted_air".format(tin)
    need(bench.ask(coats, mine) == bench.ask(coats, bare), "every coat of the row is written")
    counts = [syncs(bench, with_batch(words, batches[-1])) for words in (ours, theirs)]
    found.setdefault("counts", {}).update({"syncs": f"{counts[0]} beside {counts[1]}"})
    if counts[0] is not None:
        need(counts[0] <= counts[1], f"log coat syncs {counts[0]} times beside {counts[1]}")
    yield found


def due(bench):
    """A book of its own, with 10,000 open batches (a smoke: 400, which two threads share)."""
    open_now = 400 if bench.smoke else 10000
    book = bench.path(f"open-{open_now}.db")
    if not os.path.exists(book):
        bench.run([bench.tool("make_book"), book, "--pieces", open_now * 10, "--open", open_now])
    shell = ["sqlite3", "-batch", "-readonly", book, bench.query("due")]
    found = bench.row(f"due, {open_now} open", 3, [bench.trencher, "due", "--book", book], shell, "sqlite3 shell", 3)
    told = set(re.findall(r"\b\d\d-\d{3,5}\b", bench.out("a")))
    read = {line.split("|")[0] for line in bench.out("b").splitlines()}
    need(len(read) == open_now, f"the shell reads {len(read)} open batches")
    need(told and told <= read, "due tells of open batches alone")
    yield found


def plan(bench):
    batches = 6 if bench.smoke else 40
    book = bench.path("plan.db")
    if os.path.exists(book):
        os.remove(book)
    bench.run([bench.tool("make_book"), book, "--pieces", 10 * batches, "--open", batches])
    for words in (["hours", "mon-fri 18:00-21:30, sat 9:00-17:00"], ["rack", "60"]):
        bench.run([bench.trencher, "workshop", *words, "--by", "1", "--book", book])
    ready = (datetime.date.today() + datetime.timedelta(weeks=8)).isoformat()
    found = bench.row(f"plan, {batches} batches", 7, [bench.trencher, "plan", "--ready-by", ready, "--book", book])
    told = " ".join(bench.out("a").split())
    bound = [words for words in re.split(r"(?<=[.;:]) ", told) if re.search(r"bound|at least|no plan|earlier than", words)]
    need("batch" in told, "a plan of batches")
    found.setdefault("counts", {}).update({"says": repr(bound[0][:100]) if bound else "no gap"})
    found.update(goal="2 s, gap printed", met=found["wall"] <= 2 and bool(bound))
    yield found


def dates(bench):
    batches = 200 if bench.smoke else 10000
    tool = bench.tool("dates")
    for name, how, goal in ((f"dates, {batches} batches", [], 1 / 40), (f"dates, {batches} short waits", ["short"], None)):
        found = bench.row(name, 7, [tool, "engine", batches, *how], [tool, "exp", batches, *how], "exp() per sample", goal)
        for one, other in zip(bench.out("a").splitlines(), bench.out("b").splitlines()):
            need(abs(int(one.split()[1]) - int(other.split()[1])) <= 600, f"dates: {one} beside {other}")
        found.setdefault("counts", {}).update({"times faster": round(1 / found["ratio"], 2)})
        yield found


def draw_list(bench, pdf):
    """The texts of a PDF of cards, with their places and sizes, and a code for each card."""
    page, lines = ElementTree.fromstring(bench.run(["pdftotext", "-bbox-layout", pdf, "-"])), []
    space = "{http://www.w3.org/1999/xhtml}"
    coded = set()  # a code stands on both sides of a card, its picture on the front
    for sheet in page.iter(space + "page"):
        height = float(sheet.get("height"))
        lines.append(f"P {sheet.get('width')} {height}")
        for line in sheet.iter(space + "line"):
            words = " ".join(word.text or "" for word in line.iter(space + "word"))
            top, bottom, left = (float(line.get(side)) for side in ("yMin", "yMax", "xMin"))
            size = min(30, max(4, (bottom - top) / 1.164))
            lines.append(f"T {left:.2f} {height - bottom + 0.24 * size:.2f} {size:.2f} {words}")
            code = re.search(r"\d\d-\d{3,5}-\d\d+-\d\d$", words)
            if code and words.startswith("Piece") and code.group() not in coded:
                coded.add(code.group())
                lines.append(f"Q {left + 150:.2f} {height - bottom:.2f} 56 {code.group()}")
    path = bench.path("cards.list")
    with open(path, "w", encoding="utf-8") as file:
        file.write("\n".join(lines) + "\n")
    return path, len(coded)


def batches_all_given(bench, count):
    return bench.ask(
        "SELECT batch FROM piece GROUP BY batch HAVING count(given) = 10"
        f" ORDER BY batch LIMIT {count} OFFSET {min(100, bench.pieces // 100)}"
    )


def cards(bench):
    if not shutil.which("pdftotext"):
        yield {"row": "cards", "skipped": "pdftotext is not installed"}
        return
    want = 20 if bench.smoke else 1000
    book, pdf, bare = bench.copy("cards.db"), bench.path("cards.pdf"), bench.path("bare.pdf")

    def printing(pieces, file):
        return [bench.trencher, "card", *batches_all_given(bench, pieces // 10), "-o", file, "--by", "1", "--book", book]

    gone = f"rm -f {bench.path('cards')}*.pdf {bare}"  # many cards make several files
    bench.run(["sh", "-c", gone])
    bench.run(printing(want, pdf))
    path, codes = draw_list(bench, pdf)
    need(codes == want, f"{codes} cards in the PDF of {want}")
    found = bench.row(f"{want} cards", 3, printing(want, pdf), [bench.tool("bench_cards"), path, bare], "libharu", 1.3, gone)
    need(f" {want} codes" in bench.out("b"), "as many codes")
    # The last of a pair is the bare one: ours is printed anew to be weighed.
    beside = round(os.path.getsize(bare) / want)
    bench.run(["sh", "-c", gone])
    bench.run(printing(want, pdf))
    each = os.path.getsize(pdf) / want
    found.setdefault("counts", {}).update({"bytes a card": round(each), "beside": beside,
                       "at most 1200": "met" if each <= 1200 else "not met"})
    yield found
    if not bench.smoke and bench.pieces >= 20000:
        many = bench.row("10000 cards", 1, printing(10000, pdf), before=gone)
        many.update(goal="at most 120 MB", met=many["peak"] <= 120 * 1024)
        yield many
    bench.run(["sh", "-c", gone])
    os.remove(book)


def recall(bench):
    folder = bench.path("recall")
    yield bench.row("recall F1 --practice", 1 if bench.pieces > 100000 else 3,
                    [bench.trencher, "recall", "F1", "--practice", "-o", folder, "--book", bench.book],
                    before=f"rm -rf {folder}")
    shutil.rmtree(folder, ignore_errors=True)


def awk(bench):
    """What somebody without a program would do: the boards of a tin out of two sheets."""
    for name, query in (
        ("sheet-coats.csv", "SELECT body ->> 'batch', body ->> '$.drawn[0].tin' FROM entry WHERE kind = 'coat'"),
        ("sheet-pieces.csv", "SELECT batch, code FROM piece"),
    ):
        with open(bench.path(name), "w", encoding="utf-8") as file:
            file.write(bench.run(["sqlite3", "-batch", "-csv", "-readonly", bench.book, query]).replace("\r", ""))
    program = 'FNR == NR { if ($2 == "F1") on[$1]; next } $1 in on { print $2 }'
    found = bench.row("trace F1 beside two sheets", 3, [bench.trencher, "trace", "F1", "--csv", "--book", bench.book],
                      ["awk", "-F,", program, bench.path("sheet-coats.csv"), bench.path("sheet-pieces.csv")], "awk over CSV")
    mine = {row[4] for row in csv.reader(io.StringIO(bench.out("a"))) if row[5] == "piece"}
    need(mine == set(bench.out("b").split()), "awk finds the same boards")
    yield found


def office(bench):
    """A thousand cards by a word processor, out of a document that is there already."""
    if not shutil.which("soffice"):
        yield {"row": "1000 cards by LibreOffice", "skipped": "soffice is not installed (install-packages.sh bench)"}
        return
    want = 10 if bench.smoke else 1000
    page = "".join(f"<p>line {line} of a card, as long as such lines are</p>" for line in range(28))
    with open(bench.path("cards.html"), "w", encoding="utf-8") as file:
        file.write("<html><body>" + "".join(
            f'<div style="page-break-after: always">{page}<p>Piece {number}</p></div>' for number in range(want)) + "</body></html>")
    yield bench.row(f"{want} cards by LibreOffice", 3,
                    ["soffice", "--headless", f"-env:UserInstallation=file://{bench.path('office')}", "--convert-to",
                     "pdf:writer_web_pdf_Export", "--outdir", bench.folder, bench.path("cards.html")])


ALL = {
    "start": start, "answer": answer, "trace": trace, "log-coat": log_coat, "import": import_, "verify": verify,
    "cards": cards, "dates": dates, "due": due, "plan": plan, "recall": recall, "awk": awk, "office": office,
}
