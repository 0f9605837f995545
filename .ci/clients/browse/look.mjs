// A look at a page: whether it fits the window, what its controls are called, and
// whether its texts can be read, in light and in dark.
import { contrasts } from "./contrast.mjs";
import { names } from "./names.mjs";

export async function look(page) {
  const seen = { title: await page.title(), closed: await page.evaluate(width), contrasts: [] };
  // The hardest case: all that can be opened is open.
  await page.evaluate(() => document.querySelectorAll("details").forEach((d) => d.setAttribute("open", "")));
  seen.open = await page.evaluate(width);
  Object.assign(seen, await names(page));
  // 320 CSS pixels are what WCAG 2.2, 1.4.10 asks for.
  const size = page.viewportSize();
  await page.setViewportSize({ ...size, width: 320 });
  seen.narrow = await page.evaluate(width);
  await page.setViewportSize(size);
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    const paper = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    seen.contrasts.push(...(await page.evaluate(contrasts)).map((c) => ({ scheme: colorScheme, paper, ...c })));
  }
  await page.emulateMedia({ colorScheme: null });
  await page.evaluate(() => document.querySelectorAll("details").forEach((d) => d.removeAttribute("open")));
  return seen;
}

// width measures the document in CSS pixels, in the page.
function width() {
  const { scrollWidth, clientWidth } = document.documentElement;
  const over = [...document.body.querySelectorAll("*")].filter((e) => e.getBoundingClientRect().right > clientWidth + 0.5 && !e.closest(".wide"));
  return { scrollWidth, clientWidth, innerWidth, over: scrollWidth > clientWidth ? over.slice(0, 3).map((e) => e.outerHTML.slice(0, 100)) : [] };
}
