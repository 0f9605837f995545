// The rules of axe-core, run in windows that let its script past the content policy.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import axe from "axe-core";
import { openWindow } from "./window.mjs";

// source is axe-core as a page loads it, without its comments.
const source = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

// bringRules has each page of a window come with axe-core: compiled once for all of them, it
// takes a third of what it takes as a script of each page.
export const bringRules = (context) => context.addInitScript({ content: source });

// tags choose the rules: WCAG 2.0 to 2.2, levels A and AA, and axe's best practices.
const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

// seen are the rules that colours and the width of a window matter to. The others judge the
// document, which is the same in every window: they run in the first of the windows, and in
// each of them where all is set. Elsewhere one page of so many stands for its likes: contrast,
// width and size of each page are measured in every window and theme by look.mjs as well.
const seen = ["color-contrast", "link-in-text-block", "scrollable-region-focusable", "target-size"];

// Inspector runs the rules over pages, in kinds of windows with a colour scheme each, which
// stay open from one page to the next.
export class Inspector {
  constructor(browser, base, windows) {
    Object.assign(this, { browser, base, windows, open: new Map() });
  }

  async window(kind, colorScheme) {
    if (!this.open.has(kind)) {
      const window = await openWindow(this.browser, kind, "axe", this.base, { bypassCSP: true, javaScriptEnabled: true, colorScheme });
      await bringRules(window.context);
      this.open.set(kind, window);
    }
    return this.open.get(kind);
  }

  // inspect looks at pages; in windows but the first at one in so many.
  async inspect(pages, { all = false, every = 1 } = {}) {
    const runs = [];
    const [first] = Object.keys(this.windows);
    for (const [kind, colorScheme] of Object.entries(this.windows)) {
      const { page, name } = await this.window(kind, colorScheme);
      const whole = all || kind === first;
      for (const [what, path] of Object.entries(pages).filter((_, i) => whole || i % every === 0)) {
        await page.goto(this.base + path);
        runs.push({ window: name, page: what, whole, ...(await rules(page, whole ? tags : { type: "rule", values: seen })) });
      }
    }
    return runs;
  }

  async close() {
    for (const { context } of this.open.values()) await context.close();
    this.open.clear();
  }
}

// inspect runs the rules over pages, in windows that are closed then.
export async function inspect(browser, base, pages, windows, how) {
  const inspector = new Inspector(browser, base, windows);
  const runs = await inspector.inspect(pages, how);
  await inspector.close();
  return runs;
}

// rules runs rules over the page that stands there, with all that can be opened open, in a
// window that brings them.
export async function rules(page, runOnly = tags) {
  await page.evaluate(() => document.querySelectorAll("details").forEach((d) => d.setAttribute("open", "")));
  const result = await page.evaluate((runOnly) => window.axe.run(document, { runOnly, resultTypes: ["violations", "incomplete"] }), runOnly);
  return {
    version: axe.version,
    rules: ["passes", "violations", "incomplete", "inapplicable"].flatMap((outcome) => result[outcome].map((rule) => rule.id)).length,
    applied: result.passes.map((rule) => rule.id).sort(),
    violations: result.violations.map((v) => ({ rule: v.id, impact: v.impact, where: v.nodes.map((n) => n.target.join(" ")) })),
    undecided: result.incomplete.map((rule) => `${rule.id} (${rule.nodes.length})`),
  };
}
