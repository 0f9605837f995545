// Counts down the waits that the server keeps, on every page that has some. The pages
// do without it: they say until when.
(function () {
  "use strict";
  const clocks = [...document.querySelectorAll("[data-left]")].map((element) => ({ element, until: element.textContent, at: element.querySelector("time").textContent, end: Date.now() + 1000 * element.dataset.left }));
  if (!clocks.length) return;
  const two = (n) => String(n).padStart(2, "0");
  // A phone that was locked goes on where its clock stands, since the ends are instants.
  function show() {
    let over = false;
    for (const { element, until, at, end } of clocks) {
      const left = Math.ceil((end - Date.now()) / 1000);
      over = over || left <= 0;
      element.textContent = left > 0 ? element.dataset.going.replace("{left}", `${Math.floor(left / 60)}:${two(left % 60)}`).replace("{until}", until) : element.dataset.over.replace("{end}", at);
    }
    // Whoever is filling something in is not interrupted.
    if (over && !document.activeElement?.closest("form")) setTimeout(() => location.reload(), 1500);
    else setTimeout(show, 1000);
  }
  show();
})();

// What is still being worked out is looked at again by itself.
(function () {
  "use strict";
  const soon = document.querySelector("[data-soon]");
  if (soon) setTimeout(() => location.reload(), 1000 * soon.dataset.soon);
})();
