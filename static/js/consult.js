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

  // A tick is known by its name and value, since the colours to choose from change their order.
  const isTick = (field) => field.type === "checkbox" || field.type === "radio";
  function fieldKey(field) {
    const value = isTick(field) ? `[value="${CSS.escape(field.value)}"]` : "";
    return `#fields [name="${CSS.escape(field.name)}"]${value}, #also [name="${CSS.escape(field.name)}"]${value}`;
  }
  function values() {
    const found = new Map();
    for (const field of document.querySelectorAll("#fields [name], #also [name]")) {
      if (field.type === "hidden" || field.type === "file" || field.localName === "button") continue;
      found.set(fieldKey(field), isTick(field) ? field.checked : field.value);
    }
    return found;
  }

  document.addEventListener("htmx:beforeRequest", (event) => {
    const target = event.detail.target;
    if (target && target.id === "fields") sent.set(event.detail.xhr, values());
  });

  // A fold is known by the first field in it; one without fields by its place.
  function foldKey(fold, pane, place) {
    const field = fold.querySelector("input:not([type=hidden]), select, textarea");
    return field ? field.name : `${pane} ${place}`;
  }
  function folds() {
    const within = (pane) => [...document.querySelectorAll(`${pane} details`)];
    return ["#step", "#so-far"].flatMap((pane) => within(pane).map((fold, place) => [fold, foldKey(fold, pane, place)]));
  }

  const typedSince = [];
  const opened = new Set();
  document.addEventListener("htmx:beforeSwap", (event) => {
    opened.clear();
    for (const [fold, key] of folds()) if (fold.open) opened.add(key);
    const before = sent.get(event.detail.xhr);
    if (!before) return;
    typedSince.length = 0;
    for (const [key, value] of values()) {
      if (!before.has(key) || before.get(key) === value) continue;
      const field = document.querySelector(key);
      typedSince.push([key, value, field === document.activeElement && !isTick(field) && field.selectionStart]);
    }
  });
  document.addEventListener("htmx:afterSwap", (event) => {
    if (event.detail.target.id !== "fields") return;
    for (const [fold, key] of folds()) if (opened.has(key)) fold.open = true;
    for (const [key, value, caret] of typedSince.splice(0)) {
      const field = document.querySelector(key);
      if (!field) continue;
      if (isTick(field)) field.checked = value;
      else field.value = value;
      const change = () => field.dispatchEvent(new Event("change", { bubbles: true }));
      if (field === document.activeElement && typeof caret === "number") {
        field.setSelectionRange(caret, caret);
        // A value that a script put back is no change to the browser when the field is left.
        field.addEventListener("blur", change, { once: true });
      } else if (field.closest("#also")) toSend.push(change);
    }
  });
  // A form that came anew does not know that it is to send, and listens only once it has settled.
  const toSend = [];
  document.addEventListener("htmx:afterSettle", () => { for (const change of toSend.splice(0)) change(); });

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
