// Goes from nothing to a subscribed calendar and a first service, on a phone of 360 by
// 740 pixels without scripts, and writes what it saw as JSON. It judges nothing:
// firstday_test.go does.
//
//   node firstday.mjs CHROMIUM ADDRESS
import { Inspector } from "./browse/axe.mjs";
import { launch } from "./browse/launch.mjs";

const [executablePath, address] = process.argv.slice(2);
const browser = await launch(executablePath);
const context = await browser.newContext({ viewport: { width: 360, height: 740 }, javaScriptEnabled: false, isMobile: true, hasTouch: true });
context.setDefaultTimeout(0);
const page = await context.newPage();
const seen = { questions: [], wide: [], errors: [], axe: [] };
page.on("response", (r) => { if (r.status() >= 400) seen.errors.push(`${r.status()} ${r.url()}`); });

// look notes where the page is wider than the phone, and what is too low to touch.
async function look() {
  const box = await page.evaluate(() => {
    const main = document.querySelector("main").getBoundingClientRect();
    const controls = [...document.querySelectorAll("button, label.option, .button")].filter((c) => c.checkVisibility({ visibilityProperty: true })); // others are folded away
    const shown = controls.map((c) => c.getBoundingClientRect()).filter((c) => c.height > 0);
    return { controls: shown.length, least: Math.min(...shown.map((c) => c.height)), most: Math.max(main.right, ...shown.map((c) => c.right)) };
  });
  if (box.controls === 0 || !(box.most <= 360) || !(box.least >= 24)) seen.wide.push({ page: page.url(), ...box });
}

const answers = { cups: "12", milk: "4", hardness: "16 dH", name: "The office" };
const choices = { layout: "two boilers", supply: "mains", came: "used", water: "test", filter: "softener", grinder: "motor" };

// The rules of axe-core over what is asked, in both themes.
const inspector = new Inspector(browser, address, { desktop: "light", phone: "dark" });
const rules = async (pages) => seen.axe.push(...(await inspector.inspect(pages)));
await rules({ choice: "/setup", mistake: "/setup?layout=two+boilers&supply=tank&groups=1&setting=home&came=new&asked=since&since=soon" });

await page.goto(address);
while (await page.locator("form.asking").count()) {
  const id = await page.locator('input[name="asked"]').inputValue();
  await look();
  const costs = (await page.locator("form.asking > .hint").last().innerText()).trim();
  seen.questions.push({ id, ask: (await page.locator("h1").innerText()).trim(), costs });
  if (seen.questions.length > 40) break;
  if (answers[id]) {
    await page.locator("#what").fill(answers[id]);
    await page.getByRole("button", { name: "Next" }).click();
  } else if (choices[id]) {
    await page.locator(`input[type="radio"][value="${choices[id]}"]`).check();
    await page.getByRole("button", { name: "Next" }).click();
  } else {
    await page.getByRole("button", { name: "I don’t know" }).click();
  }
  if (id === "supply") { // put away and come back to: the address holds the answers
    const kept = page.url();
    await page.goto("about:blank");
    await page.goto(kept);
  }
}
await look();
await rules({ review: new URL(page.url()).pathname + new URL(page.url()).search });
seen.review = await page.locator("main").innerText();
await page.getByRole("button", { name: "Set it up" }).click();
await look();
seen.setUp = await page.locator("main").innerText();
await rules({ setup: new URL(page.url()).pathname + new URL(page.url()).search });
await page.getByRole("link", { name: "Subscribe to the calendar" }).click();
await look();
seen.calendar = await page.locator("main").innerHTML();
await page.goto(new URL("/tasks/machine/backflush-detergent/group", address).href);
await page.locator('form[action$="/done"] button[type="submit"]').click();
await look();
seen.service = await page.locator("main").innerText();
await browser.close();
console.log(JSON.stringify(seen));
