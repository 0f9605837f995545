// Moving through a page by keyboard alone.

// walk holds Tab down from the top of a page to its end. It gives every stop with how
// the focus shows there (WCAG 2.2, 2.4.7), stops that stand before the one they
// came after (2.4.3), and controls that were never reached (2.1.1).
export async function walk(page) {
  const stops = [];
  await page.evaluate(() => {
    window.reached = [];
  });
  for (let presses = 0; ; presses++) {
    if (presses > 1000) {
      throw new Error(`the focus never leaves ${page.url()}`);
    }
    await page.keyboard.down("Tab");
    const stop = await page.evaluate(stopped);
    if (stop === "end") {
      break;
    }
    if (stop) {
      stops.push(stop);
    }
  }
  await page.keyboard.up("Tab");
  const missed = await page.evaluate(() => {
    const all = document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]");
    // Of buttons that exclude each other Tab reaches one, and the arrows go on from there.
    const reached = (e) => window.reached.some((r) => r === e || (e.type === "radio" && r.type === "radio" && r.name === e.name && r.form === e.form));
    return [...all].filter((e) => e.checkVisibility({ visibilityProperty: true }) && !e.disabled && !reached(e)).map((e) => e.outerHTML.slice(0, 100));
  });
  return { stops, missed, fields: await page.evaluate(() => window.reached.filter((e) => e.closest("main form")).map((e) => e.name || e.type)) };
}

// stopped tells of the element in focus, in the page: "end" where the page is left,
// nothing within the parts of one control.
function stopped() {
  const e = document.activeElement;
  const last = window.reached.at(-1);
  if (!e || e === document.body || (e === window.reached[0] && last !== e)) {
    return "end";
  }
  if (e === last) {
    return null;
  }
  window.reached.push(e);
  const style = getComputedStyle(e);
  const box = e.getBoundingClientRect();
  return {
    says: (e.getAttribute("aria-label") || e.name || e.innerText || e.tagName).trim().slice(0, 60),
    outline: style.outlineStyle,
    width: parseFloat(style.outlineWidth),
    inWindow: box.width > 0 && box.height > 0 && box.right > 0 && box.left < innerWidth && box.bottom > 0 && box.top < innerHeight,
    backwards: Boolean(last && last.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_PRECEDING),
  };
}

// tabTo presses Tab until an element is in focus.
export async function tabTo(page, selector) {
  for (let presses = 0; presses < 1000; presses++) {
    await page.keyboard.press("Tab");
    if (await page.evaluate((s) => document.activeElement.matches(s), selector)) {
      return;
    }
  }
  throw new Error(`Tab never comes to ${selector} on ${page.url()}`);
}

// unfold opens, by keyboard, what an element is folded away in.
export async function unfold(page, selector) {
  const closed = () =>
    page.evaluate((s) => {
      let fold = null;
      for (let e = document.querySelector(s); e; e = e.parentElement) {
        if (e.matches("details:not([open])")) fold = e;
      }
      document.querySelectorAll("[data-unfold]").forEach((e) => e.removeAttribute("data-unfold"));
      fold?.querySelector("summary").setAttribute("data-unfold", "");
      return fold !== null;
    }, selector);
  while (await closed()) {
    await tabTo(page, "[data-unfold]");
    await page.keyboard.press("Enter");
  }
}
