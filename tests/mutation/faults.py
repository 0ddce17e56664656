"""Reads the list of faults and looks each up in the tree.

A fault is a block of tests/mutation/faults.txt: what would be wrong, the text that is replaced, and what replaces it.
The text stands exactly once in lang/ and runtime/, wherever that file lies."""
import pathlib
from dataclasses import dataclass


@dataclass
class Fault:
    title: str
    text: str = ""
    fault: str = ""
    file: pathlib.Path = pathlib.Path()


def read_faults(list_file):
    faults = []
    for number, line in enumerate(list_file.read_text(encoding="utf-8").splitlines(), 1):
        if not line or line.startswith("#"):
            continue
        mark, rest = line[0], line[2:]
        if mark == "=":
            faults.append(Fault(rest))
        elif mark == "-" and faults and not faults[-1].text:
            faults[-1].text = rest
        elif mark == "+" and faults and faults[-1].text:
            faults[-1].fault = rest
        else:
            raise SystemExit(f"{list_file}:{number}: no line of a fault: {line}")
    return faults


def sources_of(tree):
    return [file for folder in ("lang", "runtime") for file in sorted((tree / folder).rglob("*")) if file.suffix in (".cpp", ".hpp", ".def")]


def locate(faults, tree):
    """Sets the file of each fault; returns what is wrong with the list."""
    texts = {file: file.read_text(encoding="utf-8") for file in sources_of(tree)}
    problems = []
    titles = set()
    for fault in faults:
        found = [(file, text.count(fault.text)) for file, text in texts.items() if fault.text in text]
        times = sum(count for _, count in found)
        if fault.title in titles:
            problems.append(f"two faults have one title: {fault.title}")
        titles.add(fault.title)
        if not fault.text or fault.text == fault.fault:
            problems.append(f"this fault changes nothing: {fault.title}")
        elif times != 1:
            problems.append(f"found {times} times instead of once: {fault.title}: {fault.text}")
        else:
            fault.file = found[0][0].relative_to(tree)
    return problems
