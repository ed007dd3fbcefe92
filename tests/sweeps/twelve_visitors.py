"""Twelve visitors in real browser contexts, ten minutes on two cores.

`PYTHONPATH=.:tests/support python tests/sweeps/twelve_visitors.py`; with `explorer` or `pages` one part alone. First
twelve, then ten at once open the explorer; then twelve open ten pages each, one after another, and close every second
one in order and lose the others; kernels and memory are counted before, meanwhile and until all is gone.
"""

import asyncio
import os
import shutil
import sys
import tempfile
import time

from playwright.async_api import async_playwright
from served_room import ServedRoom

CHROME = os.environ.get("KIT_CHROME") or shutil.which("chromium") or shutil.which("google-chrome")
FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
TEN = ("14-quick-sums", "10-allowances", "11-triangles-and-strips", "14-quick-sums", "0-begin", "10-allowances",
       "14-quick-sums", "12-sewing-and-errors", "10-allowances", "14-quick-sums")  # fmt: skip
LONG = 1_200_000


async def see_explorer(context, base):
    """Open the explorer; return the seconds until its figure is there, and until a key has moved its quilt."""
    page = await context.new_page()
    begun = time.perf_counter()
    await page.goto(f"{base}/voila/render/1-explore.ipynb", wait_until="domcontentloaded", timeout=LONG)
    await page.locator(".seamproof-explorer .bk-Figure").first.wait_for(timeout=LONG)
    seen = time.perf_counter() - begun
    table = page.locator(".seamproof-explorer .seamproof-table").first
    before = await table.inner_text(timeout=LONG)
    named = page.locator("label:text-is('Columns across')")
    row = page.locator(".seamproof-explorer .widget-slider").filter(has=named)
    await row.locator(".noUi-handle").first.focus()
    await page.keyboard.press("ArrowRight")
    while await table.inner_text() == before:  # noqa: ASYNC110  a page has no event for it
        await asyncio.sleep(0.2)
    return seen, time.perf_counter() - begun


async def meet(browser, room, visitors):
    """Let so many visitors open the explorer at once, and say when each had it."""
    contexts = [await browser.new_context(viewport={"width": 1000, "height": 900}) for _ in range(visitors)]
    found = await asyncio.gather(*(see_explorer(one, room.base) for one in contexts), return_exceptions=True)
    live = [one for one in found if isinstance(one, tuple)]
    kernels, memory, server = room.measure()
    last = max((moved for _, moved in live), default=0.0)
    print(f"{visitors} at once: {len(live)} have the live explorer; figure after",
          ", ".join(f"{seen:.0f}" for seen, _ in sorted(live)), f"s; moved by {last:.0f} s;",
          f"{kernels} kernels, {memory / max(1, kernels):.0f} MB each, server {server:.0f} MB", flush=True)  # fmt: skip
    for wrong in found:
        if not isinstance(wrong, tuple):
            print("  not seen:", repr(wrong)[:300])
    for one in contexts:
        await one.close()
    return len(live) == visitors


async def come_and_go(browser, room, number):
    """Open ten pages; close every second in order, lose the network of the others or drop them half made."""
    context = await browser.new_context()
    await (await context.new_page()).goto(room.base, timeout=LONG)
    for turn, name in enumerate(TEN):
        page = await context.new_page()
        await page.goto(f"{room.base}/voila/render/{name}.ipynb", wait_until="commit", timeout=LONG)
        if (turn + number) % 3:
            await page.locator(".seamproof").first.wait_for(timeout=LONG, state="attached")
        if turn % 2:
            await page.close(run_before_unload=True)
        elif turn % 4 == 0:
            await page.close()
    await context.set_offline(True)
    await context.close()


async def wait_until_gone(room, before):
    """Return the seconds until no kernel is left, and the memory of the server then."""
    begun = time.perf_counter()
    while room.list_kernels() and time.perf_counter() - begun < 120:  # noqa: ASYNC110  as above
        await asyncio.sleep(1)
    gone = time.perf_counter() - begun
    kernels, memory, server = room.measure()
    print(f"after {gone:.0f} s: {kernels} kernels, {memory:.0f} MB; server {before:.0f} -> {server:.0f} MB", flush=True)
    return kernels == 0 and gone <= 60


async def watch(room, peak):
    while True:
        peak.append(room.measure()[:2])
        await asyncio.sleep(2)


async def meet_at_pages(browser, room, before):
    """Let twelve visitors open ten pages each; return True if all is gone within a minute of the last."""
    peak = []
    watcher = asyncio.create_task(watch(room, peak))
    begun = time.perf_counter()
    await asyncio.gather(*(come_and_go(browser, room, number) for number in range(12)))
    watcher.cancel()
    kernels, memory = max(peak, default=(0, 0.0))
    print(f"12 visitors, {12 * len(TEN)} pages in {time.perf_counter() - begun:.0f} s: at most {kernels} kernels,",
          f"{memory:.0f} MB together; {room.log.read_text().count('Kernel started')} kernels in all")  # fmt: skip
    return await wait_until_gone(room, before)


async def main():
    with tempfile.TemporaryDirectory() as folder:
        room = ServedRoom(folder)
        try:
            async with async_playwright() as driver:
                browser = await driver.chromium.launch(executable_path=CHROME, args=FLAGS)
                start = room.measure()
                print(f"at the start: {start[0]} kernels, server {start[2]:.0f} MB")
                well = []
                for visitors in (12, 10) if "pages" not in sys.argv else ():
                    well.append(await meet(browser, room, visitors))
                    well.append(await wait_until_gone(room, start[2]))
                if "explorer" not in sys.argv:
                    well.append(await meet_at_pages(browser, room, start[2]))
                await browser.close()
        finally:
            room.stop()
    return all(well)


if __name__ == "__main__":
    sys.exit(0 if asyncio.run(main()) else 1)
