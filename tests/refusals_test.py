#!/usr/bin/python3
"""Each sentence with which a command refuses its input stands, word for word, in a run text.

  refusals_test.py        looks through src/commands and src/domain
  refusals_test.py --self-test

A sentence is the first text of an Error::request(...); what is laid into it (at {}) may be anything. Sentences
that no run text can bring about are listed below, each with the reason.
"""
import pathlib
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent

longest_laid_in = 200
# Begin or middle of the sentence, and why no run text has it.
UNREACHED = {
    "No book is named: give": "a run text always names a book; tests/commands/program_test.cpp has it",
    "is not valid UTF-8 text": "a run text is UTF-8; tests/commands/program_test.cpp has it",
    "is lost: what it said is not known": "wants a damaged book; tests/faults has it",
    "The batch numbers of the year are used up": "wants 99,999 batches",
    "do not fit on one sheet; --weeks": "wants a month of hundreds of steps; tests/paper/wall_chart_test.cpp fills one",
    "is a device; a file is needed": "a machine's own file; tests/commands/input_file_test.cpp has it",
    "is a pipe that nothing writes to": "a pipe; tests/commands/input_file_test.cpp has it",
    "cannot be kept for reading": "wants a full disk",
    "cannot be read to its end": "wants a failing disk; tests/commands/input_file_test.cpp has it",
    "is not plain text; save it as": "wants bytes that are no text; tests/commands/logger_file_test.cpp has it",
    "--csv '{}' cannot be read: ": "a folder that may not be entered: root enters every one",
    "holds files that no recall wrote": "a forged summary; tests/commands/recall_folder_test.cpp has it",
    "That is not JSON": "a damaged book; tests/domain/json_test.cpp has it",
    "The mechanism '": "a damaged book or table; tests/domain has it",
    "{} bytes long and begins": "some thousand bytes; tests/domain/text_test.cpp has it",
}


def literals(text, at):
    """The texts of the first argument after the bracket at `at`, joined; what is laid in becomes {}."""
    depth, out, started = 0, "", False
    while at < len(text):
        sign = text[at]
        if sign == '"':
            end = at + 1
            while text[end] != '"':
                end += 2 if text[end] == "\\" else 1
            out += re.sub(r"\\(.)", r"\1", text[at + 1:end])
            started, at = True, end + 1
            continue
        if sign == "'" and text[at + 2] == "'":
            at += 3
            continue
        depth += {"(": 1, ")": -1}.get(sign, 0)
        if depth == 0 or (started and sign in ",?"):
            break
        if sign == "+" and started:
            out += "{}"
        at += 1
    return out


def sentences(source):
    """Line and text of each."""
    for found in re.finditer(r"Error::request\(", source):
        line = source.count("\n", 0, found.start()) + 1
        if not source.splitlines()[line - 1].lstrip().startswith("//"):
            yield line, " ".join(literals(source, found.end() - 1).split())


def said(runs):
    """What the run texts expect, in one line: a sentence is wrapped there."""
    return " ".join(re.sub(r"\n(! ?)?", " ", runs).split())


def is_said(sentence, messages):
    pieces = re.split(r"\{[^}]*\}", sentence)
    whole = re.compile(f".{{0,{longest_laid_in}}}?".join(re.escape(piece) for piece in pieces))
    longest = max(pieces, key=len)  # looked for first: asked of every place the pattern takes minutes
    reach = len(sentence) + longest_laid_in * len(pieces)
    at = messages.find(longest)
    while at >= 0:
        if whole.search(messages, max(0, at - reach), at + reach):
            return True
        at = messages.find(longest, at + 1)
    return False


def check():
    messages = said("".join(path.read_text(encoding="utf-8") for path in sorted((ROOT / "tests/runs").glob("*.txt"))))
    found, unused, wrong = 0, set(UNREACHED), 0
    for path in sorted([*(ROOT / "src/commands").glob("*"), *(ROOT / "src/domain").glob("*")]):
        for line, sentence in sentences(path.read_text(encoding="utf-8")):
            if not re.search("[a-z]{3}", re.sub(r"\{[^}]*\}", "", sentence)):
                continue  # made of what is laid into it
            found += 1
            reasons = [part for part in UNREACHED if part in sentence]
            unused -= set(reasons)
            if is_said(sentence, messages):
                for part in reasons:
                    print(f"'{part}' is listed as unreached, and a run text has it")
                    wrong += 1
            elif not reasons:
                print(f"{path.relative_to(ROOT)}:{line}: no run text has: {sentence}")
                wrong += 1
    for part in sorted(unused):
        print(f"'{part}' is listed as unreached, and no command says it")
    print(f"{found} sentences, {len(UNREACHED)} listed as unreached")
    return 1 if wrong or unused or found < 200 else 0


def self_test():
    source = 'throw Error::request(fmt::format("{} \'{}\' is "\n  "none.", a, "b"));\n// Error::request("x")\n'
    assert list(sentences(source)) == [(1, "{} '{}' is none.")], list(sentences(source))
    assert is_said("{} '{}' is none.", said("$ x\n! trencher: --to 'a' is\n! none.\n= 2\n"))
    assert not is_said("{} '{}' is none.", said("$ x\n! trencher: --to 'a' is one.\n= 2\n"))
    return 0


if __name__ == "__main__":
    sys.exit(self_test() if sys.argv[1:] == ["--self-test"] else check())
