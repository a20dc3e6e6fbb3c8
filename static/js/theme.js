// Light or dark? The device decides unless somebody chose. Runs before the page is drawn, so nothing flashes.
(function () {
  "use strict";
  const root = document.documentElement;
  if (root.dataset.theme) return; // the page insists, as the signing page does
  try {
    const chosen = localStorage.getItem("theme");
    if (chosen === "light" || chosen === "dark") root.dataset.theme = chosen;
  } catch {
    // storage is shut: follow the device
  }
})();
