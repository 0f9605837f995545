// The main job: a task is written down as done, by keyboard alone.
import { tabTo, unfold } from "./focus.mjs";
import { follow } from "./window.mjs";

const submit = 'main form[action$="/done"] button[type=submit]';
const press = (page, key) => follow(page, () => page.keyboard.press(key));

// typeDay types a day into the input of a day that is in focus, which takes its
// parts in the order of the browser's language: here month, day, year.
async function typeDay(page, day) {
  const [year, month, date] = day.split("-");
  await page.keyboard.type(month + date + year);
}

const values = (page) =>
  page.evaluate(() => Object.fromEntries(["date", "finding", "note"].map((id) => [id, document.getElementById(id).value])));

// writeDown goes from the list to a task, gives a day to come, is told so, puts it
// right, and looks for the record in the history. It calls meanwhile with what is
// shown on the way.
export async function writeDown(page, base, task, note, meanwhile) {
  const seen = {};
  await page.goto(base + "/");
  await unfold(page, `a[href="/tasks/${task}"]`);
  await tabTo(page, `a[href="/tasks/${task}"]`);
  await press(page, "Enter");
  const today = await page.locator("#date").inputValue();
  const future = `${Number(today.slice(0, 4)) + 1}${today.slice(4, 7)}-15`;
  await tabTo(page, "#date");
  await typeDay(page, future);
  await tabTo(page, "#finding");
  await page.keyboard.press("ArrowDown");
  await tabTo(page, "#note");
  await page.keyboard.type(note);
  seen.filled = await values(page);
  await tabTo(page, submit);
  seen.mistake = (await press(page, "Enter")).status();
  seen.kept = await values(page);
  seen.problem = await page.evaluate(() => {
    const input = document.getElementById("date");
    const text = document.getElementById(input.getAttribute("aria-describedby"));
    return { invalid: input.getAttribute("aria-invalid"), text: text.textContent, sameField: text.closest(".field") === input.closest(".field"), summary: document.querySelector("[role=alert]").textContent };
  });
  await meanwhile("mistake");

  // By the link of the message to its input, which is in focus then.
  await tabTo(page, '.problems a[href="#date"]');
  await page.keyboard.press("Enter");
  seen.jumped = await page.evaluate(() => document.activeElement.id);
  await typeDay(page, today);
  await tabTo(page, submit);
  const answer = await press(page, "Enter");
  seen.status = answer.status();
  seen.url = page.url();
  seen.today = today;
  // Beside it may stand that a newer forecast is being worked out.
  seen.notice = await page.locator("[role=status]", { hasText: /Written down as/ }).innerText();
  seen.finding = seen.filled.finding;
  await meanwhile("written");

  await tabTo(page, 'nav a[href="/history"]');
  await press(page, "Enter");
  const record = new URL(seen.url).searchParams.get("written");
  seen.history = await page.locator("tbody tr", { has: page.locator("th", { hasText: new RegExp(`^${record}$`) }) }).allInnerTexts();
  await meanwhile("history with it");
  return seen;
}

// fill fills the form of a task in, but for the day, which is today's already.
async function fill(page, base, task, note) {
  await page.goto(`${base}/tasks/${task}`);
  await tabTo(page, "#note");
  await page.keyboard.type(note);
}

// goBackAndSendAgain writes a task down, goes back as the browser's button does, and
// sends the same form once more.
export async function goBackAndSendAgain(page, base, task, note) {
  await fill(page, base, task, note);
  await tabTo(page, submit);
  await press(page, "Enter");
  const first = page.url();
  await page.goBack();
  const back = { url: page.url(), note: await page.locator("#note").inputValue() };
  await page.locator("#note").focus();
  await tabTo(page, submit);
  await press(page, "Enter");
  return { how: "back", note, first, back: back.url, kept: back.note, second: page.url() };
}

// goBackAfterMistake gives a day to come, puts it right on the page that says so,
// goes back to that page and to the form before it, and sends the form from both
// once more.
export async function goBackAfterMistake(page, base, task, note) {
  await fill(page, base, task, note);
  const today = await page.locator("#date").inputValue();
  const send = async (day) => {
    await page.locator("#date").fill(day);
    await follow(page, () => page.locator(submit).click());
    return page.url();
  };
  await send(`${Number(today.slice(0, 4)) + 1}-01-15`);
  const first = await send(today);
  await page.goBack();
  const again = await send(today);
  await page.goBack();
  await page.goBack();
  const back = { url: page.url(), note: await page.locator("#note").inputValue() };
  const second = await send(today);
  return { how: "back after a mistake", note, first, again, back: back.url, kept: back.note, second };
}

// sendTwice sends a form into another tab, stays, and sends it again.
export async function sendTwice(page, base, task, note) {
  await fill(page, base, task, note);
  const opened = page.context().waitForEvent("page");
  await page.locator(submit).click({ modifiers: ["Control"] });
  const tab = await opened;
  await tab.waitForURL(/written=/);
  const first = tab.url();
  await tab.close();
  await follow(page, () => page.locator(submit).click());
  return { how: "twice", note, first, back: "", kept: note, second: page.url() };
}
