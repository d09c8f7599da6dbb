// Adds to pages that work without it: a line to type in above each long table or list, to show fewer rows.
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
