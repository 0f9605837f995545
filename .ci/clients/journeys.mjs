// Goes the ways of people through the pages of servers, in windows of several widths,
// with scripts and without, and writes what it saw as JSON. It judges nothing:
// journeys_test.go does.
//
//   node journeys.mjs CHROMIUM FOLDER PLAN
//
// FOLDER is where printed sheets go. PLAN is a list, as JSON, of windows with the ways
// to go in each: {"name", "address", "width", "scripts", "keyboard", "ways": [...]}.
import { Hand } from "./browse/hand.mjs";
import { launch } from "./browse/launch.mjs";
import { ways } from "./browse/ways.mjs";
import { openWindow, steadily } from "./browse/window.mjs";

const [executablePath, folder, plan] = process.argv.slice(2);
const heights = { 360: 740, 768: 1024, 1280: 800 };
const browser = await launch(executablePath);

const seen = [];
for (const { name, address, width, scripts, keyboard, ways: wanted } of JSON.parse(plan)) {
  const base = new URL(address).origin;
  const phone = width < 500;
  const { context, page, seen: window } = await openWindow(browser, phone ? "phone" : "desktop", name, base, {
    viewport: { width, height: heights[width] }, deviceScaleFactor: 1, javaScriptEnabled: scripts, colorScheme: scripts ? "dark" : "light",
  });
  Object.assign(window, { window: name, scripts, keyboard, width, journeys: {} });
  context.setDefaultTimeout(1000 * (process.env.JOURNEY_SECONDS ?? 1800)); // what is not there by then never comes
  for (const way of wanted) {
    const start = performance.now();
    const hand = new Hand(page, base, keyboard, scripts);
    let went;
    try {
      went = await ways[way](hand, { folder });
    } catch (error) {
      if (page.isClosed() || String(error).includes("crashed")) throw error;
      went = { broke: `${error} at ${page.url()}`, says: "" };
    }
    const { scrollWidth, clientWidth } = await steadily(page, () => page.evaluate(() => ({ scrollWidth: document.documentElement.scrollWidth, clientWidth: document.documentElement.clientWidth })));
    window.journeys[way] = { ...went, scrollWidth, clientWidth, seconds: Math.round((performance.now() - start) / 100) / 10 };
  }
  seen.push(window);
  await context.close();
}
await browser.close();
process.stdout.write(JSON.stringify(seen));
