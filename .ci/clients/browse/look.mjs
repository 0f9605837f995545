// A look at a page: whether it fits the window, what its controls are called, and
// whether its texts can be read, in light and in dark.
import { contrasts } from "./contrast.mjs";
import { names } from "./names.mjs";

export async function look(page) {
  const seen = { title: await page.title(), closed: await page.evaluate(width), contrasts: [] };
  // The hardest case: all that can be opened is open.
  await page.evaluate(() => document.querySelectorAll("details").forEach((d) => d.setAttribute("open", "")));
  seen.open = await page.evaluate(width);
  seen.small = await page.evaluate(small);
  Object.assign(seen, await names(page));
  // 320 CSS pixels are what WCAG 2.2, 1.4.10 asks for; 768 lie between a phone and a desktop.
  const size = page.viewportSize();
  for (const [what, pixels] of Object.entries({ narrow: 320, middle: 768 })) {
    await page.setViewportSize({ ...size, width: pixels });
    seen[what] = await page.evaluate(width);
  }
  await page.setViewportSize(size);
  // Text at twice its size (WCAG 2.2, 1.4.4).
  await page.evaluate(() => (document.documentElement.style.fontSize = "200%"));
  seen.doubled = await page.evaluate(width);
  await page.evaluate(() => (document.documentElement.style.fontSize = ""));
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
  // What sticks out is looked for where something does.
  const over = () => [...document.body.querySelectorAll("*")].filter((e) => e.getBoundingClientRect().right > clientWidth + 0.5 && !e.closest(".wide"));
  return { scrollWidth, clientWidth, innerWidth, over: scrollWidth > clientWidth ? over().slice(0, 3).map((e) => e.outerHTML.slice(0, 100)) : [] };
}

// small lists what is too small for a wet thumb, in the page: 44 CSS pixels high (WCAG
// 2.2, 2.5.5), and wide where it is no link in a line of text. A box to tick counts with
// its label. Links in a drawing have their like in the list beneath it, and those of the
// menu to skip to the content are for keyboards.
function small() {
  const found = [];
  for (const e of document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary")) {
    if (!e.checkVisibility({ visibilityProperty: true }) || e.closest("svg, .skip")) continue;
    const label = e.matches("[type=checkbox], [type=radio]") && (e.closest("label, .check") || document.querySelector(`label[for="${e.id}"]`));
    const inLine = getComputedStyle(e).display === "inline";
    const boxes = inLine ? [...e.getClientRects()] : [(label || e).getBoundingClientRect()];
    const height = Math.max(...boxes.map((b) => b.height)), width = Math.max(...boxes.map((b) => b.width));
    if (height < 43.5 || (!inLine && width < 43.5)) found.push(`${Math.round(width)} by ${Math.round(height)}: ${e.outerHTML.slice(0, 120)}`);
  }
  return found;
}
