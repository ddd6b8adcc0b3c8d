"""Hostile text through every option and word of every command."""

import json
import re
import shutil
import sqlite3

import hostile
from hostile import COUNTS, DOUBTFUL, REFUSED, check_error, count, fail_unless
from hostile_calls import SUBCOMMANDS, Bench, bases, commands, help_of, subcommands, with_option
from shop import ROOT


# A hostile text is only a beginning of what these take; it is put where it belongs in it.
SHAPED = {("correct", "--set"): b"temp="}


def variants(words, options, base, positional):
    """Each option, each word, as a function of the hostile text."""
    for option in options:
        if option in ("--json", "--help", "--book") or (words, option) == (("start",), "--by"):
            continue
        prefix = SHAPED.get((words[0], option), b"")
        yield option, lambda value, o=option, p=prefix: with_option(
            base, o, p + (value if isinstance(value, bytes) else value.encode()))
    given = 0
    while given < len(base) and not base[given].startswith("-"):
        given += 1
    for at in range(given):
        yield "word %d" % (at + 1), lambda value, i=at: [*base[:i], *base[i + 1:given], *base[given:], "--",
                                                         value] if given == 1 else [*base[:i], value, *base[i + 1:]]


def stored_texts(book):
    with sqlite3.connect("file:%s?mode=ro" % book, uri=True) as sql:
        last = sql.execute("SELECT body FROM entry ORDER BY number DESC LIMIT 3").fetchall()
        persons = sql.execute("SELECT name, contact FROM person").fetchall()
    return " ".join([json.dumps(json.loads(row[0]), ensure_ascii=False) for row in last] +
                    [json.dumps(text, ensure_ascii=False) for row in persons for text in row])


def typed(shop):
    (shop.folder / "more.csv").write_text("time,temperature (C)\n2026-01-05T10:00:00Z,19.0\n")
    (shop.folder / "old").mkdir()
    (shop.folder / "old" / "wood.csv").write_text("when,label,species,supplier,lot\n2025-01-05,plank,white-oak,Y,7\n")
    (shop.folder / "more.toml").write_text(shop.rules.read_text().replace("eu-own", "eu-more"))
    shutil.copy(ROOT / "docs" / "demo-board.jpg", shop.folder / "board.jpg")
    shop.complaint2 = shop.entry("complaint", shop.first_pieces[1], "--severity", "flaw", "--what", "it squeaks anew",
                                 "--by", "1")
    for stock_kind, kind in (("glue", "pva-d3"), ("other", "rubber-feet")):
        shop.enter("product", "add", stock_kind, "--kind", kind, "--name", "N", "--supplier", "S", "--by", "1")
    shop.enter("receive", "finish", "--product", "P1", "--lot", "M3", "--by", "1")
    bench = Bench(shop)
    known = commands(shop)
    for word in subcommands():
        fail_unless(any(word in words for words in SUBCOMMANDS), "the test knows no call of '%s'" % word)
    table = bases(shop)
    for words, (writes, options, positional) in sorted(known.items()):
        if not writes:
            continue
        fail_unless(words in table, "the test knows no call of the writing command '%s'" % " ".join(words))
        base = table[words]
        by = [] if words in {("start",)} | LISTS else ["--by", "1"]
        done = bench.call([*words, *base, *by])
        fail_unless(done.returncode <= 1, "the base call of '%s' is refused: %s" % (" ".join(words),
                                                                                  done.stderr.decode()))
        # Some calls of a writing command only list or print; they do not read --at and its like.
        bench.only_reads = bench.untouched() and words != ("start",)
        bench.again()
        count("writing commands")
        for name, build in variants(words, options, base, positional):
            # An option has its own text for --by; everything else is said by the only worker of two.
            more = [] if name == "--by" else by
            count("options and words")
            worded = takes_text(shop, words, name)
            count("text options and words", worded)
            # --note and --because are read in one place for all commands.
            of = 5 if worded and name not in ("--note", "--because") else 11
            for kind, text in share(REFUSED, of):
                refused(bench, words, name, kind, [*words, *more, *build(text)])
            if not worded:
                continue
            for kind, text in share(DOUBTFUL, of):
                doubtful(bench, words, name, kind, text, [*words, *more, *build(text)])
    reading(bench, known)


