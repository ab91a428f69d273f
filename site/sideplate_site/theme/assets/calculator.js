// The arithmetic that formulas are printed onto, and the forms that run them. It does what the engine does.
(function (s) {
  "use strict";

  class NotComputable extends Error {}

  function canonical(x) {
    return Number.isFinite(x) ? Number(x.toPrecision(12)) : x;
  }
  function finite(x) {
    if (!Number.isFinite(x)) throw new NotComputable("A number in it is too large.");
    return x;
  }
  function ratio(x, name) {
    const near = x >= -1 && x <= 1 ? x : canonical(x);
    if (!(near >= -1 && near <= 1)) throw new NotComputable(`It takes ${name} of ${x}, which is not between -1 and 1.`);
    return near;
  }
  function exact(x, name) {
    if (!(x >= -1 && x <= 1)) throw new NotComputable(`It takes ${name} of ${x}, which is not between -1 and 1.`);
    return x;
  }
  function sqrt(x) {
    if (x < 0) throw new NotComputable(`It takes the square root of the negative number ${x}.`);
    return Math.sqrt(x);
  }

  const maths = {
    NotComputable,
    canonical,
    divide(a, b) {
      if (b === 0) throw new NotComputable("It divides by zero.");
      return a / b;
    },
    power(a, b) {
      if (a === 0 && b < 0) throw new NotComputable("It divides by zero: zero has no negative power.");
      if (a === 1 || (a === -1 && !Number.isFinite(b))) return 1;
      const result = Math.pow(a, b);
      if (Number.isFinite(a) && Number.isFinite(b)) {
        if (Number.isNaN(result)) throw new NotComputable(`The negative number ${a} has no power ${b}.`);
        if (!Number.isFinite(result)) throw new NotComputable(`The power ${a} ** ${b} is too large.`);
      }
      return result;
    },
    sqrt,
    sin: (x) => Math.sin(finite(x)),
    cos: (x) => Math.cos(finite(x)),
    tan: (x) => Math.tan(finite(x)),
    asin: (x) => Math.asin(ratio(x, "asin")),
    acos: (x) => Math.acos(ratio(x, "acos")),
    atan: Math.atan,
    ceil: (x) => Math.ceil(canonical(finite(x))),
    floor: (x) => Math.floor(canonical(finite(x))),
    round(x) {
      const near = canonical(finite(x));
      const below = Math.floor(Math.abs(near));
      return Math.sign(near) * (below + (Math.abs(near) - below >= 0.5 ? 1 : 0));
    },
    abs: Math.abs,
    min: Math.min,
    max: Math.max,
    // The geometry module calls Python's own functions, which have no room for rounding noise.
    plain: {
      sqrt,
      sin: Math.sin,
      cos: Math.cos,
      tan: Math.tan,
      asin: (x) => Math.asin(exact(x, "asin")),
      acos: (x) => Math.acos(exact(x, "acos")),
      atan: Math.atan,
      hypot: Math.hypot,
    },
  };
  s.maths = maths;

  // The result in its stored unit, from values in the symbols' stored units. Throws NotComputable.
  s.compute = function (id, values) {
    const formula = s.formulas[id];
    const coherent = {};
    for (const [name, symbol] of Object.entries(formula.symbols)) {
      const value = values[name];
      if (typeof value !== "number" || !Number.isFinite(value)) throw new NotComputable(`${name} has no value.`);
      coherent[name] = value * symbol.units.metric.factor;
    }
    const result = formula.run(coherent);
    if (!Number.isFinite(result)) throw new NotComputable("The result is too large.");
    return canonical(result / formula.gives.units.metric.factor);
  };

  // A number as a hand writes it: 620, 24.375, 24,375, 3/8, 24 3/8, 24-3/8. NaN for anything else.
  s.readNumber = function (text) {
    const tidy = text.trim().replace("−", "-");
    const mixed = /^(-?)(?:(\d+)[ -]+)?(\d+)\/(\d+)$/.exec(tidy);
    if (mixed) {
      const [, sign, whole, above, below] = mixed;
      const size = Number(whole || 0) + Number(above) / Number(below);
      return Number.isFinite(size) ? (sign ? -size : size) : NaN;
    }
    return /^-?(\d+([.,]\d*)?|[.,]\d+)$/.test(tidy) ? Number(tidy.replace(",", ".")) : NaN;
  };

  function inSystem(stored, units, system) {
    return canonical((stored * units.metric.factor) / units[system].factor);
  }
  function fromSystem(value, units, system) {
    return canonical((value * units[system].factor) / units.metric.factor);
  }
  function figure(value, places) {
    const text = places === null ? String(Number(value.toPrecision(5))) : value.toFixed(places);
    return text.replace("-", "−");
  }
  function withUnit(text, unit) {
    return unit.symbol ? `${text} ${unit.symbol}` : text;
  }
  function shown(value, gives, system) {
    const other = system === "metric" ? "us" : "metric";
    const places = (which) => (which === "metric" ? gives.decimals : gives.units.us.symbol === "in" ? 3 : null);
    const one = withUnit(figure(inSystem(value, gives.units, system), places(system)), gives.units[system]);
    if (gives.units[other].symbol === gives.units[system].symbol) return one;
    return `${one} (${withUnit(figure(inSystem(value, gives.units, other), places(other)), gives.units[other])})`;
  }

  function setUp(form) {
    const id = form.dataset.formula;
    const formula = s.formulas[id];
    const inputs = [...form.querySelectorAll("input[data-symbol]")];
    const stored = {};
    const answer = form.querySelector(".sp-answer:not(.sp-follow-up)");
    const followUps = [...form.querySelectorAll(".sp-follow-up")];

    function system() {
      return form.querySelector("input[type=radio]:checked").value;
    }
    function write(input) {
      const name = input.dataset.symbol;
      const units = formula.symbols[name].units;
      document.getElementById(`${input.id}-unit`).textContent = units[system()].symbol;
      if (Number.isFinite(stored[name])) {
        input.value = String(Number(inSystem(stored[name], units, system()).toPrecision(7)));
      }
    }
    function read(input) {
      const name = input.dataset.symbol;
      const value = s.readNumber(input.value);
      stored[name] = fromSystem(value, formula.symbols[name].units, system());
      const wrong = Number.isNaN(value) || (formula.symbols[name].whole && !Number.isInteger(value));
      input.toggleAttribute("aria-invalid", false);
      if (wrong && input.value.trim()) input.setAttribute("aria-invalid", "true");
      if (wrong) stored[name] = NaN;
    }
    function tell(line, words) {
      line.querySelector("output").textContent = words;
    }
    function run() {
      for (const line of followUps) tell(line, "");
      const missing = inputs.filter((input) => !Number.isFinite(stored[input.dataset.symbol]));
      if (missing.length) {
        const [first] = missing;
        const label = form.querySelector(`label[for="${first.id}"]`).lastChild.textContent.trim();
        const kind = formula.symbols[first.dataset.symbol].whole ? "a whole number" : "a number";
        tell(answer, `Enter ${kind}: ${label.toLowerCase()}.`);
        return;
      }
      try {
        const result = s.compute(id, stored);
        tell(answer, `${answer.dataset.gives}: ${shown(result, formula.gives, system())}`);
        for (const line of followUps) {
          const next = s.formulas[line.dataset.formula];
          const value = s.compute(line.dataset.formula, { [line.dataset.symbol]: result });
          tell(line, `${line.dataset.gives}: ${shown(value, next.gives, system())}`);
        }
      } catch (problem) {
        if (!(problem instanceof NotComputable)) throw problem;
        tell(answer, problem.message);
      }
    }

    for (const input of inputs) {
      stored[input.dataset.symbol] = input.dataset.stored ? Number(input.dataset.stored) : NaN;
      write(input);
      input.addEventListener("input", () => {
        read(input);
        run();
      });
    }
    for (const choice of form.querySelectorAll("input[type=radio]")) {
      choice.addEventListener("change", () => {
        inputs.forEach(write);
        run();
      });
    }
    for (const select of form.querySelectorAll("select[data-fills]")) {
      select.addEventListener("change", () => {
        if (!select.value) return;
        Object.assign(stored, JSON.parse(select.value));
        inputs.forEach(write);
        run();
      });
    }
    form.addEventListener("submit", (event) => event.preventDefault());
    run();
  }

  document.addEventListener("DOMContentLoaded", () => {
    document.querySelectorAll("form.sp-calculator").forEach(setUp);
  });
})(window.sideplate);
