"""Takes the pictures of the README from the demo plant: ``.venv/bin/python -m tests.pictures``.

A demo of its own is made in a folder that is thrown away, so the pictures show what a newcomer sees.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "fixtures_demo" / "pictures"
WIDE, NARROW = {"width": 1280, "height": 860}, {"width": 390, "height": 844}
QUIET = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]


def main() -> None:
    """Make a demo, serve it, and walk through it with a browser."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DATA_DIR"] = folder
        subprocess.run([sys.executable, "manage.py", "demo", "--no-serve"], cwd=ROOT, check=True)
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "courses.settings")
        import django

        django.setup()
        from tests.benches.site import served

        with served() as port:
            _take(f"http://127.0.0.1:{port}")


def _take(address: str) -> None:
    from django.conf import settings
    from playwright.sync_api import sync_playwright

    from fixtures_demo.load import DEMO_SIGN_INS

    sign_ins = {role: (username, password) for role, username, password in DEMO_SIGN_INS}
    FOLDER.mkdir(exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=settings.CHROMIUM, args=QUIET)

        def page_of(role, size):
            page = browser.new_context(viewport=size).new_page()
            page.goto(address)
            username, password = sign_ins[role]
            page.fill("input[name=username]", username)
            page.fill("input[name=password]", password)
            page.click("button[type=submit]")
            return page

        apprentice = page_of("mechanic", WIDE)
        _drill(apprentice, address, "drill.png", "result.png")
        _drill(page_of("mechanic", NARROW), address, "drill-narrow.png", "")
        supervisor = page_of("supervisor", WIDE)
        supervisor.goto(f"{address}/board/")
        supervisor.screenshot(path=FOLDER / "board.png")
        instructor = page_of("instructor", WIDE)
        instructor.goto(f"{address}/scenarios/bearing-governor-strip/")
        instructor.screenshot(path=FOLDER / "scenario.png", full_page=True)
        browser.close()


def _drill(page, address, form, result) -> None:
    """A drill with the ends swapped: the slip that most people make."""
    from assessments.drills.models import Attempt
    from assessments.engine.draws import Draw
    from assessments.engine.quantities import show
    from assessments.scenarios.adapters import engine_scenario

    page.goto(f"{address}/drills/scenario/bearing-governor-strip/")
    page.locator("main form .btn").first.click()
    page.wait_for_selector("form.drill")
    number = int(page.url.rstrip("/").rsplit("/", 1)[1])
    attempt = _asked_outside(lambda: Attempt.objects.select_related("revision__scenario").get(pk=number))
    scenario = _asked_outside(lambda: engine_scenario(attempt.revision))
    readings = Draw.of_document(attempt.draw).readings
    swap = next(slip for slip in scenario.method.slips if slip.name == "ends_swapped")
    values = scenario.method.work_one(readings, scenario.dims, instead=swap.rules)
    for name, value in readings.items():
        page.fill(f"[name=reading-{name}]", show(value, "mm", 0.1))
    for name in scenario.asked:
        page.fill(f"[name=result-{name}]", show(values[name], "mm", 0.001))
    page.wait_for_timeout(1500)
    page.evaluate("document.activeElement.blur(); window.scrollTo(0, 0)")
    page.screenshot(path=FOLDER / form, full_page=bool(result))
    if result:
        page.locator("input[name=verdict][value=inside]").check()
        page.locator("input[name=action][value=close]").check()
        page.get_by_role("button", name="Look it over").click()
        page.get_by_role("button", name="Hand in").click()
        page.wait_for_selector("h1:has-text('scored')")
        page.screenshot(path=FOLDER / result, full_page=True)


def _asked_outside(question):
    """Ask the database from another thread: the browser's own loop runs in this one."""
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(1) as pool:
        return pool.submit(question).result()


if __name__ == "__main__":
    main()
