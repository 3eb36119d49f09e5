"""The same pages by a general site generator: each page is a Markdown file, a theme of two templates lays them out.

    pip install -r benches/peers/requirements.txt
    python3 benches/peers/generator.py SHOP SOURCES OUT [--prepared]

SOURCES is a folder that is not there yet: what the generator reads is written into it first, and that is not in the
time told. As one would begin, each page to work from holds its procedures' whole Markdown with the fork's numbers.
`--prepared`: the tuned one; Markdown is made into HTML beforehand, what is the same once, and the generator lays it out.
The pages are those of `script.py`, and say as little of units, states, order or doubt.
"""

import html
import sys
import time
from pathlib import Path

import markdown
import yaml
from mkdocs.commands.build import build
from mkdocs.config import load_config

from script import chosen, fits, flattened, read_shop, resolved, shown, with_numbers

BASE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{{ page.title }}</title>
<link rel="stylesheet" href="{{ 'assets/style.css'|url }}"></head><body><header><a href="{{ 'index.html'|url }}">Shop</a>
</header><main><h1>{{ page.title }}</h1>{% block main %}{{ page.content }}{% endblock %}</main></body></html>"""


def table(rows, boxes=False):
    """Rows of key and value; on a card with two boxes each. HTML, which a page of Markdown may hold."""
    box = '<td class="box"></td>' * 2 if boxes else ""
    cells = (f'<tr id="{key}"><th>{key}</th><td>{html.escape(shown(value))}</td>{box}</tr>' for key, value in rows)
    return "<table>" + "\n".join(cells) + "</table>\n\n"


def write_sources(shop, sources, prepared):
    """Writes what the generator reads."""
    procedures, families, services, forks = read_shop(shop)
    made = {}

    def text_of(procedure, flat):
        text, numbers = with_numbers(procedure["text"], flat)
        if not prepared:
            return text
        key = (procedure["id"], *numbers)
        if key not in made:
            made[key] = markdown.markdown(text)
        return f"<div>{made[key]}</div>"

    def page(path, title, text):
        place = sources / "docs" / f"{path}.md"
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(f"---\n{yaml.safe_dump({'title': title})}---\n{text}\n")

    for fork in forks:
        groups, choices = resolved(fork, families)
        flat = flattened(groups)
        title = f"{fork['maker']} {fork['model']}"
        own = [service for service in services if fits(service.get("for"), choices)]
        rows = "".join(f"<h2>{group}</h2>\n" + table((f"{group}.{key}", value) for key, value in values.items())
                       for group, values in groups.items())
        links = "\n".join(f"- [{one['title']}]({fork['id']}/{one['id']}.md)" for one in own)
        page(f"forks/{fork['id']}", title, f"{rows}\n{links}")
        for service in own:
            parts = [procedures[id] for id in chosen(service, procedures, choices) if id in procedures]
            texts = (f"## {n} {part['title']}\n\n{text_of(part, flat)}" for n, part in enumerate(parts, 1))
            name = f"{title}: {service['title']}"
            page(f"forks/{fork['id']}/{service['id']}", name, "\n\n".join(texts))
            lines = "\n".join(f"1. {part['title']}" for part in parts)
            page(f"cards/{fork['id']}-{service['id']}", name, table(flat.items(), boxes=True) + lines)
    for procedure in procedures.values():
        page(f"procedures/{procedure['id']}", procedure["title"], text_of(procedure, {}))
    page("index", "Shop", "\n".join(f"- [{fork['maker']} {fork['model']}](forks/{fork['id']}.md)" for fork in forks))
    theme = sources / "theme"
    theme.mkdir()
    (theme / "main.html").write_text(BASE)


def make(sources, out):
    """Runs the generator; how many files and bytes it wrote."""
    config = {
        "site_name": "Shop", "docs_dir": str(sources / "docs"), "site_dir": str(out), "plugins": [],
        "theme": {"name": None, "custom_dir": str(sources / "theme")}, "use_directory_urls": False,
        "markdown_extensions": [],
    }
    place = sources / "mkdocs.yml"
    place.write_text(yaml.safe_dump(config))
    build(load_config(str(place)))
    files = [path for path in out.rglob("*") if path.is_file()]
    return len(files), sum(path.stat().st_size for path in files)


if __name__ == "__main__":
    shop, sources, out = map(Path, sys.argv[1:4])
    sources = sources.resolve()
    prepared, written = "--prepared" in sys.argv, time.process_time()
    write_sources(shop, sources, prepared)
    begun, cpu = time.perf_counter(), time.process_time()
    count, size = make(sources, out.resolve())
    print(f"{count} files, {size / 1e6:.1f} MB, {time.perf_counter() - begun:.2f} s, "
          f"{time.process_time() - cpu:.2f} s of the processor; before it {cpu - written:.2f} s to write what it reads")
