// Pictures of pages, laid out beside each other so that many can be looked at at once.
import { mkdir, writeFile } from "node:fs/promises";

// How wide a column of a sheet is for a window's width, and how many stand side by side.
const columns = { 360: [360, 4], 768: [500, 3], 1280: [740, 2] };
const tall = 1500; // of a sheet, in pixels; a longer page goes on in the next column

export class Sheets {
  constructor(browser, folder) {
    Object.assign(this, { browser, folder, kept: new Map() });
  }

  // add keeps the picture of a page for the sheets of a name.
  async add(sheet, width, what, png) {
    if (!this.kept.has(sheet)) this.kept.set(sheet, { width, shots: [] });
    this.kept.get(sheet).shots.push({ what, png });
  }

  // finish lays out what was added since the last time.
  async finish() {
    await mkdir(this.folder, { recursive: true });
    const page = await this.browser.newPage();
    for (const [name, { width, shots }] of this.kept) {
      const [column, inARow] = columns[width];
      const cuts = [];
      for (const { what, png } of shots) {
        // The header of a PNG (ISO/IEC 15948, 11.2.2) has its height.
        const height = (png.readUInt32BE(20) * column) / width;
        for (let top = 0; top < height; top += tall) {
          cuts.push(`<figure><figcaption>${what}${top ? `, on from ${Math.round(top)}` : ""}</figcaption><div style="height:${Math.min(tall, height - top)}px;background:url(data:image/png;base64,${png.toString("base64")}) 0 ${-top}px/${column}px auto"></div></figure>`);
        }
      }
      for (let i = 0; i < cuts.length; i += inARow) {
        await page.setViewportSize({ width: inARow * (column + 12), height: 400 });
        await page.setContent(`<style>body{margin:0;background:#8a8f94;display:flex;gap:12px;align-items:flex-start;font:12px sans-serif}figure{margin:0;width:${column}px}</style>${cuts.slice(i, i + inARow).join("")}`);
        await writeFile(`${this.folder}/${name}-${String(i / inARow + 1).padStart(2, "0")}.png`, await page.screenshot({ fullPage: true }));
      }
    }
    await page.close();
    this.kept.clear();
  }
}
