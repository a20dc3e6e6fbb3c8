// What makes an inquiry easier on a phone? What is typed, and photos, wait on the device until the shop has them.
(function () {
  "use strict";

  const KEY = "inquiry"; // in the browser's storage: only what nobody has acknowledged yet
  const KEPT = 48 * 60 * 60 * 1000; // milliseconds, as long as the shop keeps a draft
  const BUTTONS = ["send", "pick", "month", "take_off", "price", "add", "forget", "stay"];
  const FILES = ["photos", "camera"];
  const ACKNOWLEDGED = [200, 204, 409, 422, 429]; // in each of these the answers have arrived

  const form = document.querySelector("form[data-inquiry]");
  const clock = (at) => new Date(at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });

  // --- photos that wait: files, in the one storage that takes them ---

  function photoStore(mode, act) {
    return new Promise((done) => {
      if (!window.indexedDB) return done(null);
      let opening;
      try { opening = indexedDB.open("inquiry", 1); } catch { return done(null); }
      opening.onupgradeneeded = () => opening.result.createObjectStore("photos", { autoIncrement: true });
      opening.onerror = () => done(null);
      opening.onsuccess = () => {
        const asked = act(opening.result.transaction("photos", mode).objectStore("photos"));
        asked.onsuccess = () => done(asked.result);
        asked.onerror = () => done(null);
      };
    });
  }
  const keepPhotos = (files) => Promise.all(files.map((file) =>
    photoStore("readwrite", (store) => store.add({ at: Date.now(), name: file.name, type: file.type, bytes: file }))));
  const dropPhotos = () => photoStore("readwrite", (store) => store.clear());
  const waitingPhotos = () => photoStore("readonly", (store) => store.getAll());

  function dropWords() {
    try { localStorage.removeItem(KEY); } catch { /* storage is shut: nothing lies in it */ }
  }

  if (!form) {
    if (document.querySelector("[data-inquiry-sent]")) {
      dropWords();
      dropPhotos();
    }
    return;
  }

  // --- what is said about it, and nothing that is not so ---

  const banner = document.getElementById("unsent");
  const kept = document.getElementById("kept");
  function say(words) {
    banner.querySelector("[data-says]").textContent = words;
    banner.hidden = !words;
  }
  function sayOfPhotos(words) {
    const place = document.getElementById("photo-waits");
    if (place) place.textContent = words;
  }
  document.addEventListener("saved", (event) => {
    kept.textContent = `${(event.detail && event.detail.value) || "Kept"}, not sent yet. It waits here for two days.`;
  });

  // --- words that wait ---

  let version = 0; // grows with each thing typed
  let storage = true;
  let puttingBack = false; // photos out of the storage need not go into it again
  function typed() {
    const found = {};
    for (const field of form.elements) {
      if (!field.name || ["hidden", "file", "submit", "button"].includes(field.type) || field.closest(".left-empty")) continue;
      if (["checkbox", "radio"].includes(field.type) && !field.checked) {
        found[field.name] = found[field.name] || [];
        continue;
      }
      (found[field.name] = found[field.name] || []).push(field.value);
    }
    return found;
  }
  function keepWords() {
    version += 1;
    try {
      localStorage.setItem(KEY, JSON.stringify({ at: Date.now(), values: typed() }));
    } catch {
      storage = false;
    }
  }
  form.addEventListener("input", keepWords);
  form.addEventListener("change", (event) => {
    keepWords();
    if (event.target.type === "file" && event.target.files.length && !puttingBack) {
      sayOfPhotos("Adding the photos: they are made smaller and stripped of where they were taken.");
      keepPhotos([...event.target.files]);
    }
  });

  function putBack() {
    let waiting = null;
    try { waiting = JSON.parse(localStorage.getItem(KEY)); } catch { dropWords(); }
    if (!waiting || !waiting.values || Date.now() - waiting.at > KEPT) return dropWords();
    let differs = false;
    for (const field of form.elements) {
      const values = waiting.values[field.name];
      if (!values || field.type === "hidden" || field.type === "file") continue;
      if (["checkbox", "radio"].includes(field.type)) {
        const ticked = values.includes(field.value);
        differs = differs || field.checked !== ticked;
        field.checked = ticked;
      } else if (values.length && field.value !== values[0]) {
        differs = true;
        field.value = values[0];
      }
    }
    if (!differs) return dropWords();
    say(`Not sent yet. What you typed at ${clock(waiting.at)} was kept on this device and is back in its place.`);
    save();
  }

  async function putPhotosBack() {
    const waiting = ((await waitingPhotos()) || []).filter((photo) => Date.now() - photo.at < KEPT);
    const input = document.getElementById("id_photos");
    if (!waiting.length || !input || !window.DataTransfer) return dropPhotos();
    const hands = new DataTransfer();
    for (const photo of waiting) hands.items.add(new File([photo.bytes], photo.name, { type: photo.type }));
    input.files = hands.files;
    sayOfPhotos("Photos that were not sent yet were kept on this device. Adding them now.");
    puttingBack = true;
    input.dispatchEvent(new Event("change", { bubbles: true }));
    puttingBack = false;
  }

  const save = () => window.htmx && window.htmx.trigger(form, "change");

  // --- on the way there and back ---

  let photosOnTheWay = false;
  let submittedAt = 0; // by the clock of events
  form.addEventListener("submit", (event) => { submittedAt = event.timeStamp; });
  document.addEventListener("htmx:configRequest", (event) => {
    if (event.detail.elt !== form) return;
    const trigger = event.detail.triggeringEvent;
    if (trigger && trigger.type === "submit") return;
    // What changed before the form was sent went with it; its own saving, which waits a little, is not needed.
    if (trigger && trigger.timeStamp < submittedAt) return event.preventDefault();
    const data = event.detail.formData;
    for (const name of BUTTONS) data.delete(name); // a button pressed before is not pressed again
    if (photosOnTheWay) for (const name of FILES) data.delete(name); // not twice
  });
  const sending = new WeakMap();
  document.addEventListener("htmx:beforeRequest", (event) => {
    const data = event.detail.requestConfig.formData;
    const photos = FILES.some((name) => data.getAll(name).some((file) => file.size));
    sending.set(event.detail.xhr, { version, send: data.has("send"), photos });
    photosOnTheWay = photosOnTheWay || photos;
    if (data.has("send")) kept.textContent = "Sending it now.";
  });
  document.addEventListener("htmx:afterRequest", (event) => {
    const what = sending.get(event.detail.xhr);
    if (what && what.photos) photosOnTheWay = false;
    if (!what || !ACKNOWLEDGED.includes(event.detail.xhr.status)) return;
    say("");
    if (event.detail.xhr.status !== 200) kept.textContent = "";
    if (what.photos) dropPhotos();
    if (what.version === version) dropWords();
  });
  function lost(event) {
    const what = sending.get(event.detail.xhr) || {};
    kept.textContent = "";
    const where = storage ? "is kept on this device" : "stays on this page as long as it is open";
    const photos = what.photos ? ", the photos too" : "";
    sayOfPhotos(what.photos ? "Not added yet: there is no connection." : "");
    say(what.send
      ? `Not sent yet: we could not be reached. What you wrote ${where}${photos}. Press "Send the inquiry" again once you are connected.`
      : `Not sent yet: there is no connection just now. What you type ${where}${photos}, and you can go on.`);
  }
  for (const failure of ["htmx:sendError", "htmx:timeout"]) document.addEventListener(failure, lost);
  document.addEventListener("htmx:responseError", (event) => {
    if (!ACKNOWLEDGED.includes(event.detail.xhr.status)) lost(event);
  });
  document.addEventListener("htmx:beforeSwap", (event) => {
    if (event.detail.xhr.status === 429) {
      event.detail.shouldSwap = true;
      event.detail.isError = false;
    }
  });
  window.addEventListener("online", () => { if (!banner.hidden) { save(); putPhotosBack(); } });
  window.addEventListener("offline", () => say("Not sent yet: there is no connection just now. What you type is kept on this device."));

  // --- the calendar by arrow keys, beside the tab key ---

  const STEPS = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: -7, ArrowDown: 7 };
  form.addEventListener("keydown", (event) => {
    const day = event.target.closest && event.target.closest(".days button[name=pick]");
    if (!day || !STEPS[event.key]) return;
    event.preventDefault();
    const at = new Date(`${day.value}T12:00:00Z`);
    for (let tries = 0; tries < 31; tries += 1) {
      at.setUTCDate(at.getUTCDate() + STEPS[event.key]);
      const next = document.getElementById(`day-${at.toISOString().slice(0, 10)}`);
      if (next) return next.focus();
    }
  });

  // Picking a day fills the date at once, before any answer.
  form.addEventListener("click", (event) => {
    const day = event.target.closest(".days button[name=pick]");
    if (!day) return;
    document.getElementById("id_event_on").value = day.value;
    keepWords();
  });

  putBack();
  putPhotosBack();
})();
