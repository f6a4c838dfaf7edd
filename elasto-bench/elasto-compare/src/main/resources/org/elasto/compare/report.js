"use strict";
// Sorts a table by the column whose heading is pressed; pressed again, the other way round.
// Numbers stand in data-value; what has none comes last either way.
for (const button of document.querySelectorAll("th button")) {
  button.addEventListener("click", () => {
    const heading = button.closest("th");
    const body = heading.closest("table").tBodies[0];
    const column = heading.cellIndex;
    const rising = heading.getAttribute("aria-sort") !== "ascending";
    for (const other of heading.parentElement.cells) {
      other.removeAttribute("aria-sort");
    }
    heading.setAttribute("aria-sort", rising ? "ascending" : "descending");
    const value = (row) => {
      const cell = row.cells[column];
      return cell.classList.contains("number") ? parseFloat(cell.dataset.value) : cell.textContent;
    };
    const rows = Array.from(body.rows);
    rows.sort((a, b) => {
      const x = value(a);
      const y = value(b);
      if (typeof x === "number") {
        if (Number.isNaN(x) || Number.isNaN(y)) {
          return Number.isNaN(x) - Number.isNaN(y);
        }
        return rising ? x - y : y - x;
      }
      return rising ? x.localeCompare(y) : y.localeCompare(x);
    });
    body.append(...rows);
  });
}
