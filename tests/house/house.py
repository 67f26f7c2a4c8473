"""What the rule checks share: the tree, the table of rooms, and C++ text without its comments and strings."""

import re
from pathlib import Path

SOURCE = {".cpp", ".h"}


class Table:
    """tests/house/rooms.txt: `rooms` maps a room to the rooms it may include, `outside` a header prefix to its places."""

    def __init__(self, text):
        self.rooms, self.outside = {}, {}
        for line in text.splitlines():
            words = line.split("#")[0].split()
            if not words:
                continue
            if words[0].endswith(":"):
                self.rooms[words[0][:-1]] = set(words[1:])
            elif words[0].endswith("/"):
                self.outside[words[0]] = set(words[1:])
            else:
                raise ValueError(f"rooms.txt: cannot read: {line}")


def table(root):
    return Table((root / "tests/house/rooms.txt").read_text())


def files(folder, suffixes=SOURCE):
    """Every file under a folder with one of the suffixes, in a fixed order; generated folders are passed over."""
    if not folder.is_dir():
        return []
    return sorted(p for p in folder.rglob("*") if p.suffix in suffixes and p.is_file()
                  and not any(part.startswith(".") or part == "__pycache__" for part in p.relative_to(folder).parts))


TOKEN = re.compile(
    r'R"(?P<tag>[^()\s\\]{0,16})\(.*?\)(?P=tag)"'  # raw string
    r'|"(?:\\.|[^"\\\n])*"'
    r"|(?<![0-9A-Fa-f])'(?:\\.|[^'\\\n])+'"  # a character, not a digit separator
    r"|//[^\n]*|/\*.*?\*/",
    re.S)
INCLUDE = re.compile(r'^[ \t]*#[ \t]*include[ \t]*([<"])([^>"\n]+)[>"]', re.M)


def bare(text):
    """C++ text with comments and the insides of strings blanked, line numbers kept."""
    def blank(match):
        return "\n" * match.group().count("\n") + " "
    return TOKEN.sub(blank, text)


def includes(text):
    """(line, '<' or '"', name) of each #include that is not inside a comment."""
    def blank(match):
        token = match.group()
        return token if token.startswith('"') else "\n" * token.count("\n")
    kept = TOKEN.sub(blank, text)
    return [(kept.count("\n", 0, m.start()) + 1, m.group(1), m.group(2)) for m in INCLUDE.finditer(kept)]


def place(path, root):
    return path.relative_to(root).as_posix()


def written(root, tree):
    """Writes {path: text} under root, for checks that try a rule on a tree that breaks it."""
    for name, text in tree.items():
        path = Path(root) / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)


PIECE = re.compile(r"(?P<space>\bnamespace\b\s*(?P<path>[\w:\s]*?)\s*\{)"
                   r"|(?P<type>\b(?:struct|class|union|enum(?:\s+(?:class|struct))?)\s+(?P<name>\w+)"
                   r"(?:\s+final)?\s*(?::(?!:)[^;{}()]*)?\{)"
                   r"|(?P<open>\{)|(?P<close>\})")


def types(text):
    """(line, full name) of each type that C++ text defines in a namespace with a name: not in a type, function or an
    unnamed namespace, where no other file can see it."""
    code, found, around = bare(text), [], []
    for piece in PIECE.finditer(code):
        if piece["close"]:
            if around:
                around.pop()
        elif piece["space"]:
            around.append(re.sub(r"\s", "", piece["path"]) or None)
        else:
            if piece["type"] and None not in around:
                found.append((code.count("\n", 0, piece.start()) + 1, "::".join([*around, piece["name"]])))
            around.append(None)
    return found
