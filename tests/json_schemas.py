"""The JSON Schemas of docs/schemas: which is of which command, whether an output fits it, and what of
it outputs have shown. Read by schemas_test.py; python3-jsonschema from Debian 12 is version 4.10."""
import json
import pathlib
import re
import warnings

with warnings.catch_warnings():  # later versions call RefResolver outdated; 4.10 has nothing else
    warnings.simplefilter("ignore", DeprecationWarning)
    from jsonschema import Draft202012Validator, RefResolver
from jsonschema.exceptions import SchemaError, best_match

FOLDER = pathlib.Path(__file__).resolve().parent.parent / "docs/schemas"
DIALECT = "https://json-schema.org/draft/2020-12/schema"
COMMON = "common"
# A keyword that is misspelt is passed over by every validator, so only these may stand.
KEYWORDS = {"$schema", "$ref", "$defs", "title", "description", "type", "enum", "const", "pattern",
            "minLength", "minimum", "maximum", "minItems", "maxItems", "uniqueItems", "items", "oneOf",
            "properties", "required", "additionalProperties"}


class LocalResolver(RefResolver):
    """Knows the files of the folder and nothing else; the network least of all."""

    def resolve_remote(self, uri):
        raise ValueError(f"{uri} is no schema of this folder")


def at(pointer, step):
    return f"{pointer}/{str(step).replace('~', '~0').replace('/', '~1')}"


def no_member_twice(pairs):
    names = [name for name, _ in pairs]
    if len(set(names)) < len(names):
        raise ValueError(f"a member stands twice: {names}")
    return dict(pairs)


def only_condition(schema):
    """Of a oneOf that says which members stand together, and describes none."""
    return set(schema) == {"required"}


class Schemas:
    def __init__(self, folder=FOLDER):
        self.files = {path.stem: json.loads(path.read_text(), object_pairs_hook=no_member_twice)
                      for path in sorted(folder.glob("*.json"))}
        uri = {name: (folder / f"{name}.json").resolve().as_uri() for name in self.files}
        store = {uri[name]: schema for name, schema in self.files.items()}
        self.validators = {
            name: Draft202012Validator(schema, resolver=LocalResolver(uri[name], schema, store=store))
            for name, schema in self.files.items()}
        self.places = {(name, pointer): schema for name in self.files
                       for pointer, schema in self.walk(self.files[name], "#")}
        self.seen, self.present, self.absent = set(), set(), set()

    # What is in them.

    def walk(self, schema, pointer):
        """Each schema within, with the place where it stands."""
        yield pointer, schema
        for group in ("properties", "$defs"):
            for name, inner in schema.get(group, {}).items():
                yield from self.walk(inner, at(f"{pointer}/{group}", name))
        for i, inner in enumerate(schema.get("oneOf", ())):
            yield from self.walk(inner, f"{pointer}/oneOf/{i}")
        if "items" in schema:
            yield from self.walk(schema["items"], f"{pointer}/items")

    def target(self, name, ref):
        """The place that a reference names."""
        file, _, pointer = ref.partition("#")
        return (file.removesuffix(".json") if file else name), f"#{pointer}"

    def wrong_forms(self):
        for name, schema in self.files.items():
            if schema.get("$schema") != DIALECT:
                yield f"{name}.json: its $schema is not {DIALECT}"
            try:
                Draft202012Validator.check_schema(schema)
            except SchemaError as error:
                yield f"{name}.json: no valid schema: {error.message}"
        for (name, pointer), schema in self.places.items():
            for wrong in self.wrong_form(name, pointer, schema):
                yield f"{name}.json{pointer}: {wrong}"

    def wrong_form(self, name, pointer, schema):
        for keyword in set(schema) - KEYWORDS:
            yield f"the keyword {keyword} is not among those that this test knows"
        if "$ref" in schema and self.target(name, schema["$ref"]) not in self.places:
            yield f"{schema['$ref']} leads nowhere"
        holds_defs = pointer == "#" and name == COMMON
        says = set(schema) & {"type", "enum", "const", "$ref", "oneOf"}
        if not says and not holds_defs and not only_condition(schema):
            yield "it allows anything"
        types = schema.get("type", [])
        types = {types} if isinstance(types, str) else set(types)
        if "object" in types and (
                schema.get("additionalProperties") is not False or "required" not in schema):
            yield "an object must say 'required' and 'additionalProperties': false"
        if not only_condition(schema) and set(schema.get("required", ())) - set(schema.get("properties", ())):
            yield "it requires a member that it does not allow"
        if "array" in types and "items" not in schema and schema.get("maxItems") != 0:
            yield "an array must say what it holds"
        if not re.fullmatch(r"\^.*\$", schema.get("pattern", "^$")):
            yield "a pattern must begin with ^ and end with $"

    # Outputs.

    def of_command(self, words):
        """The name of the schema for these words of a command, or None."""
        words = [word for word in words if word != "--json"]
        while words and words[0].startswith("--book"):
            words = words[1 if "=" in words[0] else 2:]
        if words[:1] == ["--version"]:
            return "version"
        if not words:
            return "overview"
        pair = "-".join(words[:2])
        name = pair if pair in self.files else "".join(words[:1])
        return name if name in self.files and name != COMMON else None

    def wrong_output(self, words, status, output):
        """What is wrong with what a command printed, or None. Notes what it has shown."""
        told = status == 2 and words[:1] == ["import"] and "--csv" in words  # the list of what is wrong
        if status not in (0, 1) and not (told and output):
            return "it failed and has printed something all the same" if output else None
        name = self.of_command(words)
        if name is None:
            return "no file of docs/schemas is of this command"
        try:
            value = json.loads(output, object_pairs_hook=no_member_twice)
        except ValueError as error:
            return f"no JSON: {error}: {output[:80]!r}"
        error = best_match(self.validators[name].iter_errors(value))
        if error is not None:
            return f"{name}.json: at {error.json_path}: {error.message[:300]}"
        self.note(name, "#", value)
        return None

    def note(self, name, pointer, value):
        schema = self.places[name, pointer]
        self.seen.add((name, pointer))
        if "$ref" in schema:
            self.note(*self.target(name, schema["$ref"]), value)
        for i, branch in enumerate(schema.get("oneOf", ())):
            if not only_condition(branch) and self.validators[name].evolve(schema=branch).is_valid(value):
                self.note(name, f"{pointer}/oneOf/{i}", value)
        if isinstance(value, dict):
            for member in schema.get("properties", {}):
                place = at(f"{pointer}/properties", member)
                (self.present if member in value else self.absent).add((name, place))
                if member in value:
                    self.note(name, place, value[member])
        if isinstance(value, list) and "items" in schema:
            for item in value:
                self.note(name, f"{pointer}/items", item)

    def unseen(self):
        """Places of which no output has shown anything; of one within another, the outer alone."""
        left = [(name, pointer) for (name, pointer), schema in self.places.items()
                if (name, pointer) not in self.seen | {(COMMON, "#")} and not only_condition(schema)]
        return [(name, pointer) for name, pointer in left
                if not any(name == other and pointer.startswith(f"{outer}/") for other, outer in left)]

    def never_absent(self):
        """Members that may be left out and never are."""
        for name, place in sorted(self.present - self.absent):
            holder, member = place.rsplit("/properties/", 1)
            if member.replace("~1", "/").replace("~0", "~") not in self.places[name, holder]["required"]:
                yield name, place
