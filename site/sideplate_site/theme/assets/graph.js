// The rule graph: facts and rules in columns, from what is stated to what is ruled, with lines between.
(function (s) {
  "use strict";
  const { facts, rules, sheets, examples } = s.graph;
  const FAR = 2;
  const MOST = 90;
  const ruleNumber = new Map(rules.map((rule, number) => [rule[0], number]));
  const factNumber = new Map(facts.map((name, number) => [name, number]));
  const derivers = facts.map(() => []);
  const readers = facts.map(() => []);
  rules.forEach(([, , , reads, derives], number) => {
    reads.forEach((fact) => readers[fact].push(number));
    derives.forEach((fact) => derivers[fact].push(number));
  });

  const fact = (number) => `f${number}`;
  const rule = (number) => `r${number}`;
  const number = (node) => Number(node.slice(1));
  const isFact = (node) => node[0] === "f";
  const above = (node) => (isFact(node) ? derivers[number(node)].map(rule) : rules[number(node)][3].map(fact));
  const below = (node) => (isFact(node) ? readers[number(node)].map(rule) : rules[number(node)][4].map(fact));

  function around(start) {
    const found = new Set([start]);
    for (const way of [above, below]) {
      let edge = [start];
      for (let far = 0; far < FAR * 2 && edge.length; far += 1) {
        const next = edge.flatMap(way).filter((node) => !found.has(node));
        if (far > 1 && found.size + next.length > MOST) break;
        next.forEach((node) => found.add(node));
        edge = next;
      }
    }
    return found;
  }
  function lit(sheet) {
    const found = new Set([...sheet.given.map(fact), ...sheet.rules.map(rule)]);
    sheet.rules.forEach((each) => rules[each][4].forEach((derived) => found.add(fact(derived))));
    return found;
  }

  // Each node's column: one past the last of what it rests on.
  function columns(nodes) {
    const depth = new Map();
    function deep(node, path) {
      if (depth.has(node)) return depth.get(node);
      if (path.has(node)) return 0;
      path.add(node);
      const rests = above(node).filter((other) => nodes.has(other)).map((other) => deep(other, path) + 1);
      path.delete(node);
      const at = Math.max(0, ...rests);
      depth.set(node, at);
      return at;
    }
    const made = [];
    for (const node of nodes) (made[deep(node, new Set())] ||= []).push(node);
    const filled = made.filter(Boolean);
    filled.forEach((column, at) => {
      if (!at) return;
      const place = new Map(filled.slice(0, at).flatMap((earlier) => earlier.map((node, row) => [node, row])));
      const middle = (node) => {
        const rows = above(node).map((other) => place.get(other)).filter((row) => row !== undefined);
        return rows.length ? rows.reduce((sum, row) => sum + row, 0) / rows.length : 0;
      };
      column.sort((one, other) => middle(one) - middle(other));
    });
    return filled;
  }

  document.addEventListener("DOMContentLoaded", () => {
    const pick = document.getElementById("graph-sheet");
    const focus = document.getElementById("graph-focus");
    const names = document.getElementById("graph-names");
    const told = document.getElementById("graph-told");
    const canvas = document.querySelector(".sp-graph");
    const stage = canvas.querySelector(".sp-graph-columns");
    const lines = canvas.querySelector(".sp-graph-lines");
    sheets.forEach((sheet, at) => pick.append(new Option(sheet.job, String(at))));
    for (const name of [...facts, ...rules.map(([id]) => id)]) names.append(new Option(name));

    function page(node) {
      return isFact(node) ? `facts/${facts[number(node)]}.html` : `rules/${rules[number(node)][0]}.html`;
    }
    function box(node, bright, values, centre) {
      const item = document.createElement("li");
      const link = document.createElement("a");
      const about = isFact(node) ? null : rules[number(node)];
      link.href = page(node);
      link.dataset.node = node;
      link.className = [isFact(node) ? "sp-node-fact" : "sp-node-rule", bright.has(node) ? "sp-lit" : "", node === centre ? "sp-centre" : ""].join(" ").trim();
      const title = about ? about[1] : facts[number(node)];
      link.append(...title.split(/(?<=[._])/).flatMap((part, at) => (at ? [document.createElement("wbr"), part] : [part])));
      const small = document.createElement("small");
      const value = isFact(node) ? values[number(node)] : undefined;
      small.textContent = about ? about[2] || "works out" : value === undefined ? "" : value;
      link.append(small);
      const look = document.createElement("button");
      look.type = "button";
      look.textContent = "around";
      look.title = "Look around it";
      look.setAttribute("aria-label", `Look around ${title}`);
      look.addEventListener("click", () => {
        location.hash = isFact(node) ? `fact=${facts[number(node)]}` : `rule=${about[0]}`;
      });
      item.append(link, look);
      return item;
    }
    function draw(nodes, bright, values, centre) {
      stage.replaceChildren(
        ...columns(nodes).map((column) => {
          const list = document.createElement("ul");
          list.append(...column.map((node) => box(node, bright, values, centre)));
          return list;
        }),
      );
      connect(nodes, bright);
    }
    function connect(nodes, bright) {
      const boxes = new Map([...stage.querySelectorAll("a")].map((link) => [link.dataset.node, link.parentElement]));
      lines.setAttribute("width", stage.scrollWidth);
      lines.setAttribute("height", stage.scrollHeight);
      const from = stage.getBoundingClientRect();
      const paths = [];
      for (const node of nodes) {
        for (const next of below(node).filter((other) => nodes.has(other))) {
          const [one, other] = [boxes.get(node).getBoundingClientRect(), boxes.get(next).getBoundingClientRect()];
          const [x1, y1] = [one.right - from.left, (one.top + one.bottom) / 2 - from.top];
          const [x2, y2] = [other.left - from.left, (other.top + other.bottom) / 2 - from.top];
          const bend = Math.max(16, (x2 - x1) / 2);
          const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
          path.setAttribute("d", `M${x1},${y1} C${x1 + bend},${y1} ${x2 - bend},${y2} ${x2},${y2}`);
          if (bright.has(node) && bright.has(next)) path.setAttribute("class", "sp-lit");
          paths.push(path);
        }
      }
      lines.replaceChildren(...paths);
    }
    function clear(words) {
      stage.replaceChildren();
      lines.replaceChildren();
      told.textContent = words;
    }
    function show() {
      const [kind, name] = decodeURIComponent(location.hash.slice(1)).split("=");
      if (kind === "sheet" && sheets[Number(name)]) {
        const sheet = sheets[Number(name)];
        pick.value = name;
        focus.value = "";
        const nodes = lit(sheet);
        draw(nodes, nodes, sheet.values, "");
        const rulings = sheet.rules.filter((each) => rules[each][2]).length;
        told.textContent = `${sheet.job}: ${sheet.given.length} facts stated, ${sheet.rules.length - rulings} rules work something out, ${rulings} rulings stand.`;
        return;
      }
      const at = kind === "rule" ? ruleNumber.get(name) : factNumber.get(name);
      if (!name || at === undefined) {
        clear(name ? `Nothing is called ${name}.` : "Nothing is chosen yet.");
        return;
      }
      const centre = kind === "rule" ? rule(at) : fact(at);
      const example = kind === "rule" ? examples[name] : undefined;
      const bright = example ? lit(example) : new Set([centre]);
      pick.value = "";
      focus.value = name;
      draw(around(centre), bright, example ? example.values : {}, centre);
      told.textContent = example
        ? `Around the rule ${name}. Lit: what its first example sets off.`
        : `Around ${kind === "rule" ? "the rule" : "the fact"} ${name}.`;
    }
    pick.addEventListener("change", () => {
      location.hash = pick.value === "" ? "" : `sheet=${pick.value}`;
    });
    focus.addEventListener("change", () => {
      const name = focus.value.trim();
      location.hash = factNumber.has(name) ? `fact=${name}` : `rule=${name}`;
    });
    pick.form.addEventListener("submit", (event) => event.preventDefault());
    window.addEventListener("hashchange", show);
    if (!location.hash) location.hash = sheets.length ? "sheet=0" : `rule=${rules[0][0]}`;
    else show();
  });
})(window.sideplate);
