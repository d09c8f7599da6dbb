// Adds to pages that work without it: a line to type in above each long table or list, to show fewer rows;
// and, on the sheet about torque, what to set a wrench with an adapter to.
"use strict";

const FEW = 12;

function rowsOf(place) {
  return Array.from(place.querySelectorAll(place.dataset.filter));
}

function addFilter(place, number) {
  const rows = rowsOf(place);
  if (rows.length < FEW) return;
  const texts = rows.map((row) => row.textContent.toLowerCase());
  const line = document.createElement("p");
  const label = document.createElement("label");
  const input = document.createElement("input");
  const count = document.createElement("span");
  line.className = "filter";
  input.id = "filter-" + number;
  input.type = "search";
  input.autocomplete = "off";
  input.spellcheck = false;
  label.htmlFor = input.id;
  label.textContent = "Show only what holds";
  count.setAttribute("role", "status");
  count.className = "quiet";
  line.append(label, input, count);
  place.before(line);
  input.addEventListener("input", () => {
    const words = input.value.toLowerCase().split(/\s+/).filter(Boolean);
    let shown = 0;
    rows.forEach((row, at) => {
      const fits = words.every((word) => texts[at].includes(word));
      row.hidden = !fits;
      if (fits) shown += 1;
    });
    count.textContent = words.length ? shown + " of " + rows.length : "";
  });
}

document.querySelectorAll("[data-filter]").forEach(addFilter);

const WAYS = [["longer", "makes the wrench longer", 1], ["shorter", "makes it shorter", -1], ["square", "stands at 90°", 0]];

function numberIn(text) {
  const plain = text.trim().replace(",", ".");
  return /^[0-9]*\.?[0-9]+$/.test(plain) ? Number(plain) : NaN;
}

// T L / (L + E), as buildlog/rules/torques.py has it; null where there is no lever.
function wrenchSetting(torque, wrench, adapter) {
  return wrench > 0 && wrench + adapter > 0 ? (torque * wrench) / (wrench + adapter) : null;
}

function asked(form, id, says, field) {
  const line = document.createElement("p");
  const label = document.createElement("label");
  field.id = "wrench-" + id;
  label.htmlFor = field.id;
  label.textContent = says;
  line.append(label, field);
  form.append(line);
  return field;
}

function typed() {
  const field = document.createElement("input");
  field.inputMode = "decimal";
  field.autocomplete = "off";
  return field;
}

function addWrench(place) {
  const form = document.createElement("div");
  form.className = "wrench";
  const torque = asked(form, "torque", "Torque that the fastener is to get, run-on included", typed());
  const wrench = asked(form, "length", "Length of the wrench, drive to grip", typed());
  const way = document.createElement("select");
  WAYS.forEach(([value, says]) => way.add(new Option(says, value)));
  asked(form, "way", "The adapter", way);
  const adapter = asked(form, "adapter", "By how much, in the unit of the length", typed());
  const told = document.createElement("p");
  told.setAttribute("role", "status");
  told.className = "verdict";
  form.append(told);
  place.querySelector("[data-without]").replaceWith(form);
  form.addEventListener("input", () => {
    const sign = WAYS.find(([value]) => value === way.value)[2];
    adapter.disabled = sign === 0;
    const off = sign === 0 ? 0 : sign * numberIn(adapter.value);
    const setting = wrenchSetting(numberIn(torque.value), numberIn(wrench.value), off);
    if ([torque, wrench, ...(sign ? [adapter] : [])].some((field) => !field.value.trim())) told.textContent = "";
    else if (setting === null || Number.isNaN(setting)) told.textContent = "Nothing to set: look at the figures.";
    else told.textContent = "Set the wrench to " + setting.toPrecision(4) + ", in the unit of the torque.";
  });
}

document.querySelectorAll("[data-wrench]").forEach(addWrench);
