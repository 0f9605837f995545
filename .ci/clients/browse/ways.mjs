// The ways that people go through the pages, from begin to end. Each is given a hand,
// and returns what it saw; says is the page at its end.
import { readCode } from "./codes.mjs";
import { printed } from "./printed.mjs";
import { steadily } from "./window.mjs";

const sendButton = (page) => page.locator("main form[method=post] button[type=submit]").last();

// recordIn is the number of the record that a page says was written.
async function recordIn(page) {
  const notice = await page.locator("[role=status]", { hasText: /Written down as record/ }).innerText();
  return /Written down as record (\d+)/.exec(notice)[1];
}

// takeBack takes a record back that a page offers to take back.
async function takeBack(hand, link) {
  await hand.go(link);
  await hand.go(sendButton(hand.page));
}

export const ways = {
  // The routine of today in one tap, and taken back where it says so.
  async routine(hand) {
    const { page } = hand;
    const done = page.locator("section.routine > form.round button");
    await hand.visit("/");
    const seen = { screens: await steadily(page, () => page.evaluate(() => document.documentElement.scrollHeight / innerHeight)) };
    await hand.until(done);
    hand.begin();
    await hand.go(done.first());
    Object.assign(seen, { taps: hand.taps, record: await recordIn(page), written: await hand.says() });
    await takeBack(hand, page.getByRole("link", { name: "Take it back" }).first());
    return { ...seen, says: await hand.says() };
  },

  // A backflush in two taps from Now, taken back in the history.
  async backflush(hand) {
    const { page } = hand;
    await hand.visit("/");
    hand.begin();
    await hand.go(page.getByRole("link", { name: "Something was done" }));
    await hand.go(page.getByRole("button", { name: /^Done today ?: Backflush with detergent$/ }).first());
    const seen = { taps: hand.taps, record: await recordIn(page), written: await hand.says() };
    await hand.go(page.getByRole("navigation", { name: "Pages", exact: true }).getByRole("link", { name: "History" }));
    await takeBack(hand, page.getByRole("link", { name: `Take back record ${seen.record}`, exact: true }));
    return { ...seen, says: await hand.says() };
  },

  // A descaling is written down with what was found, without scrolling back.
  async descaling(hand) {
    const { page } = hand;
    await hand.visit("/tasks/machine/descale/brew");
    const record = page.locator('a.button[href="#record"]');
    const seen = { inSight: await hand.shown(record) };
    hand.begin();
    await hand.touch(record);
    seen.form = await hand.shown(page.locator("#finding"));
    await hand.choose(page.locator("#finding"), "film");
    await hand.fill(page.locator("#grams"), "1.5");
    await hand.fill(page.locator("#note"), "1.250 g on the scale, 3.5 litres drawn");
    await hand.go(page.locator('main form[action$="/done"] button[type=submit]'));
    Object.assign(seen, { at: hand.at, record: await recordIn(page) });
    return { ...seen, says: await hand.says() };
  },

  async waterTest(hand) {
    const { page } = hand;
    await hand.visit("/water");
    await hand.go(page.getByRole("link", { name: "Write down a water test" }).first());
    await hand.choose(page.locator("#unit-1"), "dH");
    await hand.fill(page.locator("#value-1"), "1300");
    // What no water can have is said while it is typed, where scripts run.
    const said = page.locator("fieldset.measured").first().locator(".said");
    const seen = { said: (await said.count()) ? await said.innerText() : "" };
    await hand.fill(page.locator("#value-1"), "13");
    await hand.choose(page.locator("#unit-2"), "dH");
    await hand.fill(page.locator("#value-2"), "10,5");
    await hand.go(sendButton(page));
    return { ...seen, record: await recordIn(page), says: await hand.says() };
  },

  // A sitting from begin to end with findings and figures, stopped in between.
  async sitting(hand) {
    const { page } = hand;
    const seen = { steps: 0, confirmed: 0, found: 0, read: 0, done: 0, waited: 0 };
    const figures = { grams: "180", seconds: "20", minutes: "8.5", celsius: "92", bar: "9", setting: "14", dose_grams: "18", yield_grams: "36", shown_grams: "100", mass_grams: "100" };
    await hand.visit("/");
    await hand.go(page.getByRole("button", { name: "Begin", exact: true }));
    for (; seen.steps < 400; seen.steps++) {
      if (seen.steps === 3) { // stopped, and gone on with from Now
        await hand.visit("/");
        await hand.go(page.getByRole("link", { name: "Go on" }));
      }
      const here = page.locator(".item.here");
      if (!(await here.count())) { // all that is left waits for a clock
        const over = page.locator(".item.runs").getByRole("button", { name: /^It is over/ });
        if (!(await over.count())) break;
        await hand.go(over.first());
        continue;
      }
      const confirm = here.getByRole("button", { name: /^All of this is so/ });
      const clock = here.locator('form[action$="/start"] button');
      const reading = here.locator('form:has(input[inputmode=decimal][required])');
      const findings = here.locator("form.found fieldset button");
      if (await confirm.count()) {
        await hand.go(confirm);
        seen.confirmed++;
      } else if (await clock.count()) {
        await hand.go(clock);
        seen.waited++;
        seen.left ??= await page.locator("[data-left]").first().innerText();
      } else if (await findings.count()) {
        if (await here.locator("#grams").count()) await hand.fill(here.locator("#grams"), "2");
        await hand.go(findings.nth(Math.min(1, (await findings.count()) - 1)));
        seen.found++;
      } else if (await reading.count()) {
        for (const input of await reading.locator("input[required]:not([type=hidden],[type=date])").all()) {
          await hand.fill(input, figures[await input.getAttribute("name")]);
        }
        await hand.go(reading.locator("button[type=submit]"));
        seen.read++;
      } else if (await here.locator("a.button").count()) { // a water test, on a page of its own
        await hand.go(here.getByRole("button", { name: /^Leave it out/ }));
      } else {
        if (await here.locator("form.found").count()) seen.done++;
        await hand.go(here.locator("form button[type=submit]").first());
      }
    }
    await hand.go(page.getByRole("button", { name: "End the sitting" }));
    return { ...seen, parts: await page.locator("main h2").allInnerTexts(), says: await hand.says() };
  },

  async comparing(hand) {
    const { page } = hand;
    await hand.visit("/water");
    await hand.go(page.getByRole("link", { name: "Compare waters and treatments" }));
    await hand.fill(page.locator("#bypass"), "0 40");
    await hand.go(page.getByRole("button", { name: "Compare" }));
    await hand.until(page.getByRole("region", { name: "Waters beside each other" }));
    return { rows: await page.locator("tbody tr").count(), says: await hand.says() };
  },

  // Another day says its risk before anything is moved; then the task is free again.
  async moving(hand) {
    const { page } = hand;
    await hand.visit("/tasks/machine/group-gasket/group");
    const today = await page.locator("#date").inputValue();
    const to = new Date(Date.parse(today) + 40 * 86400e3).toISOString().slice(0, 10);
    await hand.fill(page.locator("#day"), to);
    await hand.go(page.getByRole("button", { name: "What would that risk?" }));
    const seen = { to, risk: await page.locator("#asked").innerText() };
    await hand.go(page.locator("#asked").getByRole("button"));
    seen.moved = await hand.says();
    await hand.until(page.getByRole("button", { name: "Free again" }));
    await hand.go(page.getByRole("button", { name: "Free again" }));
    return { ...seen, says: await hand.says() };
  },

  async limit(hand) {
    const { page } = hand;
    await hand.visit("/tasks/machine/group-gasket/group");
    if (!hand.keyboard) await hand.touch(page.locator("details.folded summary", { hasText: "Change the limit" }));
    await hand.fill(page.locator("#limit-usual"), "1500");
    await hand.go(page.getByRole("button", { name: "Change it" }));
    const seen = { changed: await hand.says() };
    const back = page.getByRole("button", { name: "The catalogue’s limit again" });
    await hand.until(back);
    await hand.go(back);
    return { ...seen, says: await hand.says() };
  },

  // What the code on a label leads to is ready to record.
  async label(hand) {
    const { page } = hand;
    await hand.visit("/labels");
    const labels = page.locator(".labels li");
    const seen = { labels: await labels.count(), codes: [] };
    for (const label of await labels.all()) seen.codes.push(await readCode(label.locator("svg.qr")));
    await page.goto(seen.codes.find((code) => code.endsWith("/machine")));
    const done = page.getByRole("button", { name: /^Done today/ }).first();
    seen.inSight = await hand.shown(done);
    await hand.go(done);
    const record = await recordIn(page);
    const says = await hand.says();
    await takeBack(hand, page.getByRole("link", { name: "Take it back" }).first());
    return { ...seen, record, says };
  },

  async subscribing(hand) {
    const { page } = hand;
    await hand.visit("/");
    await hand.go(page.getByRole("link", { name: "Calendar and apps" }));
    const link = await page.locator('a.button[href^="webcal:"]').first().getAttribute("href");
    const answer = await page.request.get(link.replace(/^webcal/, "http"));
    return { status: answer.status(), type: answer.headers()["content-type"], says: (await answer.text()).slice(0, 4000) };
  },

  // What is to be printed, reached from the pages, as PDF on both papers.
  async printing(hand, { folder }) {
    const { page } = hand;
    const seen = { sheets: [] };
    for (const [what, path] of Object.entries({ sitting: "/print/sitting", plan: "/print/plan", report: "/print/report/machine", labels: "/labels" })) {
      await hand.visit(path);
      if (what === "report") { // what was to be expected before is worked out
        await hand.until(page.locator("main:not(:has([data-soon]))"));
      }
      seen.sheets.push(...(await printed(page, what, folder)));
    }
    return { ...seen, says: "" };
  },

  // The order of dates and the decimal comma; what somebody typed stays as it was typed.
  async dates(hand) {
    const { page } = hand;
    await hand.visit("/tasks/machine/group-gasket/group");
    await hand.fill(page.locator("#note"), "2.5 mm left on 3 Jan 2026");
    await hand.go(page.locator('main form[action$="/done"] button[type=submit]'));
    const record = await recordIn(page);
    await hand.visit("/dates");
    await hand.choose(page.locator("#order"), "year");
    await hand.choose(page.locator("#decimal"), "comma");
    await hand.go(page.getByRole("button", { name: "Write them so" }));
    const seen = { record, chosen: await hand.says() };
    const row = async (path) => {
      await hand.visit(path);
      const line = page.locator(":is(tr, li)", { has: page.getByRole("link", { name: `Take back record ${record}`, exact: true }) });
      await hand.until(line);
      return line.first().innerText();
    };
    seen.history = await row("/history");
    seen.task = await row("/tasks/machine/group-gasket/group");
    await takeBack(hand, page.getByRole("link", { name: `Take back record ${record}`, exact: true }));
    await page.context().clearCookies();
    return { ...seen, says: await hand.says() };
  },

  // From nothing to a place, with questions alone.
  async setUp(hand) {
    const { page } = hand;
    const typed = { cups: "12", milk: "4", hardness: "16 dH", name: "The office" };
    const picked = { layout: "two boilers", supply: "mains", came: "used", water: "test", filter: "softener", grinder: "motor" };
    const seen = { asked: [] };
    await hand.visit("/");
    while (await page.locator("form.asking").count()) {
      const id = await page.locator('input[name="asked"]').inputValue();
      seen.asked.push(id);
      if (seen.asked.length > 40) break;
      if (typed[id]) await hand.fill(page.locator("#what"), typed[id]);
      else if (picked[id]) await hand.pick(page.locator(`input[type="radio"][value="${picked[id]}"]`));
      await hand.go(page.getByRole("button", { name: typed[id] || picked[id] ? "Next" : "I don’t know" }));
    }
    await hand.go(page.getByRole("button", { name: "Set it up" }));
    seen.setUp = await hand.says();
    await hand.go(page.getByRole("link", { name: "What is to be done now" }));
    return { ...seen, says: await hand.says() };
  },
};
