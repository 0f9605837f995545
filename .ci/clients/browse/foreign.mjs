// A page of another site that sends a form of ours.
import { createServer } from "node:http";
import { once } from "node:events";
import { follow } from "./window.mjs";

const escape = (text) => text.replace(/[&<>"]/g, (c) => `&#${c.charCodeAt(0)};`);

// sendFromElsewhere serves such a page under two names, of which one is the same
// site on another port and one is another site, and sends its form. All that a form
// of our own holds is in it.
export async function sendFromElsewhere(browser, base, task, note) {
  const context = await browser.newContext();
  context.setDefaultTimeout(0);
  const page = await context.newPage();
  await page.goto(`${base}/tasks/${task}`);
  const fields = { ticket: await page.locator('form[action$="/done"] [name=ticket]').inputValue(), date: await page.locator("#date").inputValue(), note };
  const inputs = Object.entries(fields).map(([name, value]) => `<input name="${name}" value="${escape(value)}">`);
  const body = `<!DOCTYPE html><title>Elsewhere</title><form method="post" action="${base}/tasks/${task}/done">${inputs.join("")}<button>Win</button></form>`;
  const server = createServer((_, answer) => answer.setHeader("Content-Type", "text/html").end(body)).listen(0, "127.0.0.1");
  await once(server, "listening");
  const seen = [];
  for (const name of ["127.0.0.1", "localhost"]) {
    await page.goto(`http://${name}:${server.address().port}/`);
    const answer = await follow(page, () => page.getByRole("button").click());
    seen.push({ from: name, to: answer.url(), status: answer.status(), says: await page.locator("main").innerText() });
  }
  await context.close();
  server.close();
  return seen;
}
