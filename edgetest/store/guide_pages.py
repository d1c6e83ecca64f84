"""Which pages does the guide have, of which kind is each, and where do its links lead?"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

FOLDER = Path(__file__).parents[1] / "guide"

# In the order in which they are read. Tables are reached from the pages that speak of them.
KINDS = {
    "start": "Start here",
    "how_to": "How to",
    "why": "Why",
    "reference": "Reference",
    "tables": "Tables",
}
# Pages that are read first, in their kind; the others follow by their titles.
FIRST = (
    "start/borders",
    "start/compare_two_heat_treatments",
    "start/document_a_chopper",
    "start/judge_a_mystery_steel",
)

FRONT = re.compile(r"\A---\n(.*?)\n---\n+", re.DOTALL)
FENCE = re.compile(r"^```.*?^```[^\n]*$", re.DOTALL | re.MULTILINE)
HEADING = re.compile(r"^#{1,6} +(.+?) *$", re.MULTILINE)
LINK = re.compile(r"(?<!!)\[(?P<words>[^\]]+)\]\((?P<to>[^)\s]*)\)")
REMARK = re.compile(r"^<!--.*?-->\n?", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True)
class GuidePage:
    """One page: its name below the guide's folder ("how_to/set_the_scale") and its text."""

    name: str
    text: str

    @property
    def kind(self) -> str:
        """The folder that it stands in, a key of `KINDS`."""
        return self.name.rpartition("/")[0]

    @cached_property
    def front(self) -> dict[str, str]:
        """The lines between `---` at the top of a table, as names and values."""
        found = FRONT.match(self.text)
        lines = found[1].splitlines() if found else []
        return {name.strip(): value.strip() for name, _, value in (x.partition(":") for x in lines)}

    @cached_property
    def body(self) -> str:
        """What a reader sees: no lines of the front, no remarks; a table under its title."""
        text = REMARK.sub("", FRONT.sub("", self.text))
        return f"# {self.front['title']}\n\n{text}" if "title" in self.front else text

    @property
    def title(self) -> str:
        """What the page calls itself in its first line."""
        return self.body.splitlines()[0].lstrip("# ")

    @cached_property
    def places(self) -> dict[str, str]:
        """Headings by the anchor that leads to them (`anchor_of`)."""
        return {anchor_of(words): words for words in HEADING.findall(FENCE.sub("", self.body))}

    @cached_property
    def links(self) -> tuple[str, ...]:
        """Addresses that the page leads to, as they are written."""
        return tuple(found["to"] for found in LINK.finditer(FENCE.sub("", self.body)))

    def led(self, to: str) -> tuple[str, str] | None:
        """Page and anchor that an address on this page leads to; None where it leaves the guide."""
        path, _, anchor = to.partition("#")
        if not path:
            return self.name, anchor
        if "://" in path or not path.endswith(".md"):
            return None
        place = (FOLDER / self.name).parent.joinpath(path.removesuffix(".md")).resolve()
        return (place.relative_to(FOLDER).as_posix(), anchor) if FOLDER in place.parents else None

    def with_links(self, link: Callable[[str, str, str], str]) -> str:
        """The body with each link into the guide written by `link(words, page, anchor)`."""

        def written(found: re.Match[str]) -> str:
            led = self.led(found["to"])
            return link(found["words"], *led) if led else found[0]

        parts, at = [], 0
        for fence in FENCE.finditer(self.body):
            parts += [LINK.sub(written, self.body[at : fence.start()]), fence[0]]
            at = fence.end()
        return "".join([*parts, LINK.sub(written, self.body[at:])])


def anchor_of(heading: str) -> str:
    """The anchor of a heading, as pages of Markdown on the web have it."""
    return re.sub(r"[^\w\- ]", "", heading.lower()).strip().replace(" ", "-")


def read_page(name: str) -> GuidePage | None:
    """One page by its name; None where there is none."""
    path = FOLDER / f"{name}.md"
    return GuidePage(name, path.read_text("utf-8")) if path.is_file() else None


def guide_pages() -> dict[str, GuidePage]:
    """Every page by its name, in the order in which the kinds and their pages are read."""
    found = [
        GuidePage(path.relative_to(FOLDER).with_suffix("").as_posix(), path.read_text("utf-8"))
        for path in FOLDER.rglob("*.md")
    ]
    return {page.name: page for page in sorted(found, key=_turn)}


def page_asked_for(asked: str) -> GuidePage | None:
    """A page by its name, or by the name alone where words stand in it ("plan_a_test").

    A name of one word, such as woods, is a word that is looked for.
    """
    pages, name = guide_pages(), asked.removesuffix(".md")
    alone = [page for page in pages.values() if "_" in name and page.name.endswith(f"/{name}")]
    return pages.get(name) or next(iter(alone), None)


def _turn(page: GuidePage) -> tuple[int, int, str]:
    first = FIRST.index(page.name) if page.name in FIRST else len(FIRST)
    return list(KINDS).index(page.kind), first, page.title.lower()
