// The contrast of texts by the definitions of WCAG 2.2 ("relative luminance",
// "contrast ratio"), from computed styles. It runs in the page, so it stands alone.

// contrasts gives the lowest contrast of each kind of text, with an example and
// how many of the kind there are. What cannot be worked out from colours alone
// (pictures behind a text, see-through elements) counts as 0.
export function contrasts() {
  const parse = (colour) => {
    const parts = colour.match(/^rgba?\(([\d.]+), ([\d.]+), ([\d.]+)(?:, ([\d.]+))?\)$/);
    if (!parts) {
      throw new Error(`colour ${colour}`);
    }
    return [Number(parts[1]), Number(parts[2]), Number(parts[3]), parts[4] === undefined ? 1 : Number(parts[4])];
  };
  const over = (top, below) => [0, 1, 2].map((i) => top[i] * top[3] + below[i] * (1 - top[3])).concat(1);
  const luminance = (colour) => {
    const [r, g, b] = colour.slice(0, 3).map((c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (a, b) => {
    const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
    return (light + 0.05) / (dark + 0.05);
  };
  // Elements of one parent have their ground of it, which is worked out once; null is the
  // browser's own paper, which a page that leaves it so has not chosen.
  const grounds = new Map([[null, null]]);
  const background = (e) => {
    if (!grounds.has(e)) {
      const style = getComputedStyle(e);
      const colour = parse(style.backgroundColor);
      const plain = style.backgroundImage === "none" && style.opacity === "1";
      const below = plain && colour[3] < 1 ? background(e.parentElement) : null;
      grounds.set(e, plain && colour[3] === 1 ? colour : below && over(colour, below));
    }
    return grounds.get(e);
  };
  const kindOf = (e) => {
    if (e.closest("button, .button")) return "button";
    if (e.closest(".badge")) return "badge";
    if (e.closest("a, summary")) return "link";
    if (e.matches("input, select, textarea")) return "input";
    return "text";
  };
  const shown = (e) => {
    const box = e.getBoundingClientRect();
    return e.checkVisibility({ visibilityProperty: true }) && box.width > 0 && box.right > 0 && !e.matches("option, optgroup");
  };
  const kinds = {};
  for (const e of document.body.querySelectorAll("*")) {
    const control = e.matches("input, select, textarea");
    const text = control ? e.value : [...e.childNodes].filter((n) => n.nodeType === Node.TEXT_NODE).map((n) => n.data).join(" ").trim();
    if (!text || e.matches("input[type=checkbox], input[type=hidden]") || !shown(e)) {
      continue;
    }
    const style = getComputedStyle(e);
    const ground = background(e);
    const found = ground ? ratio(over(parse(style.color), ground), ground) : 0;
    const kind = (kinds[kindOf(e)] ??= { kind: kindOf(e), count: 0, ratio: Infinity });
    kind.count++;
    if (found < kind.ratio) {
      Object.assign(kind, { ratio: found, text: text.slice(0, 60), colours: `${style.color} on ${ground}` });
    }
  }
  return Object.values(kinds);
}
