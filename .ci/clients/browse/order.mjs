// Whether a task's page says what can hurt before it says what to do.

export function order(page) {
  return page.evaluate(() => {
    const safety = document.querySelector("main .safety");
    // What comes after the cautions, in the document and on the screen.
    const after = (e) => ({
      inDocument: Boolean(safety.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING),
      onScreen: e.getBoundingClientRect().top >= safety.getBoundingClientRect().bottom,
    });
    const { scrollWidth, clientWidth } = document.documentElement;
    return {
      cautions: safety.querySelectorAll("ul > li").length,
      makeSafe: safety.querySelectorAll("ol > li").length,
      steps: [...document.querySelectorAll("main .steps")].map(after),
      book: [...document.querySelectorAll("main #book")].map(after),
      forms: [...document.querySelectorAll("main form")].map(after),
      record: [...document.querySelectorAll("main #record")].map(after),
      scrollWidth,
      clientWidth,
    };
  });
}
