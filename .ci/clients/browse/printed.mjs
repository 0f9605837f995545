// printed prints a page as PDF on both papers, and tells what it looks like on them: how wide,
// in which ink on which paper, whether with the menu.
export async function printed(page, what, folder) {
  const sheets = [];
  const size = page.viewportSize();
  await page.emulateMedia({ media: "print" });
  for (const [format, width] of Object.entries({ A4: 680, Letter: 703 })) { // less 15 mm at either side, in CSS pixels
    await page.setViewportSize({ width, height: 900 });
    const shape = await page.evaluate(() => ({ scrollWidth: document.documentElement.scrollWidth, clientWidth: document.documentElement.clientWidth, menu: getComputedStyle(document.querySelector("header nav")).display, paper: getComputedStyle(document.body).backgroundColor, ink: getComputedStyle(document.body).color }));
    const file = `${folder}/${what}-${format}-${Math.random().toString(36).slice(2)}.pdf`;
    const text = await page.locator("body").innerText();
    await page.pdf({ path: file, format, preferCSSPageSize: false, margin: { top: "15mm", bottom: "15mm", left: "15mm", right: "15mm" } });
    sheets.push({ what, format, file, text, ...shape });
  }
  await page.setViewportSize(size);
  await page.emulateMedia({ media: null });
  return sheets;
}
