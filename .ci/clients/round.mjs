// Goes a technician's week through the pages of a server of several places, on a phone of
// 360 by 740 pixels without scripts: in by an invitation, round, load list, booking, the
// visit with a finding, its report signed and printed. Then somebody of the staff looks.
// It judges nothing: roundbrowser_test.go does.
//
//   node round.mjs CHROMIUM ADDRESS TECHNICIAN STAFF FOLDER
//
// TECHNICIAN and STAFF are paths of invitations; FOLDER is where printed sheets go.
import { launch } from "./browse/launch.mjs";
import { openWindow, follow } from "./browse/window.mjs";
import { printed } from "./browse/printed.mjs";

const [executablePath, address, technician, staff, folder] = process.argv.slice(2);
const base = new URL(address).origin;
const browser = await launch(executablePath);
const seen = { pages: [], sheets: [], menus: {}, windows: [] };

// walk opens a phone and lets somebody walk with it.
async function walk(name, steps) {
  const { context, page, seen: window } = await openWindow(browser, "phone", name, base);
  const look = async (what) => {
    const { scrollWidth, clientWidth } = await page.evaluate(() => ({ scrollWidth: document.documentElement.scrollWidth, clientWidth: document.documentElement.clientWidth }));
    seen.pages.push({ what, scrollWidth, clientWidth, address: page.url().slice(base.length), text: await page.locator("main").innerText() });
  };
  const visit = async (path, what) => {
    await page.goto(base + path);
    await look(what);
  };
  const press = async (locator, what) => {
    const answer = await follow(page, () => locator.first().click());
    if (answer.status() >= 400) throw new Error(`${answer.status()} at ${answer.url()}: ${await page.locator("main").innerText()}`);
    if (what) await look(what);
  };
  await steps({ page, look, visit, press });
  seen.menus[name] = await page.locator("header nav a").allInnerTexts();
  seen.windows.push(window);
  await context.close();
}

await walk("technician", async ({ page, visit, press }) => {
  await visit(technician, "invited");
  await press(page.getByRole("button", { name: "Come in on this device" }), "places");
  await press(page.getByRole("link", { name: "Round", exact: true }), "round");
  await press(page.getByRole("link", { name: "What to load" }), "load");
  await press(page.getByRole("link", { name: "Round", exact: true }));
  await press(page.getByRole("button", { name: /^Book it: the visit/ }), "booked");
  await press(page.getByRole("link", { name: /^Move or withdraw/ }), "visit");
  await press(page.getByRole("button", { name: "What would that risk?" }), "risk");
  await press(page.getByRole("button", { name: "Begin the visit" }));
  // Each step by the first button that the page offers, until something was found.
  for (let step = 0; step < 60; step++) {
    const here = page.locator("li.here");
    if (!(await here.count())) break;
    const found = here.locator('form[action$="/done"] button[name=finding]:not([value=""])');
    if (await found.count()) {
      await here.locator("details", { hasText: "Add a note" }).locator("summary").click();
      await here.locator("textarea[name=note]").fill("by torch, 2.5 mm");
      await press(found, "found");
      break;
    }
    const leave = here.getByRole("button", { name: /^Leave it out/ });
    const tick = here.locator('form[action$="/tick"] button, form[action$="/start"] button');
    const plain = here.locator('form[action$="/done"] .taps button, form.found > button');
    await press((await tick.count()) ? tick : (await plain.count()) ? plain : leave);
  }
  await press(page.getByRole("button", { name: "End the sitting" }), "ended");
  await page.getByLabel("Name of whoever signs").fill("K. Berg");
  await press(page.getByRole("button", { name: "Sign the report" }), "report");
  const path = new URL(page.url()).pathname.replace("/reports/", "/print/visit/");
  await page.goto(base + path);
  seen.sheets.push(...(await printed(page, "report", folder)));
  await visit("/van", "van");
});

await walk("staff", async ({ page, visit, press }) => {
  await visit(staff, "invited to routine");
  await press(page.getByRole("button", { name: "Come in on this device" }), "staff");
});

await browser.close();
process.stdout.write(JSON.stringify(seen));
