"""The rows of the bench: each a function over Bench that yields what it found. A row checks that
both sides printed the same, as far as they can, and ends all where not."""
import csv
import io
import os
import re
import shutil


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
             bench.query("answer").replace(".read ", ".read ")]
    text = open(bench.path("answer.sql"), encoding="utf-8").read()
    with open(bench.path("answer.sql"), "w", encoding="utf-8") as file:
        file.write(text.replace("?1", f"'{batch}'").replace("?2", f"'{piece}'"))
    found = bench.row("answer, shell", 200, ours, shell, "sqlite3 shell", 1.0)
    need(bench.out("b").count("\n") >= len(entries), "the shell's rows")
    yield found


def trace(bench):
    ours = [bench.trencher, "trace", "F1", "--csv", "--book", bench.book]
    shell = ["sqlite3", "-batch", "-csv", "-readonly", bench.book, bench.query("trace", TIN="F1")]
    found = bench.row("trace F1 --csv", 5, ours, shell, "sqlite3 shell", 1.0)
    mine = [row for row in csv.reader(io.StringIO(bench.out("a"))) if row[1] == "after"]
    hand = list(csv.reader(io.StringIO(bench.out("b"))))
    pieces = sum(row[5] == "piece" for row in hand)
    need(pieces == bench.pieces // 20, f"F1 is on {pieces} pieces")
    for one, other in zip(mine, hand):
        need(one == other, f"trace: {one} beside {other}")
    need(len(mine) == len(hand), "trace: as many rows")
    found["counts"] = {"pieces": pieces, "rows": len(mine)}
    yield found


def import_(bench):
    exported, made = bench.path("export.jsonl"), bench.path("imported.db")
    gone = f"rm -f {made} {made}-journal {bench.path('bare.db')}"
    found = bench.row("export", 3, [bench.trencher, "export", exported, "--replace", "--book", bench.book])
    yield found
    bench.run(["sqlite3", "-batch", "-readonly", bench.book, bench.query("import-csv", FOLDER=bench.folder)])
    for name, query, goal in (("import", "import", 1.2), ("import, index behind", "import-index-last", None)):
        if name != "import" and bench.smoke:
            continue
        found = bench.row(
            name, 3, [bench.trencher, "import", exported, "--book", made],
            ["sqlite3", "-batch", bench.path("bare.db"), bench.query(query, FOLDER=bench.folder)],
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
    found["counts"] = {"entries": bench.out("a").split()[0], "MB hashed": round(os.path.getsize(raw) / 1e6)}
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
    pairs = 2 if bench.smoke else 60
    batches = []
    for _ in range(pairs + 2):  # young batches, each for one coat
        told = bench.run([bench.trencher, "batch", "--wood", "W1", "--glue", "G1", "--finish", "F1", "--schedule", "oil",
                          "--pieces", "10", "--size", "400x250x22mm", "--use", "cutting-board", "--place", "house",
                          "--by", "1", "--at", "60h ago", "--json", "--book", mine])
        batches.append(re.search(r'"id": "(\d\d-\d+)"', told).group(1))
        bench.run([bench.trencher, "log", "glue-up", batches[-1], "--from", "G1=90ml", "--temp", "19C", "--rh", "50",
                   "--by", "1", "--at", "58h ago", "--book", mine])
    bare = bench.path("bare-coats.db")
    shutil.copyfile(mine, bare)
    ours = [bench.trencher, "log", "coat", "BATCH", "--from", "F1=50ml", "--temp", "19C", "--rh", "50", "--by", "1",
            "--book", mine]
    theirs = [bench.tool("bench_log_coat"), bare, "BATCH", "F1", "50000"]

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
    counts = [syncs(bench, with_batch(words, batches[-1])) for words in (ours, theirs)]
    found["counts"] = {"syncs": f"{counts[0]} beside {counts[1]}"}
    if counts[0] is not None:
        need(counts[0] <= counts[1], f"log coat syncs {counts[0]} times beside {counts[1]}")
    yield found


ALL = {"start": start, "answer": answer, "trace": trace, "import": import_, "verify": verify, "log-coat": log_coat}
