// A window on the pages: its size, whether scripts run in it, and a record of what
// went wrong in it.

// kinds are the windows that the pages are looked at in: a phone held upright, with
// scripts switched off, and a desktop.
export const kinds = {
  phone: { viewport: { width: 360, height: 740 }, deviceScaleFactor: 3, isMobile: true, hasTouch: true, javaScriptEnabled: false },
  desktop: { viewport: { width: 1280, height: 800 } },
};

// openWindow opens a window of a kind with nothing kept from another. In what it
// has seen stand all complaints of the console, among them breaches of the content
// policy; requests that went elsewhere than to the server at base; requests that
// failed; and answers with the status of an error.
export async function openWindow(browser, kind, name, base, more = {}) {
  const context = await browser.newContext({ locale: "en-US", ...kinds[kind], ...more });
  context.setDefaultTimeout(0); // however slow the machine
  const seen = { window: `${kind}: ${name}`, scripts: kinds[kind].javaScriptEnabled !== false, console: [], elsewhere: [], failed: [], refused: [], requests: 0 };
  context.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") {
      seen.console.push(message.text());
    }
  });
  context.on("weberror", (error) => seen.console.push(String(error.error())));
  context.on("request", (request) => {
    seen.requests++;
    if (new URL(request.url()).origin !== base) {
      seen.elsewhere.push(request.url());
    }
  });
  context.on("requestfailed", (request) => {
    // A page that is left before its icon has come stops asking for it.
    if (!(request.url() === `${base}/static/icon.svg` && request.failure().errorText === "net::ERR_ABORTED")) {
      seen.failed.push(`${request.url()}: ${request.failure().errorText}`);
    }
  });
  context.on("response", (response) => {
    if (response.status() >= 400) {
      seen.refused.push(`${response.status()} ${new URL(response.url()).pathname}`);
    }
  });
  return { name: seen.window, context, page: await context.newPage(), seen };
}

// left reports whether something failed because its page was left for another one, or
// loaded itself anew: with scripts a page does so once what it waits for is worked out.
export const left = (error) => /Execution context was destroyed|not attached|Element is not connected|JSHandle is disposed|Cannot find context/.test(String(error));

// steadily asks something of a page, and asks again where the page was left meanwhile.
export async function steadily(page, ask) {
  for (let asked = 1; ; asked++) {
    try {
      return await ask();
    } catch (error) {
      if (!left(error) || asked === 20) throw error;
      await page.waitForLoadState("load");
    }
  }
}

// follow does what loads another page, and gives the answer that it came with.
export async function follow(page, act) {
  const [answer] = await Promise.all([
    page.waitForResponse((r) => r.request().isNavigationRequest() && (r.status() < 300 || r.status() >= 400)),
    page.waitForEvent("load"),
    act(),
  ]);
  return answer;
}
