"""A strict reader of HTML pages: what a browser would quietly mend is a problem here."""

import base64
import hashlib
from html.parser import HTMLParser

VOID = {"meta", "input", "br", "hr", "img", "link", "col"}
HTML = {"html", "head", "body", "meta", "title", "style", "main", "section", "div", "span", "p", "ul", "li", "dl", "dt",
        "dd", "table", "thead", "tbody", "tfoot", "tr", "th", "td", "h1", "h2", "h3", "h4", "label", "input", "textarea",
        "figure", "figcaption", "b", "pre", "svg", "br", "button", "script"}
# What may stand in what, where that is less than anything.
ONLY_IN = {"li": {"ul"}, "dt": {"dl"}, "dd": {"dl"}, "tr": {"thead", "tbody", "tfoot"}, "td": {"tr"}, "th": {"tr"},
           "thead": {"table"}, "tbody": {"table"}, "tfoot": {"table"}, "figcaption": {"figure"}, "head": {"html"},
           "body": {"html"}, "title": {"head", "svg", "g"}, "style": {"head"}, "script": {"body"}, "main": {"body", "td"}}
HOLDS_ONLY = {"ul": {"li"}, "dl": {"dt", "dd"}, "table": {"thead", "tbody", "tfoot"}, "tr": {"td", "th"},
              "thead": {"tr"}, "tbody": {"tr"}, "tfoot": {"tr"}, "html": {"head", "body"},
              "head": {"meta", "title", "style"}}
PHRASES_ONLY = {"p", "button", "h1", "h2", "h3", "h4", "span", "b", "label", "dt", "figcaption", "pre", "title"}
PHRASES = {"span", "b", "label", "input", "textarea", "svg", "br", "button"}
ATTRIBUTES = {"class", "id", "lang", "role", "aria-hidden", "aria-label", "aria-labelledby", "charset", "name", "content",
              "type", "autocomplete", "spellcheck", "scope", "colspan", "data-of", "rows", "http-equiv", "hidden", "accept", "data-head",
              "data-file", "data-over", "data-beeps", "data-kind", "data-step", "data-low", "data-high", "data-says"}


class Reader(HTMLParser):
    """`problems`; and of a page without any: `headings` as (level, text), `ids`, `texts`, `inputs` as the label of each."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.problems, self.open, self.ids, self.headings, self.inputs, self.texts = [], [], [], [], [], []
        self.languages, self.references, self.scripts, self.policies = [], [], [], []
        self.collecting = []
        if not text.startswith("<!DOCTYPE html>\n"):
            self.wrong("no doctype")
        self.feed(text)
        self.close()
        for name in self.open:
            self.wrong(f"<{name}> is never closed")
        for name in sorted({name for name in self.ids if self.ids.count(name) > 1}):
            self.wrong(f"id {name} twice")
        for name in sorted(set(self.references) - set(self.ids)):
            self.wrong(f"nothing has the id {name}")
        levels = [level for level, _ in self.headings]
        if levels.count(1) != 1 or levels[0] != 1:
            self.wrong("not one h1, first")
        for before, level in zip(levels, levels[1:]):
            if level > before + 1:
                self.wrong(f"h{level} after h{before}")
        # A policy lets nothing in and no script run, but for the page's own by its SHA-256 (W3C, Content Security Policy).
        allowed = " ".join(f"; script-src 'sha256-{digest(script)}'" for script in self.scripts)
        wanted = f"default-src 'none'; style-src 'unsafe-inline'{allowed}; base-uri 'none'; form-action 'none'"
        if self.policies != [wanted] or len(self.scripts) > 1:
            self.wrong(f"its policy is {self.policies}, not {wanted}")
        if self.languages[:1] != ["en"]:
            self.wrong("no language")

    def wrong(self, what):
        self.problems.append(f"line {self.getpos()[0] if hasattr(self, 'offset') else 1}: {what}")

    def in_picture(self):
        return "svg" in self.open

    def handle_starttag(self, tag, attrs):
        self.began(tag, attrs)
        if tag in VOID and not self.in_picture():
            return
        self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.began(tag, attrs)
        if not self.in_picture():
            self.wrong(f"<{tag}/> closes nothing in HTML")

    def began(self, tag, attrs):
        names = [name for name, _ in attrs]
        values = dict(attrs)
        if len(names) != len(set(names)):
            self.wrong(f"<{tag}> has an attribute twice")
        if "id" in values:
            self.ids.append(values["id"])
        for name, value in attrs:
            if name.startswith("on"):
                self.wrong(f"<{tag} {name}> is a script")
            if name in ("src", "srcset", "action", "poster", "background", "data"):
                self.wrong(f"<{tag} {name}> is from outside")
            if name in ("href", "xlink:href"):
                if not (value or "").startswith("#"):
                    self.wrong(f"<{tag} {name}={value}> leads outside")
                self.references.append((value or "#")[1:])
            if name in ("aria-labelledby", "aria-describedby", "for"):
                self.references += (value or "").split()
            if value and "url(" in value.replace("url(#", ""):
                self.wrong(f"<{tag} {name}> is from outside")
        if tag == "script":
            self.scripts.append("")
            if attrs:
                self.wrong(f"<script {names[0]}> is not ours")
        if tag in ("iframe", "object", "embed", "link", "base", "foreignobject"):
            self.wrong(f"<{tag}> has no place here")
        if self.in_picture():
            return
        if tag not in HTML:
            self.wrong(f"<{tag}> is not known")
        for name in names:
            if name not in ATTRIBUTES and tag != "svg":
                self.wrong(f"<{tag} {name}> is not known")
        parent = self.open[-1] if self.open else None
        if tag in ONLY_IN and parent not in ONLY_IN[tag]:
            self.wrong(f"<{tag}> in <{parent}>")
        if parent in HOLDS_ONLY and tag not in HOLDS_ONLY[parent]:
            self.wrong(f"<{tag}> in <{parent}>")
        if parent in PHRASES_ONLY and tag not in PHRASES:
            self.wrong(f"<{tag}> in <{parent}>")
        if tag == "meta" and values.get("http-equiv") == "Content-Security-Policy":
            self.policies.append(values["content"])
        if tag == "html":
            self.languages.append(values.get("lang"))
        if tag in ("h1", "h2", "h3", "h4"):
            self.headings.append([int(tag[1]), ""])
        if tag in ("input", "textarea"):
            if "label" not in self.open:
                self.wrong(f"<{tag}> has no label")
            self.inputs.append("")

    def handle_endtag(self, tag):
        if not self.open or self.open[-1] != tag:
            self.wrong(f"</{tag}> closes <{self.open[-1] if self.open else ''}>")
            if tag in self.open:
                while self.open.pop() != tag:
                    pass
            return
        self.open.pop()

    def handle_data(self, data):
        if not self.open:
            if data.strip():
                self.wrong("text outside")
            return
        inside = self.open[-1]
        if inside == "style":
            return
        if inside == "script":
            self.scripts[-1] += data
            return
        if data.strip() and inside in HOLDS_ONLY:
            self.wrong(f"text in <{inside}>")
        if any(name in ("h1", "h2", "h3", "h4") for name in self.open):
            self.headings[-1][1] += data
        self.texts.append(data)

    def text(self):
        return "".join(self.texts)


def digest(script):
    return base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()


def luminance(colour):
    """Relative luminance of #rrggbb: W3C, Web Content Accessibility Guidelines 2.1, from memory."""
    def linear(channel):
        share = channel / 255
        return share / 12.92 if share <= 0.03928 else ((share + 0.055) / 1.055) ** 2.4
    red, green, blue = (linear(int(colour[at:at + 2], 16)) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)
