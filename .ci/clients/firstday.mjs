// Goes from nothing to a subscribed calendar and a first service, on a phone of 360 by
// 740 pixels without scripts, and writes what it saw as JSON. It judges nothing:
// firstday_test.go does.
//
//   node firstday.mjs CHROMIUM ADDRESS
import { inspect } from "./browse/axe.mjs";
import { launch } from "./browse/launch.mjs";

const [executablePath, address] = process.argv.slice(2);
const browser = await launch(executablePath);
const context = await browser.newContext({ viewport: { width: 360, height: 740 }, javaScriptEnabled: false, isMobile: true, hasTouch: true });
context.setDefaultTimeout(0);
const page = await context.newPage();
const seen = { questions: [], wide: [], errors: [], axe: [] };
page.on("response", (r) => { if (r.status() >= 400) seen.errors.push(`${r.status()} ${r.url()}`); });

// look notes where the page is wider than the phone.
async function look() {
  const box = await page.locator("main").boundingBox();
  const controls = await page.locator("button, label.option, .button").all();
  let least = 1000, most = box.x + box.width;
  for (const c of controls) {
    const b = await c.boundingBox();
    if (!b || b.height === 0) continue; // folded away
    least = Math.min(least, b.height);
    most = Math.max(most, b.x + b.width);
  }
  if (most > 360 || least < 24) seen.wide.push({ page: page.url(), most, least });
}

const answers = { cups: "12", milk: "4", hardness: "16 dH", name: "The office" };
const choices = { layout: "two boilers", supply: "mains", came: "used", water: "test", filter: "softener", grinder: "motor" };

// The rules of axe-core over what is asked, in both themes.
const rules = async (pages) => seen.axe.push(...(await inspect(browser, address, pages, { desktop: "light", phone: "dark" })));
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
