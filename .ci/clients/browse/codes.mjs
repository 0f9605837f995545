// The QR codes of a page, read off the screen as a camera would.
import jsqr from "jsqr";
import { PNG } from "pngjs";
import { tabTo } from "./focus.mjs";
import { follow } from "./window.mjs";

// readCode takes a picture of an element and reads the code on it.
export async function readCode(element) {
  const picture = PNG.sync.read(await element.screenshot());
  const code = jsqr(new Uint8ClampedArray(picture.data), picture.width, picture.height, { inversionAttempts: "dontInvert" });
  return code?.data ?? "";
}

// readCodes opens each code of the calendar's page, by keyboard, and reads it, the
// first one in the dark as well. Beside it stands what the page says in letters.
export async function readCodes(page) {
  const codes = [];
  const all = page.locator("main details");
  for (let i = 0; i < (await all.count()); i++) {
    const details = all.nth(i);
    await details.locator("summary").focus();
    await page.keyboard.press("Enter");
    const beside = details.locator("xpath=..");
    for (const colorScheme of i === 0 ? ["light", "dark"] : ["light"]) {
      await page.emulateMedia({ colorScheme });
      codes.push({
        of: await details.getByRole("img").getAttribute("aria-label"),
        scheme: colorScheme,
        read: await readCode(details.locator("svg.qr")),
        // In a section the address of the whole comes first, in a card that of its own.
        link: await beside.locator("a.button").first().getAttribute("href"),
        shown: await beside.locator("code.address").first().innerText(),
      });
    }
    await page.emulateMedia({ colorScheme: null });
  }
  return codes;
}

// readPassword lets an app in by keyboard, and reads the code of its password.
export async function readPassword(page, app) {
  await tabTo(page, "#name");
  await page.keyboard.type(app);
  await follow(page, () => page.keyboard.press("Enter"));
  const made = page.locator(".made");
  return { of: await made.getByRole("img").getAttribute("aria-label"), scheme: "light", read: await readCode(made.locator("svg.qr")), link: "", shown: await made.locator("code.address").last().innerText() };
}
