#!/usr/bin/env python3
"""Reads what the writers wrote with readers that are not ours and prints what they make of it, as JSON.

Usage: check_formats.py svg|csv|json|html|markdown|sheet FILE [SCHEMA]
svg: an XML parser; csv: Python's csv; json: jsonschema; html: html.parser; markdown: cmark-gfm, then html.parser;
sheet: LibreOffice's spreadsheet opens a CSV.
"""
import csv
import html.parser
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml


class Tags(html.parser.HTMLParser):
    """Tags by name, cells of each table row, all text."""

    def __init__(self):
        super().__init__()
        self.tags, self.rows, self.text, self.attributes = {}, [], [], set()

    def handle_starttag(self, tag, attrs):
        self.tags[tag] = self.tags.get(tag, 0) + 1
        self.attributes.update(name for name, _ in attrs)
        if tag == "tr":
            self.rows.append(0)
        if tag in ("td", "th") and self.rows:
            self.rows[-1] += 1

    def handle_data(self, data):
        self.text.append(data)

    def result(self):
        return {"tags": self.tags, "rows": self.rows, "text": "".join(self.text), "attributes": sorted(self.attributes)}


def read_html(text):
    reader = Tags()
    reader.feed(text)
    reader.close()
    return reader.result()


def read_svg(path):
    root = xml.parse(path).getroot()
    space = "{http://www.w3.org/2000/svg}"
    return {"root": root.tag.replace(space, ""), "title": root.findtext(space + "title"), "description": root.findtext(space + "desc"),
            "texts": [e.text for e in root.iter(space + "text")], "tags": sorted({e.tag.replace(space, "") for e in root.iter()})}


def read_csv(path):
    with open(path, newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file, strict=True))
    begins = [cell for row in rows for cell in row if cell[:1] in ("=", "+", "-", "@", "\t", "\r") and not re.fullmatch(r"-?[0-9.]+", cell)]
    return {"rows": rows, "formulas": begins}


def read_json(path, schema):
    import jsonschema
    folder = pathlib.Path(schema).resolve().parent
    schemas = {f.name: json.loads(f.read_text()) for f in folder.glob("*.schema.json")}
    wanted = schemas[pathlib.Path(schema).name]
    resolver = jsonschema.RefResolver(base_uri="", referrer=wanted, store=schemas)
    data = json.loads(pathlib.Path(path).read_text(encoding="utf-8"), parse_constant=lambda name: sys.exit(f"{name} in JSON"))
    errors = [e.message for e in jsonschema.Draft202012Validator(wanted, resolver=resolver).iter_errors(data)]
    return {"errors": errors, "keys": sorted(data)}


def read_sheet(path):
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to", "fods",
                        "--infilter=CSV:44,34,76,1", "--outdir", folder, path], check=True, capture_output=True, timeout=180)
        text = next(pathlib.Path(folder).glob("*.fods")).read_text(encoding="utf-8")
    root = xml.fromstring(text)
    office = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
    table = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
    cells = [c for c in root.iter(table + "table-cell") if c.get(office + "value-type")]
    return {"formulas": sum(1 for c in cells if c.get(table + "formula")),
            "numbers": sum(1 for c in cells if c.get(office + "value-type") in ("float", "percentage", "currency")),
            "texts": sum(1 for c in cells if c.get(office + "value-type") == "string"),
            "values": [c.get(office + "value") for c in cells if c.get(office + "value-type") == "float"]}


def main():
    kind, path = sys.argv[1], sys.argv[2]
    if kind == "markdown":
        done = subprocess.run(["cmark-gfm", "-e", "table", "-e", "autolink", path], check=True, capture_output=True, text=True, encoding="utf-8")
        result = read_html(done.stdout)
    elif kind == "html":
        result = read_html(pathlib.Path(path).read_text(encoding="utf-8"))
    elif kind == "json":
        result = read_json(path, sys.argv[3])
    else:
        result = {"svg": read_svg, "csv": read_csv, "sheet": read_sheet}[kind](path)
    json.dump(result, sys.stdout)


if __name__ == "__main__":
    main()
