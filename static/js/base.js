// What does every page do beyond plain HTML? Each part only makes easier what works without it.
(function () {
  "use strict";

  const wide = window.matchMedia("(min-width: 980px)");

  // The cake so far stands open where there is room for it.
  function unfold() {
    for (const fold of document.querySelectorAll("[data-open-when-wide]")) fold.open = wide.matches;
  }

  // Numbers get a minus and a plus button: nobody has to open the keypad to change 70 to 72.
  function nudge(input, direction) {
    const step = Number(input.dataset.step) || 1;
    const least = "least" in input.dataset ? Number(input.dataset.least) : -Infinity;
    const most = "most" in input.dataset ? Number(input.dataset.most) : Infinity;
    const typed = input.value.trim().replace(",", ".");
    const now = typed === "" || Number.isNaN(Number(typed)) ? Math.max(least, 0) - (direction > 0 && least > 0 ? step : 0) : Number(typed);
    const places = (String(input.dataset.step).split(".")[1] || "").length;
    input.value = Math.min(most, Math.max(least, now + direction * step)).toFixed(places);
    input.dispatchEvent(new Event("input", { bubbles: true }));
    input.dispatchEvent(new Event("change", { bubbles: true }));
  }

  function stepperButton(input, direction) {
    const button = document.createElement("button");
    const label = input.labels && input.labels[0] ? input.labels[0].textContent.trim() : "";
    button.type = "button";
    button.textContent = direction < 0 ? "−" : "+";
    button.setAttribute("aria-label", (direction < 0 ? "Less: " : "More: ") + label);
    button.addEventListener("click", () => nudge(input, direction));
    return button;
  }

  function addSteppers(within) {
    for (const box of within.querySelectorAll("[data-stepper]:not([data-ready])")) {
      const input = box.querySelector("input");
      box.dataset.ready = "yes";
      input.before(stepperButton(input, -1));
      input.after(stepperButton(input, 1));
    }
  }

  // After a refused form the summary of what is wrong gets the focus, and its links lead into the fields. Somebody
  // who is typing in the next field already is not torn away from it: the summary is read out all the same.
  function focusErrors(within) {
    const summary = within.matches && within.matches(".error-summary") ? within : within.querySelector(".error-summary");
    const typingIn = document.activeElement && document.activeElement.closest("input, select, textarea");
    if (summary && !(typingIn && typingIn.getAttribute("aria-invalid") !== "true")) summary.focus();
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest("[data-focus]");
    if (!link) return;
    const box = document.getElementById(link.dataset.focus);
    const field = box && box.querySelector("input:not([type=hidden]), select, textarea");
    if (field) {
      event.preventDefault();
      field.focus();
      field.scrollIntoView({ block: "center" });
    }
  });

  // The trail shows the step we are on, also where it is wider than the phone.
  function showStep(within) {
    const here = within.querySelector(".trail [aria-current]");
    const trail = here && here.closest(".trail");
    if (trail) trail.scrollLeft = here.offsetLeft - (trail.clientWidth - here.offsetWidth) / 2;
  }

  // One menu at a time; Escape and a tap elsewhere close it.
  document.addEventListener("click", (event) => {
    for (const menu of document.querySelectorAll("details.menu[open]")) {
      if (!menu.contains(event.target)) menu.open = false;
    }
  });
  document.addEventListener("keydown", (event) => {
    const menu = event.key === "Escape" && document.querySelector("details.menu[open]");
    if (menu) {
      menu.open = false;
      menu.querySelector("summary").focus();
    }
  });

  // Dark or light, kept on this device.
  function readyThemeSwitch() {
    const dark = window.matchMedia("(prefers-color-scheme: dark)");
    for (const button of document.querySelectorAll("[data-theme-switch]")) {
      const root = document.documentElement;
      const isDark = () => (root.dataset.theme ? root.dataset.theme === "dark" : dark.matches);
      const say = () => { button.textContent = isDark() ? "Use light colours" : "Use dark colours"; };
      button.hidden = false;
      say();
      button.addEventListener("click", () => {
        root.dataset.theme = isDark() ? "light" : "dark";
        try { localStorage.setItem("theme", root.dataset.theme); } catch { /* storage is shut: this page only */ }
        say();
      });
    }
  }

  // "Saved 14:02": read out at most once in ten seconds, shown each time. The server sends it as an HX-Trigger.
  let lastSaid = 0;
  document.addEventListener("saved", (event) => {
    const place = document.getElementById("saved");
    if (!place) return;
    const words = (event.detail && event.detail.value) || "Saved";
    const now = Date.now();
    place.setAttribute("aria-live", now - lastSaid > 10000 ? "polite" : "off");
    lastSaid = now - lastSaid > 10000 ? now : lastSaid;
    place.removeAttribute("data-state");
    place.replaceChildren();
    const bold = document.createElement("b");
    bold.textContent = words;
    place.append(bold);
  });
  for (const failure of ["htmx:sendError", "htmx:timeout", "htmx:responseError"]) {
    document.addEventListener(failure, () => {
      const place = document.getElementById("saved");
      if (!place) return;
      place.dataset.state = "waiting";
      place.setAttribute("aria-live", "polite");
      const bold = document.createElement("b");
      bold.textContent = "Not saved yet";
      place.replaceChildren(bold);
    });
  }

  // A refused form comes back as 422, and an overtaken one as 409: both are shown in place.
  document.addEventListener("htmx:beforeSwap", (event) => {
    if ([422, 409].includes(event.detail.xhr.status)) {
      event.detail.shouldSwap = true;
      event.detail.isError = false;
    }
  });
  document.addEventListener("htmx:load", (event) => {
    addSteppers(event.detail.elt.parentElement || document);
    if (event.detail.elt.querySelector) {
      focusErrors(event.detail.elt);
      showStep(document);
    }
  });

  // A double tap sends a plain form once.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || form.method !== "post" || form.matches("[hx-post], [data-again]")) return;
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
  });
  window.addEventListener("pageshow", () => {
    for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
  });

  function ready() {
    unfold();
    addSteppers(document);
    readyThemeSwitch();
    showStep(document);
    focusErrors(document);
  }
  wide.addEventListener("change", unfold);
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", ready);
  else ready();
})();
