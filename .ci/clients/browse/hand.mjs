// The hand of somebody who uses the pages: by touch or pointer, or by keyboard alone
// (Tab, Enter, Space, arrows and what is typed). It counts its taps, and how far it
// went down the page and back.
import { follow, steadily } from "./window.mjs";

export class Hand {
  constructor(page, base, keyboard, scripts) {
    Object.assign(this, { page, base, keyboard, scripts, taps: 0, at: [] });
  }

  // visit goes to an address, as by a bookmark.
  async visit(path) {
    const answer = await this.page.goto(this.base + path);
    if (answer && answer.status() >= 400) throw new Error(`${answer.status()} at ${path}`);
  }

  // begin forgets what was counted.
  begin() {
    Object.assign(this, { taps: 0, at: [] });
  }

  // touch presses something that stays on its page, go what leads to another.
  async touch(locator) {
    this.taps++;
    if (this.keyboard) {
      await this.reach(locator);
      await this.page.keyboard.press("Enter");
    } else {
      await locator.click();
    }
    await this.note();
  }

  async go(locator) {
    this.taps++;
    if (this.keyboard) await this.reach(locator);
    const answer = await follow(this.page, () => (this.keyboard ? this.page.keyboard.press("Enter") : locator.click()));
    if (answer.status() >= 400) {
      const alert = this.page.locator("[role=alert]");
      throw new Error(`${answer.status()} at ${answer.url()}: ${(await alert.count()) ? await alert.innerText() : await this.says()}`);
    }
  }

  async fill(locator, text) {
    if (this.keyboard) {
      await this.reach(locator);
      if ((await locator.getAttribute("type")) === "date") {
        const [year, month, day] = text.split("-"); // typed in the order of en-US
        await this.page.keyboard.type(month + day + year);
      } else {
        await this.page.keyboard.press("Control+A");
        await this.page.keyboard.type(text);
      }
    } else {
      await locator.fill(text);
    }
    await this.note();
  }

  // choose takes the entry of a list that has a value.
  async choose(locator, value) {
    if (this.keyboard) {
      await this.reach(locator);
      const steps = await locator.evaluate((list, value) => [...list.options].findIndex((o) => o.value === value) - list.selectedIndex, value);
      for (let i = 0; i < Math.abs(steps); i++) await this.page.keyboard.press(steps > 0 ? "ArrowDown" : "ArrowUp");
    } else {
      await locator.selectOption(value);
    }
    if ((await locator.inputValue()) !== value) throw new Error(`${value} cannot be chosen`);
    await this.note();
  }

  // pick takes one of several radio buttons.
  async pick(locator) {
    if (!this.keyboard) {
      await locator.check();
      return;
    }
    const name = await locator.getAttribute("name");
    await this.reach(this.page.locator(`input[type=radio][name="${name}"]`).first());
    await this.page.keyboard.press("Space");
    for (let i = 0; i < 50 && !(await locator.isChecked()); i++) await this.page.keyboard.press("ArrowDown");
  }

  // reach holds Tab down until something is in focus, and opens what it is folded away in.
  async reach(locator) {
    await steadily(this.page, () => this.reachOnce(locator));
  }

  async reachOnce(locator) {
    const wanted = await locator.elementHandle();
    await this.skip(wanted);
    for (;;) {
      const fold = await wanted.evaluateHandle((e) => {
        let outer = null;
        for (let d = e.parentElement; d; d = d.parentElement) {
          if (d.matches("details:not([open])") && !d.querySelector(":scope > summary")?.contains(e)) outer = d;
        }
        return outer?.querySelector(":scope > summary") ?? null;
      });
      if (!fold.asElement()) break;
      await this.tabTo(fold.asElement());
      await this.page.keyboard.press("Enter");
    }
    await this.tabTo(wanted);
  }

  // skip takes the link to the content on a page that was just come to, as whoever goes by
  // keyboard does, where that is on the way.
  async skip(wanted) {
    if (!(await wanted.evaluate((e) => document.activeElement === document.body && e.closest("main") !== null && scrollY === 0))) return;
    await this.page.keyboard.press("Tab");
    if (await this.page.evaluate(() => document.activeElement.matches(".skip"))) await this.page.keyboard.press("Enter");
  }

  async tabTo(element) {
    for (let stops = 0; stops < 3000; stops++) {
      if (await element.evaluate((e) => e === document.activeElement)) {
        await this.page.keyboard.up("Tab");
        return;
      }
      await this.page.keyboard.down("Tab"); // held, so that it comes again and again
    }
    throw new Error(`Tab never comes to ${await element.evaluate((e) => e.outerHTML.slice(0, 100))} on ${this.page.url()}`);
  }

  // note keeps where on the page the hand is.
  async note() {
    this.at.push(await steadily(this.page, () => this.page.evaluate(() => Math.round(scrollY))));
  }

  // shown reports whether something can be seen without scrolling.
  async shown(locator) {
    return steadily(this.page, () => locator.evaluate((e) => e.getBoundingClientRect().top >= 0 && e.getBoundingClientRect().bottom <= innerHeight));
  }

  async says() {
    return (await this.page.locator("main").innerText()).trim();
  }

  // until looks at the page again until something is there: pages may be from before
  // what was written down last, and say so. With scripts such a page loads itself anew,
  // and a second load at the same time would break the first off.
  async until(locator) {
    let looks = 0;
    for (let pause = 200; !(await locator.count()); pause = Math.min(2 * pause, 3000)) {
      if (looks++ > 500) throw new Error(`${locator} never comes`);
      await this.page.waitForTimeout(pause); // so that what is worked out has the machine
      if (this.scripts && (await this.page.locator("[data-soon]").count())) continue;
      await this.page.reload().catch((error) => {
        // Since it was asked what it waits for, a page with scripts may have begun to load itself.
        if (!this.scripts || !String(error).includes("Not attached to an active page")) throw error;
      });
    }
  }
}
