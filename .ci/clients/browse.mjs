// Drives a browser through the pages of a server, and writes what it saw as JSON.
// It judges nothing: browser_test.go does.
//
//   node browse.mjs CHROMIUM ADDRESS TASK ANOTHER MORE...
//
// CHROMIUM is the browser's program, ADDRESS the server's. TASK and ANOTHER are ids
// of tasks with findings, which it writes down as done; MORE are those of tasks to
// look at.
import { readFileSync } from "node:fs";
import { inspect } from "./browse/axe.mjs";
import { brokenSite } from "./browse/broken.mjs";
import { readCodes, readPassword } from "./browse/codes.mjs";
import { walk } from "./browse/focus.mjs";
import { sendFromElsewhere } from "./browse/foreign.mjs";
import { goBackAfterMistake, goBackAndSendAgain, sendTwice, writeDown } from "./browse/job.mjs";
import { launch } from "./browse/launch.mjs";
import { look } from "./browse/look.mjs";
import { order } from "./browse/order.mjs";
import { openWindow } from "./browse/window.mjs";

const [executablePath, address, task, another, ...more] = process.argv.slice(2);
const base = new URL(address).origin;

const browser = await launch(executablePath);

// Each page by what it is; {task} stands for the task.
const pages = JSON.parse(readFileSync(new URL("browse/pages.json", import.meta.url), "utf8").replaceAll("{task}", task));
const seen = { browser: browser.version(), windows: [], looks: [], walks: [], tasks: [], codes: [], jobs: [], repeats: [], foreign: [], axe: [], seconds: {} };

// timed says where the time went, for those who want to know.
async function timed(name, act) {
  const start = performance.now();
  await act();
  seen.seconds[name] = Math.round((performance.now() - start) / 100) / 10;
}

// inWindow does something in a window of its own.
async function inWindow(kind, name, act) {
  const window = await openWindow(browser, kind, name, base);
  await timed(window.name, () => act(window));
  seen.windows.push(window.seen);
  await window.context.close();
}

// itsTurn reports whether a kind of window looks at a page: each at all of them in the long
// form, else at every second one, and the other kind at those between.
const itsTurn = (kind, i) => Boolean(process.env.LIMEKEEP_SOAK) || (i + (kind === "phone" ? 0 : 1)) % 2 === 0;

// What is done in one kind of window happens one after another; the kinds go on side
// by side, as different people's browsers do.
async function lane(kind, id) {
  await inWindow(kind, "pages", async ({ name, page }) => {
    for (const [what, path] of Object.entries(pages).filter((_, i) => itsTurn(kind, i))) {
      await page.goto(base + path);
      // With scripts a page whose figures are being worked out loads itself anew, once they are.
      if (kind === "desktop") await page.locator("main:not(:has([data-soon]))").waitFor();
      seen.looks.push({ window: name, page: what, ...(await look(page)) });
      seen.walks.push({ window: name, page: what, ...(await walk(page)) });
    }
  });
  await inWindow(kind, "codes", async ({ name, page }) => {
    await page.goto(base + pages.calendar);
    seen.codes.push(...(await readCodes(page)).map((code) => ({ window: name, ...code })));
    seen.codes.push({ window: name, ...(await readPassword(page, kind)) });
    seen.looks.push({ window: name, page: "password", ...(await look(page)) });
  });
  await inWindow(kind, "job", async ({ name, page }) => {
    const meanwhile = async (what) => seen.looks.push({ window: name, page: what, ...(await look(page)) });
    seen.jobs.push({ window: name, task: id, ...(await writeDown(page, base, id, `by ${kind}`, meanwhile)) });
  });
  await inWindow(kind, "repeats", async ({ name, page }) => {
    seen.repeats.push({ window: name, task: id, ...(await goBackAndSendAgain(page, base, id, `back on ${kind}`)) });
    seen.repeats.push({ window: name, task: id, ...(await goBackAfterMistake(page, base, id, `mistake on ${kind}`)) });
    seen.repeats.push({ window: name, task: id, ...(await sendTwice(page, base, id, `twice on ${kind}`)) });
  });
}

// The pages of tasks of every sort.
async function tasks() {
  await inWindow("phone", "tasks", async ({ name, page }) => {
    for (const id of [task, another, ...more]) {
      await page.goto(`${base}/tasks/${id}`);
      seen.tasks.push({ window: name, page: id, ...(await order(page)) });
    }
  });
  await inWindow("desktop", "a task", async ({ name, page }) => {
    await page.goto(base + pages.task);
    seen.tasks.push({ window: name, page: task, ...(await order(page)) });
  });
}

async function others() {
  await tasks();
  await timed("foreign", async () => {
    seen.foreign = await sendFromElsewhere(browser, base, task, "from elsewhere");
  });
  await timed("axe", async () => {
    seen.axe = await inspect(browser, base, pages, { desktop: "light", phone: "dark" }, process.env.LIMEKEEP_SOAK ? { all: true } : { every: 7 });
  });
  await timed("broken", async () => {
    const site = await brokenSite();
    const { context, page, seen: window } = await openWindow(browser, "phone", "broken", site.base);
    await page.goto(site.base + "/");
    seen.broken = { look: await look(page), walk: await walk(page), task: await order(page), window };
    await context.close();
    seen.broken.axe = await inspect(browser, site.base, { broken: "/" }, { desktop: "light" });
    site.close();
  });
}

await Promise.all([lane("phone", task), lane("desktop", another), others()]);
await browser.close();
process.stdout.write(JSON.stringify(seen));
