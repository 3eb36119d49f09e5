"""The script one would write instead: general libraries for YAML, Markdown and templates, no checks.

    pip install -r benches/peers/requirements.txt
    python3 benches/peers/script.py SHOP OUT [--shared]

For each fork it makes the page of the fork, the page to work from and the card of each of its services, and the page
of each procedure. A family's values are laid under the fork's own, the procedures are chosen by the fork's choices, and
each number that a step links to is printed. It says nothing of units, states, tolerances, order or doubt; it works
nothing out, and whether a card fits on its sheet it does not know. `--shared`: the tuned one; a procedure whose numbers
are the same is made once for all forks, and not for each.
"""

import re
import sys
import time
from pathlib import Path

import jinja2
import markdown_it
import yaml

Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
LINK = re.compile(r"\[([^\]]*)\]\((spec|tool|procedure|caution|oil):([^)\s]*)[^)]*\)")
BOX = re.compile(r"<reading:([^>]*)>")

PAGES = {
    "base": """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{{ title }}</title>
<link rel="stylesheet" href="{{ root }}assets/style.css"></head><body><header><a href="{{ root }}index.html">Shop</a>
</header><main><h1>{{ title }}</h1>{% block main %}{% endblock %}</main></body></html>""",
    "fork": """{% extends "base" %}{% block main %}{% for group, rows in groups %}<section><h2>{{ group }}</h2>
<table>{% for key, value in rows %}<tr id="{{ key }}"><th>{{ key }}</th><td>{{ value }}</td></tr>
{% endfor %}</table></section>{% endfor %}<ul>{% for service in services %}
<li><a href="{{ service }}.html">{{ service }}</a></li>{% endfor %}</ul>{% endblock %}""",
    "service": """{% extends "base" %}{% block main %}{% for part in parts %}<section id="{{ part.id }}">
<h2>{{ loop.index }} {{ part.title }}</h2><p>{{ part.time }}</p>{{ part.html|safe }}</section>
{% endfor %}{% endblock %}""",
    "card": """{% extends "base" %}{% block main %}<table>{% for key, value in rows %}<tr><td>{{ key }}</td>
<td>{{ value }}</td><td class="box"></td><td class="box"></td></tr>{% endfor %}</table><ol>{% for part in parts %}
<li>{{ part.title }} <span class="box"></span></li>{% endfor %}</ol>{% endblock %}""",
    "procedure": """{% extends "base" %}{% block main %}{{ html|safe }}{% endblock %}""",
    "home": """{% extends "base" %}{% block main %}<ul>{% for id, title in forks %}
<li><a href="forks/{{ id }}.html">{{ title }}</a></li>{% endfor %}</ul>{% endblock %}""",
}


def read(path):
    return yaml.load(path.read_text(), Loader)


def shown(value):
    """A value in one line."""
    if isinstance(value, dict):
        if "value" in value:
            return shown(value["value"])
        return ", ".join(f"{key} {shown(one)}" for key, one in value.items())
    if isinstance(value, list):
        return ", ".join(map(shown, value))
    return str(value)


def resolved(fork, families):
    """A fork's values by group and key, the family's under its own; and its choices."""
    family = families.get(fork.get("family"), {})
    groups = {}
    for record in (family, fork):
        for group, values in record.items():
            if isinstance(values, dict) and group not in ("choices", "sources", "reviewed"):
                groups.setdefault(group, {}).update(values)
    return groups, {**family.get("choices", {}), **fork.get("choices", {})}


def fits(when, choices):
    ways = when if isinstance(when, list) else [when or {}]
    return not ways or any(
        all(choices.get(key) in options for key, options in (way or {}).items()) for way in ways
    )


def chosen(service, procedures, choices):
    for entry in service["procedures"]:
        if isinstance(entry, str):
            yield entry
            continue
        options = entry.get("one_of") or entry.get("where_fitted") or [entry.get("do")]
        fitting = [id for id in options if id in procedures and fits(procedures[id]["for"], choices)]
        yield from fitting[:1] if "one_of" in entry else fitting


