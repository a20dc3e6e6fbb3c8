// What does a step need beyond the base? That nothing typed is lost while an answer is on its way.
(function () {
  "use strict";

  // The fields come back from the server as they were sent. What was typed in another field since then is put
  // back, and sent in its turn.
  const sent = new WeakMap();

  // A button of the form that stands outside it (form="step-form") says its name too.
  document.addEventListener("htmx:configRequest", (event) => {
    const pressed = event.detail.triggeringEvent && event.detail.triggeringEvent.submitter;
    if (pressed && pressed.name && pressed.form === event.detail.elt) {
      event.detail.parameters[pressed.name] = pressed.value;
    }
  });

  function values(within) {
    const found = new Map();
    for (const field of within.querySelectorAll("input[id], select[id], textarea[id]")) {
      if (field.type === "hidden" || field.type === "file") continue;
      found.set(field.id, field.type === "checkbox" || field.type === "radio" ? field.checked : field.value);
    }
    return found;
  }

  document.addEventListener("htmx:beforeRequest", (event) => {
    const target = event.detail.target;
    if (target && target.id === "fields") sent.set(event.detail.xhr, values(target));
  });

  const typedSince = [];
  document.addEventListener("htmx:beforeSwap", (event) => {
    const before = sent.get(event.detail.xhr);
    if (!before) return;
    typedSince.length = 0;
    for (const [id, value] of values(event.detail.target)) {
      if (before.has(id) && before.get(id) !== value) typedSince.push([id, value]);
    }
  });
  document.addEventListener("htmx:afterSwap", (event) => {
    if (event.detail.target.id !== "fields") return;
    for (const [id, value] of typedSince.splice(0)) {
      const field = document.getElementById(id);
      if (!field) continue;
      if (typeof value === "boolean") field.checked = value;
      else field.value = value;
    }
  });

  // A time-out or a dead spot: what is on the page stays, and is sent again with the same key when asked to.
  document.addEventListener("htmx:sendError", () => {
    const place = document.getElementById("saved");
    if (!place || document.getElementById("send-again")) return;
    const again = document.createElement("button");
    again.type = "button";
    again.id = "send-again";
    again.className = "button button-small";
    again.textContent = "Send again";
    again.addEventListener("click", () => {
      again.remove();
      const form = document.getElementById("step-form");
      if (form) window.htmx.trigger(form, "change");
    });
    place.append(again);
  });
})();
