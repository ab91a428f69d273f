// The search: every entry is scored by the words of the question, the rarer the word the more it counts.
(function (s) {
  "use strict";
  const IDLE = new Set(
    "a an and are at be by can do does for from how i in is it its me my of on or should than that the to what when where which will with you your".split(" "),
  );
  const MOST = 30;
  const WEIGHT = { topic: 1.6, procedure: 1.3, table: 1.15, row: 1.1, fact: 1.05, formula: 1, rule: 1, picture: 0.9, caution: 0.9, source: 0.5, "check code": 0.4 };
  const KIND = { row: "table row" };

  function stem(word) {
    if (/\d/.test(word) || word.length < 4) return word;
    for (const [ending, instead] of [["ies", "y"], ["ings", ""], ["ing", ""], ["ers", ""], ["er", ""], ["ness", ""], ["ed", ""], ["es", ""], ["s", ""], ["e", ""]]) {
      if (word.endsWith(ending) && word.length - ending.length >= 3) {
        const cut = word.slice(0, word.length - ending.length) + instead;
        return /([^aeiouls])\1$/.test(cut) ? cut.slice(0, -1) : cut;
      }
    }
    return word;
  }
  function words(text) {
    return (text.toLowerCase().match(/[a-z0-9]+(?:\.[0-9]+)?/g) || []).map(stem);
  }

  // Where a word stands tells how much it says: in the title, among other names, in the line, in the text.
  const FIELDS = [
    [1, 6],
    [4, 6],
    [3, 2],
    [5, 1],
  ];
  const entries = s.searchIndex.map((row) => {
    const found = new Map();
    for (const [field, weight] of FIELDS) {
      for (const word of words(row[field])) found.set(word, Math.max(weight, found.get(word) || 0));
    }
    return { row, found, title: ` ${words(row[1]).join(" ")} `, called: ` ${words(row[4]).join(" ")} ` };
  });
  const rarity = new Map();
  for (const entry of entries) for (const word of entry.found.keys()) rarity.set(word, (rarity.get(word) || 0) + 1);

  function near(one, other) {
    if (Math.abs(one.length - other.length) > 1 || one.length < 5) return false;
    let at = 0;
    while (at < one.length && one[at] === other[at]) at += 1;
    const [a, b] = [one.slice(at), other.slice(at)];
    return a.slice(1) === b.slice(1) || a.slice(1) === b || a === b.slice(1) || (a[0] === b[1] && a[1] === b[0] && a.slice(2) === b.slice(2));
  }
  function matches(term, isLast) {
    const found = new Map();
    for (const word of rarity.keys()) {
      if (word === term) found.set(word, 1);
      else if (isLast && term.length > 1 && word.startsWith(term)) found.set(word, 0.6);
      else if (!rarity.has(term) && near(term, word)) found.set(word, 0.5);
    }
    return found;
  }

  s.search = function (question) {
    const all = words(question);
    const telling = all.filter((word) => !IDLE.has(word));
    const terms = [...new Set(telling.length ? telling : all)];
    if (!terms.length) return [];
    const wanted = terms.map((term, at) => matches(term, at === terms.length - 1));
    const phrase = ` ${all.join(" ")} `;
    const scored = [];
    for (const entry of entries) {
      let score = 0;
      let hits = 0;
      for (const found of wanted) {
        let best = 0;
        for (const [word, likeness] of found) {
          const weight = entry.found.get(word);
          if (weight) best = Math.max(best, weight * likeness * Math.log(1 + entries.length / rarity.get(word)));
        }
        score += best;
        if (best) hits += 1;
      }
      if (!hits) continue;
      score *= (hits / terms.length) ** 2 * (WEIGHT[entry.row[0]] || 1);
      if (all.length > 1 && (entry.title.includes(phrase) || entry.called.includes(phrase))) score *= 1.8;
      if (entry.title === phrase) score *= 1.5;
      scored.push([score, entry.row]);
    }
    scored.sort((one, other) => other[0] - one[0] || other[1][3].length - one[1][3].length);
    return scored.slice(0, MOST).map(([, row]) => row);
  };

  document.addEventListener("DOMContentLoaded", () => {
    const form = document.querySelector(".sp-search-form");
    const box = document.getElementById("sp-search-box");
    const count = document.querySelector(".sp-search-count");
    const list = document.querySelector(".sp-search-results");

    function show() {
      const rows = s.search(box.value);
      list.replaceChildren(
        ...rows.map(([kind, title, address, line]) => {
          const item = document.createElement("li");
          const link = document.createElement("a");
          link.href = s.root === "." ? address : `${s.root}/${address}`;
          link.textContent = title;
          const mark = document.createElement("span");
          mark.className = "sp-kind";
          mark.textContent = KIND[kind] || kind;
          const said = document.createElement("p");
          said.textContent = line;
          item.append(mark, " ", link, said);
          return item;
        }),
      );
      const asked = box.value.trim();
      if (!asked) count.textContent = "Type a few words, such as: how tight; o ring cleaner; 520 or 525; half link.";
      else if (!rows.length) count.textContent = `Nothing was found for "${asked}". Try another word for the part.`;
      else count.textContent = `${rows.length === MOST ? `The first ${MOST}` : rows.length} results for "${asked}".`;
    }
    box.value = new URLSearchParams(location.search).get("q") || "";
    box.addEventListener("input", show);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const address = new URL(location.href);
      address.searchParams.set("q", box.value);
      history.replaceState(null, "", address);
      show();
    });
    show();
    box.focus();
  });
})(window.sideplate);
