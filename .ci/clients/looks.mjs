// Looks at every page of servers: the rules of axe-core in both themes, and whether the
// page fits three widths. Where a folder is named it lays pictures of all of them onto
// sheets there, several pages on one, to be looked at. It judges nothing: looks_test.go does.
//
//   node looks.mjs CHROMIUM FOLDER SITES
//
// FOLDER is where sheets go; "-" for none. SITES is a list, as JSON, of servers with the
// pages to look at: {"name", "address", "pages": {what: path}}. With "sitting": true the next
// sitting is gone through; with "invited": path that invitation is taken, and what is in
// "after" is looked at; with "password" the owner signs in with it, and what is in "owner" is
// looked at. "sent" is what a form is answered with: {what: {path, fields}}, where a number
// stands for so many letters.
import { bringRules, rules } from "./browse/axe.mjs";
import { launch } from "./browse/launch.mjs";
import { openWindow, steadily } from "./browse/window.mjs";
import { Sheets } from "./browse/sheets.mjs";
import { throughSitting } from "./browse/throughsitting.mjs";

const [executablePath, folder, list] = process.argv.slice(2);
const widths = { 360: 740, 768: 1024, 1280: 800 };
const schemes = ["light", "dark"];
const browser = await launch(executablePath);
const sheets = folder === "-" ? null : new Sheets(browser, folder);
const seen = [];

for (const { name, address, pages, sitting, invited, after, password, owner, sent } of JSON.parse(list)) {
  const base = new URL(address).origin;
  const { context, page } = await openWindow(browser, "desktop", name, base, { bypassCSP: true });
  await bringRules(context);
  // lookAt looks at the page as it stands.
  const lookAt = async (what, status, bytes = 0) => {
    const look = { site: name, page: what, status, bytes, wide: [], runs: [], tall: 0, stands: 0 };
    for (const scheme of schemes) {
      await page.emulateMedia({ colorScheme: scheme });
      for (const [width, height] of Object.entries(widths)) {
        await page.setViewportSize({ width: Number(width), height });
        const shape = await page.evaluate(() => ({ scroll: document.documentElement.scrollWidth, client: document.documentElement.clientWidth }));
        if (width === "360" && !look.tall) Object.assign(look, await page.evaluate(() => ({ tall: document.documentElement.scrollHeight, stands: Math.ceil(document.querySelector(".stand")?.getBoundingClientRect().bottom ?? 0) })));
        if (shape.scroll > shape.client) look.wide.push(`${shape.scroll} pixels in ${width}`);
        if (sheets) await sheets.add(`${name}-${width}-${scheme}`, Number(width), what, await page.screenshot({ fullPage: true }));
      }
      look.runs.push({ scheme, ...(await steadily(page, () => rules(page))) });
    }
    seen.push(look);
  };
  const lookAtAll = async (all) => {
    for (const [what, path] of Object.entries(all)) {
      const answer = await page.goto(base + path);
      await page.locator("main:not(:has([data-soon]))").waitFor(); // what is being worked out has come
      await lookAt(what, answer.status(), (await answer.request().sizes()).responseBodySize);
    }
  };
  await lookAtAll(pages);
  if (invited) {
    await page.goto(base + invited);
    await Promise.all([page.waitForEvent("load"), page.locator("main form button").click()]);
    await lookAtAll(after);
  }
  if (password) {
    await context.clearCookies();
    await page.goto(base + "/sign-in");
    await page.locator("main input[type=password]").fill(password);
    await Promise.all([page.waitForEvent("load"), page.locator("main form button").click()]);
    await lookAtAll(owner);
  }
  for (const [what, { path, fields }] of Object.entries(sent ?? {})) {
    await page.goto(base + "/about");
    const send = ({ path, fields }) => {
      const form = Object.assign(document.createElement("form"), { method: "post", action: path });
      for (const [name, value] of Object.entries(fields)) {
        form.append(Object.assign(document.createElement("textarea"), { name, value: typeof value === "number" ? "x".repeat(value) : value }));
      }
      document.body.append(form);
      form.submit();
    };
    const [answer] = await Promise.all([page.waitForNavigation(), page.evaluate(send, { path, fields })]);
    await lookAt(what, answer.status());
  }
  if (sitting) await throughSitting(page, base, (what) => lookAt(what, 200));
  await context.close();
  await sheets?.finish();
}
await browser.close();
process.stdout.write(JSON.stringify(seen));
