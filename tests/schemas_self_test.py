"""schemas_test.py --self-test: planted faults of outputs and schemas must be noticed."""
import json
import pathlib
import tempfile

import schemas_test
from json_schemas import DIALECT, Schemas

# A schema for the self-test, and an output that shows all of it.
RIGHT = {"$schema": DIALECT, "type": "array",
         "items": {"oneOf": [{"$ref": "#/$defs/one"}, {"type": "null"}]},
         "$defs": {"one": {"type": "object", "required": ["day"], "additionalProperties": False,
                           "properties": {"day": {"type": "string", "pattern": "^[0-9]{4}$"},
                                          "more": {"type": "boolean"}}}}}
SHOWN = '[{"day": "2026", "more": true}, {"day": "2026"}, null]'
# What is wrong, the words of the command, its status and what it printed.
WRONG_OUTPUTS = [
    ("another member", "due", 0, '[{"day": "2026", "other": 1}]'),
    ("a member missing", "due", 0, '[{"more": true}]'),
    ("another type", "due", 0, '[{"day": 2026}]'),
    ("another form", "due", 1, '[{"day": "26"}]'),
    ("another shape", "due", 0, '{"day": "2026"}'),
    ("a member twice", "due", 0, '[{"day": "2026", "day": "2027"}]'),
    ("words before it", "due", 0, f"due: {SHOWN}"),
    ("two texts", "due", 0, f"{SHOWN} {SHOWN}"),
    ("nothing", "due", 0, ""),
    ("a command without a schema", "plan", 0, SHOWN),
    ("printed and failed", "due", 2, SHOWN),
    ("printed and failed with the book", "due", 3, "["),
]
# What is wrong, and the change of RIGHT by which it is.
WRONG_SCHEMAS = [
    ("another dialect", lambda s: s.update({"$schema": "http://json-schema.org/draft-07/schema#"})),
    ("no valid type", lambda s: s["items"].update(type="text")),
    ("a keyword misspelt", lambda s: s["$defs"]["one"].update(propertes={})),
    ("any member allowed", lambda s: s["$defs"]["one"].pop("additionalProperties")),
    ("nothing said of what is required", lambda s: s["$defs"]["one"].pop("required")),
    ("a member required that none may have", lambda s: s["$defs"]["one"]["required"].append("other")),
    ("a reference to nothing", lambda s: s["items"]["oneOf"][0].update({"$ref": "#/$defs/two"})),
    ("a reference to the network", lambda s: s["items"]["oneOf"][0].update(
        {"$ref": "https://example.org/one.json#/$defs/one"})),
    ("a pattern that fits anywhere", lambda s: s["$defs"]["one"]["properties"]["day"].update(pattern="[0-9]")),
    ("anything allowed", lambda s: s["$defs"]["one"]["properties"].update(day={})),
    ("a list of anything", lambda s: s.pop("items")),
]
# What is wrong, and the outputs that leave it unused.
UNUSED = [("no output", []), ("a branch", ['[{"day": "2026", "more": true}, {"day": "2026"}]']),
          ("a member", ['[{"day": "2026"}, null]']),
          ("a member always there", ['[{"day": "2026", "more": true}, null]'])]

# What a document says, and how many faults that makes.
DOCUMENTS = [("right, described", '`{"day", "more"}`', 0), ("a member not described", '`{"day"}`', 1),
             ("a member described alone", '`{"day", "more", "other"}`', 1)]


def run():
    wrong = []

    def expect(case, holds):
        if not holds:
            wrong.append(case)

    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)

        def schemas(change=lambda schema: None, outputs=()):
            schema = json.loads(json.dumps(RIGHT))
            change(schema)
            (folder / "due.json").write_text(json.dumps(schema))
            out = Schemas(folder)
            for output in outputs:
                expect(f"right: {output}", out.wrong_output(["due"], 0, output) is None)
            return out

        right = schemas(outputs=[SHOWN])
        expect("right, by form", not list(right.wrong_forms()))
        expect("right, all shown", not list(schemas_test.unused(right, {})))
        expect("a refusal", right.wrong_output(["due"], 2, "") is None)
        expect("an exception that is not needed", list(schemas_test.unused(right, {"due.json#/items": "none"})))
        expect("right, a command", not list(schemas_test.missing_schemas(right, ["due"])))
        for case, document, faults in DOCUMENTS:
            expect(case, len(list(schemas_test.undescribed(right, document, ""))) == faults)
        expect("a command and a schema alone", len(list(schemas_test.missing_schemas(right, ["plan"]))) == 2)
        for case, words, status, output in WRONG_OUTPUTS:
            expect(case, right.wrong_output([words], status, output))
        for case, change in WRONG_SCHEMAS:
            expect(case, list(schemas(change).wrong_forms()))
        for case, outputs in UNUSED:
            expect(f"unused: {case}", list(schemas_test.unused(schemas(outputs=outputs), {})))
    print("".join(f"not noticed: {case}\n" for case in wrong), end="")
    print(f"schemas self-test: {len(wrong)} failed")
    return 1 if wrong else 0
