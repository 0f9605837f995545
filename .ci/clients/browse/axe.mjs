// The rules of axe-core, run in windows that let its script past the content policy.
import axe from "axe-core";
import { openWindow } from "./window.mjs";

// tags choose the rules: WCAG 2.0 to 2.2, levels A and AA, and axe's best practices.
const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

// seen are the rules that colours and the width of a window matter to. The others judge the
// document, which is the same in every window: they run in the first of the windows, and in
// each of them where all is set.
const seen = ["color-contrast", "link-in-text-block", "scrollable-region-focusable", "target-size"];

// inspect runs the rules over pages, in kinds of windows with a colour scheme each.
export async function inspect(browser, base, pages, windows, all = false) {
  const runs = [];
  const [first] = Object.keys(windows);
  for (const [kind, colorScheme] of Object.entries(windows)) {
    const { context, page, name } = await openWindow(browser, kind, "axe", base, { bypassCSP: true, javaScriptEnabled: true, colorScheme });
    for (const [what, path] of Object.entries(pages)) {
      await page.goto(base + path);
      const whole = all || kind === first;
      runs.push({ window: name, page: what, whole, ...(await rules(page, whole ? tags : { type: "rule", values: seen })) });
    }
    await context.close();
  }
  return runs;
}

// rules runs rules over the page that stands there, with all that can be opened open.
export async function rules(page, runOnly = tags) {
  await page.evaluate(() => document.querySelectorAll("details").forEach((d) => d.setAttribute("open", "")));
  if (!(await page.evaluate(() => "axe" in window))) await page.addScriptTag({ content: axe.source });
  const result = await page.evaluate((runOnly) => window.axe.run(document, { runOnly, resultTypes: ["violations", "incomplete"] }), runOnly);
  return {
    version: axe.version,
    rules: ["passes", "violations", "incomplete", "inapplicable"].flatMap((outcome) => result[outcome].map((rule) => rule.id)).length,
    applied: result.passes.map((rule) => rule.id).sort(),
    violations: result.violations.map((v) => ({ rule: v.id, impact: v.impact, where: v.nodes.map((n) => n.target.join(" ")) })),
    undecided: result.incomplete.map((rule) => `${rule.id} (${rule.nodes.length})`),
  };
}
