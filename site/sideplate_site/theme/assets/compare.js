// Two rows of a table side by side: what differs, and what is the same.
(function () {
  "use strict";
  document.addEventListener("DOMContentLoaded", () => {
    const form = document.querySelector("form.sp-compare");
    const table = document.querySelector("table.sp-rows");
    if (!form || !table) return;
    const heads = [...table.tHead.rows[0].cells].map((cell) => cell.textContent.trim());
    const picks = [...form.querySelectorAll("select")];
    const result = form.querySelector(".sp-compared");

    function cells(select) {
      return [...document.getElementById(select.value).cells];
    }
    function text(cell) {
      const other = cell.querySelector("small");
      const words = [...cell.childNodes].filter((node) => node !== other).map((node) => node.textContent).join("");
      return (other ? `${words} (${other.textContent})` : words).replace(/\s+/g, " ").trim();
    }
    function add(row, tag, words, name) {
      const cell = document.createElement(tag);
      cell.textContent = words;
      if (name) cell.className = name;
      if (tag === "th") cell.scope = row.rowIndex === 0 ? "col" : "row";
      row.append(cell);
    }
    function show() {
      const [one, other] = picks.map(cells);
      const made = document.createElement("table");
      made.className = "sp-table";
      const head = made.createTHead().insertRow();
      add(head, "th", heads[0]);
      add(head, "th", text(one[0]));
      add(head, "th", text(other[0]));
      const body = made.createTBody();
      for (let at = 1; at < heads.length - 1; at += 1) {
        const [first, second] = [text(one[at]), text(other[at])];
        if (first === "–" && second === "–") continue;
        const row = body.insertRow();
        const differs = first !== second;
        add(row, "th", heads[at]);
        add(row, "td", first, differs ? "sp-differs" : "");
        add(row, "td", differs ? second : `${second} (the same)`, differs ? "sp-differs" : "");
      }
      result.replaceChildren(made);
    }
    form.addEventListener("change", show);
    form.addEventListener("submit", (event) => event.preventDefault());
    const options = [...picks[0].options].map((option) => option.textContent);
    const wanted = ["520", "525"].map((key) => options.indexOf(key));
    picks[0].selectedIndex = Math.max(0, wanted[0]);
    picks[1].selectedIndex = wanted[1] > 0 ? wanted[1] : 1;
    show();
  });
})();
