"""HTML pages read back, and words that would break one."""

import base64
import hashlib
import re
from html.parser import HTMLParser

HOSTILE = "</title><script>document.title='run'</script> & <b>\"it\"</b>"


class Reader(HTMLParser):
    """Collects tags with their attributes, and the text of each kind of element."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.tags, self.texts, self.open = [], {}, []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))
        self.open.append(tag)

    def handle_endtag(self, tag):
        while self.open and self.open.pop() != tag:
            pass

    def handle_data(self, data):
        if self.open:
            self.texts.setdefault(self.open[-1], []).append(data)


def check_policy(page):
    """Check that a page's policy allows its one style and its one script, and nothing else.

    W3C Content Security Policy Level 3: a hash is the base64 SHA-256 of the element's text.
    """
    metas = [attributes for tag, attributes in Reader(page).tags if tag == "meta"]
    (policy,) = (meta["content"] for meta in metas if meta.get("http-equiv") == "Content-Security-Policy")
    rules = {rule.split()[0]: rule.split()[1:] for rule in policy.split("; ")}
    assert rules["default-src"] == rules["base-uri"] == rules["form-action"] == ["'none'"]
    for tag, rule in (("style", "style-src"), ("script", "script-src")):
        (text,) = re.findall(rf"<{tag}>(.*?)</{tag}>", page, re.DOTALL)
        assert rules[rule] == [f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"]
    assert set(rules) == {"default-src", "base-uri", "form-action", "style-src", "script-src"}
