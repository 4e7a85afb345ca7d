"""HTML pages read back, and words that would break one."""

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