def with_numbers(text, flat):
    """A procedure's Markdown with a fork's numbers in place of the links to them, and these numbers."""
    numbers = []

    def link(match):
        if match[2] != "spec":
            return f"**{match[1]}**"
        numbers.append(shown(flat.get(match[3], "no value on record")))
        return f"{match[1]} **{numbers[-1]}**"

    return BOX.sub(r"\\_\\_\\_\\_ (\1)", LINK.sub(link, text)), numbers


def flattened(groups):
    """A fork's values by `group.key`."""
    return {f"{group}.{key}": value for group, values in groups.items() for key, value in values.items()}


def read_shop(shop):
    """Its procedures and families by id, its services and forks."""
    procedures = {}
    for path in sorted((shop / "procedures").glob("*.md")):
        _, head, text = path.read_text().split("---\n", 2)
        head = yaml.load(head, Loader)
        procedures[head["id"]] = {**head, "for": head.get("for"), "text": text}
    families = {path.stem: read(path) for path in sorted((shop / "specs/families").glob("*.yaml"))}
    services = [read(path) for path in sorted((shop / "procedures/services").glob("*.yaml"))]
    forks = [read(path) for path in sorted((shop / "specs/forks").glob("*.yaml"))]
    return procedures, families, services, forks


def make(shop, out, shared):
    markdown = markdown_it.MarkdownIt()
    templates = jinja2.Environment(loader=jinja2.DictLoader(PAGES), autoescape=True)
    pages = {name: templates.get_template(name) for name in PAGES}
    procedures, families, services, forks = read_shop(shop)
    files = written = 0
    made = {}

    def write(path, text):
        nonlocal files, written
        place = out / path
        place.parent.mkdir(parents=True, exist_ok=True)
        data = text.encode()
        place.write_bytes(data)
        files, written = files + 1, written + len(data)

    def html(procedure, flat):
        text, numbers = with_numbers(procedure["text"], flat)
        if not shared:
            return markdown.render(text)
        key = (procedure["id"], *numbers)
        if key not in made:
            made[key] = markdown.render(text)
        return made[key]

    for fork in forks:
        groups, choices = resolved(fork, families)
        flat = flattened(groups)
        rows = [(group, [(f"{group}.{key}", shown(value)) for key, value in values.items()])
                for group, values in groups.items()]
        title = f"{fork['maker']} {fork['model']}"
        own = [service for service in services if fits(service.get("for"), choices)]
        write(f"forks/{fork['id']}.html",
              pages["fork"].render(title=title, root="../", groups=rows, services=[one["id"] for one in own]))
        for service in own:
            parts = [procedures[id] for id in chosen(service, procedures, choices) if id in procedures]
            parts = [{**part, "html": html(part, flat)} for part in parts]
            name = f"{title}: {service['title']}"
            write(f"forks/{fork['id']}/{service['id']}.html",
                  pages["service"].render(title=name, root="../../", parts=parts))
            write(f"cards/{fork['id']}-{service['id']}.html",
                  pages["card"].render(title=name, root="../", parts=parts,
                                       rows=[row for _, of_group in rows for row in of_group]))
    for procedure in procedures.values():
        write(f"procedures/{procedure['id']}.html",
              pages["procedure"].render(title=procedure["title"], root="../", html=html(procedure, {})))
    write("index.html", pages["home"].render(title="Shop", root="", forks=[
        (fork["id"], f"{fork['maker']} {fork['model']}") for fork in forks]))
    return files, written


if __name__ == "__main__":
    shop, out = map(Path, sys.argv[1:3])
    begun, cpu = time.perf_counter(), time.process_time()
    files, written = make(shop, out, "--shared" in sys.argv)
    print(f"{files} files, {written / 1e6:.1f} MB, {time.perf_counter() - begun:.2f} s, "
          f"{time.process_time() - cpu:.2f} s of the processor")
