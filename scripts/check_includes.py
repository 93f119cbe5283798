#!/usr/bin/env python3
"""Holds every #include under src/ to the DEPENDS line of its room (direct dependencies only).

A room may include its own headers and those of the rooms it declares. What it declares is checked for
direction by cmake/Room.cmake; together the two keep the arrows of docs/ARCHITECTURE.md pointing one way.
"""
import pathlib
import re
import sys

root = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else ".")
declared = {}
for lists in sorted((root / "src").glob("*/CMakeLists.txt")):
    text = re.sub(r"#.*", "", lists.read_text())
    depends = re.search(r"\bDEPENDS\s+([a-z\s]+?)\s+[A-Z_]+\s", text)
    declared[lists.parent.name] = set(depends.group(1).split()) if depends else set()

faults = []
for source in sorted((root / "src").glob("*/*.[hc]*")):
    room = source.parent.name
    for number, line in enumerate(source.read_text().splitlines(), 1):
        found = re.match(r'\s*#include\s+"([a-z]+)/', line)
        if found and found.group(1) != room and found.group(1) not in declared.get(room, set()):
            faults.append(f"{source.relative_to(root)}:{number}: {room} does not declare {found.group(1)}")
print("\n".join(faults) if faults else f"{len(declared)} rooms, every include declared")
sys.exit(1 if faults else 0)
