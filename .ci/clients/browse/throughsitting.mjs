// A sitting from its begin to its end, looked at wherever it asks for something else.
const figures = { grams: "180", seconds: "20", minutes: "8.5", celsius: "92", bar: "9", setting: "14", dose_grams: "18", yield_grams: "36", shown_grams: "100", mass_grams: "100" };

// throughSitting begins the next sitting and goes it; lookAt is called at its first step of
// each kind, and at its end.
export async function throughSitting(page, base, lookAt) {
  const looked = new Set();
  const once = async (what) => {
    if (!looked.has(what)) await lookAt(`sitting: ${what}`);
    looked.add(what);
  };
  const press = async (button) => {
    await Promise.all([page.waitForEvent("load"), button.click()]);
  };
  await page.goto(base + "/");
  await press(page.getByRole("button", { name: "Begin", exact: true }));
  for (let steps = 0; steps < 200; steps++) {
    const here = page.locator(".item.here");
    if (!(await here.count())) {
      const over = page.locator(".item.runs").getByRole("button", { name: /^It is over/ });
      if (!(await over.count())) break;
      await once("all that is left waits");
      await press(over.first());
      continue;
    }
    const confirm = here.getByRole("button", { name: /^All of this is so/ });
    const clock = here.locator('form[action$="/start"] button');
    const reading = here.locator("form:has(input[inputmode=decimal][required])");
    const findings = here.locator("form.found fieldset button");
    if (await confirm.count()) {
      await once("made safe");
      await press(confirm);
    } else if (await clock.count()) {
      await once("a clock to start");
      await press(clock);
      await once("a clock that runs");
    } else if (await findings.count()) {
      await once("what was found");
      if (await here.locator("#grams").count()) await here.locator("#grams").fill("2");
      await press(findings.nth(Math.min(1, (await findings.count()) - 1)));
    } else if (await reading.count()) {
      await once("figures of a check");
      for (const input of await reading.locator("input[required]:not([type=hidden],[type=date])").all()) {
        await input.fill(figures[await input.getAttribute("name")]);
      }
      await press(reading.locator("button[type=submit]"));
    } else if (await here.locator("a.button").count()) {
      await once("a water test");
      await press(here.getByRole("button", { name: /^Leave it out/ }));
    } else {
      await once((await here.locator("form.found").count()) ? "done or not" : "a step");
      await press(here.locator("form button[type=submit]").first());
    }
  }
  await once("all ticked");
  await press(page.getByRole("button", { name: "End the sitting" }));
  await once("its end");
}
