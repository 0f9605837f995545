// The names that controls have for those who do not see them, from the browser's
// own accessibility tree (WCAG 2.2, 4.1.2), and the labels of inputs (3.3.2).

// roles are those that need a name, as the browser calls them.
const roles = new Set(["button", "link", "textbox", "searchbox", "combobox", "listbox", "checkbox", "radio", "switch", "slider", "spinbutton", "Date", "DisclosureTriangle", "image"]);

export async function names(page) {
  const session = await page.context().newCDPSession(page);
  const { nodes } = await session.send("Accessibility.getFullAXTree");
  await session.detach();
  const controls = nodes.filter((n) => !n.ignored && roles.has(n.role?.value));
  const named = {};
  for (const n of controls) {
    named[n.role.value] = (named[n.role.value] ?? 0) + 1;
  }
  const nameless = controls.filter((n) => !n.name?.value?.trim()).map((n) => n.role.value);
  return { named, nameless, ...(await page.evaluate(labels)) };
}

// labels counts the inputs that are shown and lists those without a label, in the
// page.
function labels() {
  const inputs = [...document.querySelectorAll("input:not([type=hidden]), select, textarea")];
  const bare = inputs.filter((i) => ![...i.labels].some((l) => l.checkVisibility() && l.textContent.trim()) && !i.getAttribute("aria-label"));
  return { inputs: inputs.length, unlabelled: bare.map((i) => i.outerHTML.slice(0, 100)) };
}
