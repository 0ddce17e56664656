#!/usr/bin/env python3
"""Checks what `sprue check` writes for machines: `check_diagnostics.py jsonl|sarif FILE`.

jsonl: each line against docs/diagnostic.schema.json. sarif: the required parts of the Static Analysis Results Interchange
Format (SARIF) Version 2.1.0, OASIS Standard, as far as the log uses them; section numbers stand beside them.
"""
import json
import pathlib
import sys
import urllib.parse

import jsonschema

TEXT = {"type": "object", "required": ["text"], "properties": {"text": {"type": "string", "minLength": 1}}}
INSERTED = {"type": "object", "required": ["text"], "properties": {"text": {"type": "string"}}}
# 3.30: a text region has lines and columns from 1; byte offsets are from 0.
REGION = {
    "type": "object",
    "required": ["startLine"],
    "additionalProperties": False,
    "properties": {
        "startLine": {"type": "integer", "minimum": 1},
        "startColumn": {"type": "integer", "minimum": 1},
        "endLine": {"type": "integer", "minimum": 1},
        "endColumn": {"type": "integer", "minimum": 1},
        "byteOffset": {"type": "integer", "minimum": 0},
        "byteLength": {"type": "integer", "minimum": 0},
    },
}
ARTIFACT = {"type": "object", "required": ["uri"], "properties": {"uri": {"type": "string", "minLength": 1}}}  # 3.4
PHYSICAL = {  # 3.29
    "type": "object",
    "required": ["artifactLocation"],
    "properties": {"artifactLocation": ARTIFACT, "region": REGION},
}
LOCATION = {"type": "object", "required": ["physicalLocation"], "properties": {"physicalLocation": PHYSICAL, "message": TEXT}}
REPLACEMENT = {  # 3.57
    "type": "object",
    "required": ["deletedRegion"],
    "properties": {"deletedRegion": REGION, "insertedContent": INSERTED},
}
FIX = {  # 3.55, 3.56
    "type": "object",
    "required": ["artifactChanges"],
    "properties": {
        "description": TEXT,
        "artifactChanges": {
            "type": "array",
            "minItems": 1,
            "items": {
                "type": "object",
                "required": ["artifactLocation", "replacements"],
                "properties": {
                    "artifactLocation": ARTIFACT,
                    "replacements": {"type": "array", "minItems": 1, "items": REPLACEMENT},
                },
            },
        },
    },
}
LEVEL = {"enum": ["none", "note", "warning", "error"]}
RESULT = {  # 3.27
    "type": "object",
    "required": ["message", "ruleId", "locations"],
    "properties": {
        "message": TEXT,
        "ruleId": {"type": "string"},
        "ruleIndex": {"type": "integer", "minimum": 0},
        "level": LEVEL,
        "locations": {"type": "array", "minItems": 1, "items": LOCATION},
        "relatedLocations": {"type": "array", "items": {"allOf": [LOCATION, {"required": ["message"]}]}},
        "fixes": {"type": "array", "items": FIX},
    },
}
RULE = {  # 3.49
    "type": "object",
    "required": ["id"],
    "properties": {
        "id": {"type": "string"},
        "name": {"type": "string"},
        "shortDescription": TEXT,
        "defaultConfiguration": {"type": "object", "properties": {"level": LEVEL}},
    },
}
DRIVER = {  # 3.19
    "type": "object",
    "required": ["name"],
    "properties": {"name": {"const": "sprue"}, "rules": {"type": "array", "uniqueItems": True, "items": RULE}},
}
SARIF = {  # 3.13, 3.14
    "type": "object",
    "required": ["version", "runs"],
    "properties": {
        "version": {"const": "2.1.0"},
        "$schema": {"type": "string", "format": "uri"},
        "runs": {
            "type": "array",
            "minItems": 1,
            "maxItems": 1,
            "items": {
                "type": "object",
                "required": ["tool", "results"],
                "properties": {
                    "tool": {"type": "object", "required": ["driver"], "properties": {"driver": DRIVER}},
                    "columnKind": {"enum": ["utf16CodeUnits", "unicodeCodePoints"]},
                    "results": {"type": "array", "items": RESULT},
                },
            },
        },
    },
}


def problems_of_region(region):
    begin = (region["startLine"], region["startColumn"])
    if (region["endLine"], region["endColumn"]) < begin:
        yield f"a region that ends before it begins: {region}"


def problems_of_sarif(log):
    yield from (e.message for e in jsonschema.Draft202012Validator(SARIF).iter_errors(log))
    run = log["runs"][0]
    rules = run["tool"]["driver"]["rules"]
    for result in run["results"]:
        if rules[result["ruleIndex"]]["id"] != result["ruleId"]:
            yield f"ruleIndex does not lead to {result['ruleId']}"
        for location in result["locations"] + result.get("relatedLocations", []):
            place = location["physicalLocation"]
            yield from problems_of_region(place["region"])
            uri = urllib.parse.urlsplit(place["artifactLocation"]["uri"])
            if uri.scheme not in ("", "sprue") or uri.path.startswith("/") or " " in uri.path:
                yield f"no relative URI: {place['artifactLocation']['uri']}"


def main():
    kind, file = sys.argv[1], pathlib.Path(sys.argv[2])
    text = file.read_text(encoding="utf-8")
    if kind == "sarif":
        problems = list(problems_of_sarif(json.loads(text)))
    else:
        top = pathlib.Path(__file__).resolve().parents[2]
        schema = json.loads((top / "docs/diagnostic.schema.json").read_text())
        validator = jsonschema.Draft202012Validator(schema)
        problems = [e.message for line in text.splitlines() for e in validator.iter_errors(json.loads(line))]
    for problem in problems:
        print(problem)
    sys.exit(1 if problems else 0)


main()
