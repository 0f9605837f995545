// The browser that all drivers look with.
import { chromium } from "playwright-core";

// launch starts the browser that is installed at a path.
export function launch(executablePath) {
  return chromium.launch({
    executablePath,
    timeout: 0, // however slow the machine
    env: { ...process.env, LANGUAGE: "en_US" },
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      "--lang=en-US",
      // Whatever a page asks of another host stays on this computer.
      "--no-proxy-server",
      "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost, EXCLUDE 127.0.0.1",
    ],
  });
}
