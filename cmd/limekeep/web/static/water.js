// Says beside a value of a water test, while it is typed, whether a water can have it.
// The server asks the same again; without this script it alone does.
"use strict";

// number reads what may have a decimal comma; NaN where it is none.
function number(text) {
  const plain = text.trim().replace(",", ".");
  return /^[+-]?\d+(\.\d*)?$|^[+-]?\.\d+$/.test(plain) ? Number(plain) : NaN;
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
      said.textContent = "This is no number yet.";
      return;
    }
    const option = unit.selectedOptions[0];
    if (drop && drop.value.trim() !== "") {
      x *= number(drop.value);
      if (Number.isNaN(x)) {
        said.textContent = "What a drop is worth is no number yet.";
        return;
      }
      said.textContent = "That is " + Number(x.toPrecision(4)) + " " + option.value + ".";
    }
    if (to && to.value.trim() !== "" && !(number(to.value) > x)) {
      said.textContent = "A range ends above where it begins.";
      return;
    }
    if (option.dataset.high && (x < Number(option.dataset.low) || x > Number(option.dataset.high))) {
      said.textContent = "A water has " + option.dataset.low + " to " + option.dataset.high + " " + option.value + ": check the unit and the decimal point.";
    }
  };
  row.addEventListener("input", check);
  row.addEventListener("change", check);
}