# An answer keeps no question; an import gives the reason to the rows that stand at a stop, and this one has none.
KEPT_ELSEWHERE = ((("answer",), "--ingredient"), (("import",), "--because"))
# Where no word follows they list, and take no --by.
LISTS = {("worker",), ("place",), ("product",), ("species",)}
TURN = [0]
FULL = [False]


def share(texts, of):
    """Every `of`-th of them, others each time, so that each string comes to each kind of option: all take hundreds
    of thousands of milliseconds, and --full takes all."""
    TURN[0] += 1
    return [item for at, item in enumerate(texts.items()) if FULL[0] or (at + TURN[0]) % of == 0]


def takes_text(shop, words, name):
    if name.startswith("word"):
        return True
    return re.search(r"^  %s (TEXT|NAME|FILE|PATH|FOLDER|WHAT|FIELD\S*)" % re.escape(name), help_of(shop, words),
                     re.M) is not None


def refused(bench, words, name, kind, call):
    where = "%s, %s, %s" % (" ".join(words), name, kind)
    done = bench.call(call)
    if bench.only_reads and done.returncode == 0:
        hostile.check_bytes(done.stdout, where)
        fail_unless(bench.untouched(), where)
        bench.again()
        return
    fail_unless(done.returncode in (2, 3), "%s: status %d: %s" % (where, done.returncode, done.stdout[:200]))
    check_error(done, where)
    fail_unless(done.returncode == 2, "%s: status 3: %s" % (where, done.stderr[:300]))
    fail_unless(bench.untouched(), "%s: the book was written" % where)
    fail_unless(not bench.new_names(), "%s: files were left: %s" % (where, bench.new_names()))
    count("typed, refused")


def doubtful(bench, words, name, kind, text, call):
    where = "%s, %s, %s" % (" ".join(words), name, kind)
    done = bench.call(call)
    count("typed, doubtful")
    if done.returncode > 1:
        check_error(done, where)
        fail_unless(bench.untouched(), "%s: the book was written" % where)
    else:
        hostile.check_bytes(done.stdout, where)
        hostile.check_bytes(done.stderr, where)
        if not bench.untouched() and is_kept(name) and (words, name) not in KEPT_ELSEWHERE:
            stored = stored_texts(bench.shop.book)
            fail_unless(json.dumps(text.strip(" "), ensure_ascii=False)[1:-1] in stored,
                        "%s: not stored as typed" % where)
            count("typed, kept as typed")
    outside = [path for path in bench.new_names() if "/" in path]
    fail_unless(not outside, where)
    bench.again()


def is_kept(name):
    return name in ("--note", "--because", "--name", "--supplier", "--lot", "--why", "--what", "--where", "--how",
                    "--event", "--to", "--for", "--ingredient", "--reference", "--maker", "--address")


def reading(bench, known):
    """Reading commands quote what was typed in their errors, too."""
    for words, (writes, options, _) in sorted(known.items()):
        if writes:
            continue
        count("reading commands")
        for option in [o for o in options if o not in ("--json", "--help")] + [""]:
            for kind, text in share(REFUSED, 11):
                call = [*words, *with_option([], option, text)] if option else [*words, text]
                where = "%s, %s, %s" % (" ".join(words), option, kind)
                done = bench.call(call)
                if done.returncode == 0 and option == "--book":  # of a command that needs none
                    hostile.check_bytes(done.stdout, where)
                    continue
                fail_unless(done.returncode >= 2, "%s: status %d" % (where, done.returncode))
                check_error(done, where)
                count("typed, refused by reading commands")
                bench.again()
