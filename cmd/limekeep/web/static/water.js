// Says beside a value of a water test, while it is typed, whether a water can have it.
// The server asks the same again; without this script it alone does.
"use strict";

// number reads what may have a decimal comma; NaN where it is none.
function number(text) {
  const plain = text.trim().replace(",", ".");
  return /^[+-]?\d+(\.\d*)?$|^[+-]?\.\d+$/.test(plain) ? Number(plain) : NaN;
}

// words has what is said, from the page; figures are written as the page writes a half.
const words = (name) => document.getElementById("said").content.querySelector("." + name).textContent;
const written = (x) => String(x).replace(".", words("half")[1]);
function sentence(name, holds = {}) {
  return words(name).replace(/\{(\w+)\}/g, (_, what) => holds[what]);
}

for (const row of document.querySelectorAll("fieldset.measured")) {
  const input = (column) => row.querySelector("." + column + " input, ." + column + " select");
  const value = input("value"), unit = input("unit"), drop = input("drop"), to = input("to");
  if (!value || !unit) continue;
  const said = document.createElement("p");
  said.className = "hint said";
  said.setAttribute("role", "status");
  row.append(said);
  const check = () => {
    said.textContent = "";
    if (value.value.trim() === "") return;
    let x = number(value.value);
    if (Number.isNaN(x)) {
      said.textContent = sentence("no-number");
      return;
    }
    const option = unit.selectedOptions[0];
    if (drop && drop.value.trim() !== "") {
      x *= number(drop.value);
      if (Number.isNaN(x)) {
        said.textContent = sentence("no-drop");
        return;
      }
      said.textContent = sentence("value", { value: written(Number(x.toPrecision(4))), unit: option.value });
    }
    if (to && to.value.trim() !== "" && !(number(to.value) > x)) {
      said.textContent = sentence("no-range");
      return;
    }
    if (option.dataset.high && (x < Number(option.dataset.low) || x > Number(option.dataset.high))) {
      said.textContent = sentence("no-water", { low: written(option.dataset.low), high: written(option.dataset.high), unit: option.value });
    }
  };
  row.addEventListener("input", check);
  row.addEventListener("change", check);
}
