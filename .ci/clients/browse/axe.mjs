// The rules of axe-core, run in windows that let its script past the content policy.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import axe from "axe-core";
import { openWindow } from "./window.mjs";

// source is axe-core as a page loads it, without its comments: it is read anew by each page.
const source = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

// tags choose the rules: WCAG 2.0 to 2.2, levels A and AA, and axe's best practices.
const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

// seen are the rules that colours and the width of a window matter to. The others judge the
// document, which is the same in every window: they run in the first of the windows, and in
// each of them where all is set. Elsewhere one page of so many stands for its likes: contrast,
// width and size of each page are measured in every window and theme by look.mjs as well.
const seen = ["color-contrast", "link-in-text-block", "scrollable-region-focusable", "target-size"];

// inspect runs the rules over pages, in kinds of windows with a colour scheme each.
export async function inspect(browser, base, pages, windows, { all = false, every = 1 } = {}) {
  const runs = [];
  const [first] = Object.keys(windows);
  for (const [kind, colorScheme] of Object.entries(windows)) {
    const { context, page, name } = await openWindow(browser, kind, "axe", base, { bypassCSP: true, javaScriptEnabled: true, colorScheme });
    const whole = all || kind === first;
    for (const [what, path] of Object.entries(pages).filter((_, i) => whole || i % every === 0)) {
      await page.goto(base + path);
      runs.push({ window: name, page: what, whole, ...(await rules(page, whole ? tags : { type: "rule", values: seen })) });
    }
    await context.close();
  }
  return runs;
}

// rules runs rules over the page that stands there, with all that can be opened open.
export async function rules(page, runOnly = tags) {
  await page.evaluate(() => document.querySelectorAll("details").forEach((d) => d.setAttribute("open", "")));
  if (!(await page.evaluate(() => "axe" in window))) await page.addScriptTag({ content: source });
  const result = await page.evaluate((runOnly) => window.axe.run(document, { runOnly, resultTypes: ["violations", "incomplete"] }), runOnly);
  return {
    version: axe.version,
    rules: ["passes", "violations", "incomplete", "inapplicable"].flatMap((outcome) => result[outcome].map((rule) => rule.id)).length,
    applied: result.passes.map((rule) => rule.id).sort(),
    violations: result.violations.map((v) => ({ rule: v.id, impact: v.impact, where: v.nodes.map((n) => n.target.join(" ")) })),
    undecided: result.incomplete.map((rule) => `${rule.id} (${rule.nodes.length})`),
  };
}
