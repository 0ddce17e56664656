#!/usr/bin/env python3
"""Opens a page in a real browser at a width and prints what is wrong with it: overflow, faint text, errors.

Usage: check_page.py PAGE WIDTH screen|print
The page is put into a frame of that width; for `print` the rules for paper are applied to the screen. Standard library only.
"""
import html
import json
import pathlib
import re
import subprocess
import sys
import tempfile

PROBE = """
<script>
const problems = [];
window.onerror = (message) => problems.push('script: ' + message);
const channel = (v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
const luminance = (c) => 0.2126 * channel(c[0]) + 0.7152 * channel(c[1]) + 0.0722 * channel(c[2]);
const parse = (text) => { const m = text.match(/[0-9.]+/g).map(Number); return m.length > 3 && m[3] === 0 ? null : m; };
function background(element) {
  for (let e = element; e; e = e.parentElement) {
    const color = parse(e.ownerDocument.defaultView.getComputedStyle(e).backgroundColor);
    if (color) return color;
  }
  return [255, 255, 255];
}
function probe(frame) {
  const page = frame.contentDocument;
  const view = frame.contentWindow;
  const width = page.documentElement.clientWidth;
  let texts = 0;
  if (page.documentElement.scrollWidth > width) problems.push('the page is ' + page.documentElement.scrollWidth + ' wide in ' + width);
  for (const element of page.querySelectorAll('body *')) {
    const box = element.getBoundingClientRect();
    if (PRINT && element.tagName === 'TABLE' && box.right > width + 1)
      problems.push('a table reaches ' + Math.round(box.right) + ' of ' + width + ': ' + element.caption?.textContent);
    if (element.closest('svg') && element.tagName === 'text') {
      const frame = element.closest('svg').getBoundingClientRect();
      if (box.left < frame.left - 1 || box.right > frame.right + 1) problems.push('a label leaves its chart: ' + element.textContent);
    }
    const own = [...element.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
    if (!own || ['STYLE', 'title', 'desc'].includes(element.tagName)) continue;
    const style = view.getComputedStyle(element);
    const color = parse(element.closest('svg') ? style.fill : style.color);
    const a = luminance(color), b = luminance(background(element));
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 4.5) problems.push('contrast ' + ratio.toFixed(2) + ': ' + element.textContent.slice(0, 40));
    // Text in a chart is drawn smaller where the chart is.
    const scale = element.closest('svg') ? element.closest('svg').getBoundingClientRect().width / element.closest('svg').viewBox.baseVal.width : 1;
    if (!PRINT && parseFloat(style.fontSize) * scale < 9) problems.push('text of ' + (parseFloat(style.fontSize) * scale).toFixed(1) + ' pixels: ' + element.textContent.slice(0, 40));
    texts += 1;
  }
  for (const image of page.querySelectorAll('svg')) {
    const names = (image.getAttribute('aria-labelledby') || '').split(' ').map((id) => page.getElementById(id));
    if (image.getAttribute('role') !== 'img' || names.some((n) => !n || !n.textContent)) problems.push('a chart without a name');
  }
  const ids = [...page.querySelectorAll('[id]')].map((e) => e.id);
  if (new Set(ids).size !== ids.length) problems.push('an id stands twice');
  if (page.scripts.length) problems.push('the page has a script');
  if (page.querySelectorAll('[src], link, [href]').length) problems.push('the page refers to something outside it');
  document.title = 'done';
  document.getElementById('found').textContent = JSON.stringify({problems, texts, charts: page.querySelectorAll('svg').length, tables: page.querySelectorAll('table').length});
}
</script>
"""


def main() -> int:
    page, width, medium = sys.argv[1], int(sys.argv[2]), sys.argv[3]
    text = pathlib.Path(page).read_text(encoding="utf-8")
    if medium == "print":
        text = text.replace("@media print,", "@media all,").replace("@media print", "@media all")
    probe = PROBE.replace("PRINT", "true" if medium == "print" else "false")
    frame = (f'<!DOCTYPE html><meta charset="utf-8"><body><pre id="found"></pre>{probe}'
             f'<iframe style="width:{width}px;height:2000px;border:0" onload="probe(this)" srcdoc="{html.escape(text)}"></iframe>')
    with tempfile.TemporaryDirectory() as folder:
        holder = pathlib.Path(folder) / "frame.html"
        holder.write_text(frame, encoding="utf-8")
        done = subprocess.run(
            ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--enable-logging=stderr", "--window-size=1400,2100",
             f"--user-data-dir={folder}/profile", "--virtual-time-budget=5000", "--dump-dom", holder.as_uri()],
            capture_output=True, text=True, timeout=120, check=False)
    found = re.search(r'<pre id="found">(.*?)</pre>', done.stdout, re.S)
    if not found or not found.group(1):
        print("the browser said nothing:", done.stderr[-2000:])
        return 1
    result = json.loads(html.unescape(found.group(1)))
    problems = result["problems"]
    problems += ["console: " + line for line in done.stderr.splitlines() if ":CONSOLE" in line]
    for problem in sorted(set(problems)):
        print(problem)
    print(f"{result['texts']} texts, {result['charts']} charts, {result['tables']} tables")
    return 1 if problems or not result["texts"] else 0


if __name__ == "__main__":
    sys.exit(main())
