// What every page does: the menu on a narrow screen, light or dark, and the key that goes to the search.
(function () {
  "use strict";
  const s = (window.sideplate = window.sideplate || {});
  s.root = document.querySelector(".sp-header").dataset.root;

  const menu = document.querySelector(".sp-menu-button");
  const drawer = document.getElementById("__drawer");
  function open(isOpen) {
    drawer.checked = isOpen;
    menu.setAttribute("aria-expanded", String(isOpen));
    if (isOpen) {
      const here = document.querySelector(".sp-menu [aria-current]") || document.querySelector(".sp-menu a");
      if (here) here.focus();
    }
  }
  menu.addEventListener("click", () => open(!drawer.checked));
  drawer.addEventListener("change", () => menu.setAttribute("aria-expanded", String(drawer.checked)));
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && drawer.checked) {
      open(false);
      menu.focus();
    }
    const inField = /^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement.tagName);
    if (event.key === "/" && !inField && !event.ctrlKey && !event.metaKey && !event.altKey) {
      const box = document.querySelector("#sp-search-box, .sp-search input");
      if (box) {
        event.preventDefault();
        box.focus();
      }
    }
  });

  const scheme = document.querySelector(".sp-scheme-button");
  function isDark() {
    return document.body.getAttribute("data-md-color-scheme") === "slate";
  }
  function show() {
    scheme.setAttribute("aria-pressed", String(isDark()));
  }
  scheme.addEventListener("click", () => {
    const next = isDark() ? "default" : "slate";
    document.body.setAttribute("data-md-color-scheme", next);
    try {
      localStorage.setItem("sideplate-scheme", next);
    } catch (error) {
      // Without storage the choice holds for this page only.
    }
    show();
  });
  show();

  const current = document.querySelector(".sp-menu [aria-current]");
  if (current && window.innerWidth >= 1220) {
    const sidebar = document.getElementById("sp-menu");
    sidebar.scrollTop = Math.max(0, current.offsetTop - sidebar.clientHeight / 3);
  }
})();
