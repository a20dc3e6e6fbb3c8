/* How does a client sign on the screen? A box for finger, pen or mouse that keeps the drawn lines.

   <div data-signature-pad data-for="id_strokes"></div> and a hidden input of that id are all a page
   needs; without script neither the box nor its buttons exist and the typed name is the way to sign.
   Lines are kept as points, 0 to 1 across the box (x to the right, y down), with no pressure and no
   time, and posted as [[[x, y], ...], ...]. The box starts empty, always: a tablet is shared. */
(() => {
  "use strict";

  const ASPECT = 3; // width to height of the box, whatever its size: a turned tablet bends no line
  const MOST_LINES = 200; // the same bounds as where the lines are read
  const MOST_POINTS = 5000;
  const LEAST_STEP = 1.5; // pixels between two points that are kept
  const LINE_WIDTH = 2.4; // pixels, in a box 600 pixels wide

  const made = (tag, attributes, words) => {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      element.setAttribute(name, value);
    }
    element.textContent = words || "";
    return element;
  };

  class SignaturePad {
    constructor(box, field) {
      this.box = box;
      this.field = field;
      this.lines = [];
      this.pointer = null; // the one pointer that draws: {id, type}
      this.full = false;
      this.canvas = made("canvas", {
        class: "pad-canvas",
        role: "img",
        "aria-label": box.dataset.label || "Signature box. Sign here, or type your name instead.",
      });
      this.pen = this.canvas.getContext && this.canvas.getContext("2d");
      if (!this.pen) {
        box.append(made("p", {}, "Drawing does not work in this browser: please type your name."));
        return;
      }
      this.build();
      this.listen();
      this.size();
      this.changed();
    }

    build() {
      // set from script, not in the page, so that a strict content security policy lets it pass
      Object.assign(this.canvas.style, {
        display: "block",
        width: "100%",
        height: "auto",
        aspectRatio: String(ASPECT),
        touchAction: "none",
        userSelect: "none",
        webkitUserSelect: "none",
      });
      const button = (words) => made("button", { type: "button", class: "button button-quiet" }, words);
      this.undoButton = button(this.box.dataset.undo || "Undo last line");
      this.clearButton = button(this.box.dataset.clear || "Clear");
      const buttons = made("div", { class: "pad-line" });
      buttons.append(this.undoButton, this.clearButton);
      this.status = made("p", { class: "pad-status", role: "status" });
      this.box.replaceChildren(this.canvas, buttons, this.status);
    }

    listen() {
      const on = (name, act) => this.canvas.addEventListener(name, act);
      on("pointerdown", (event) => this.down(event));
      on("pointermove", (event) => this.move(event));
      on("pointerup", (event) => this.up(event));
      on("pointercancel", (event) => this.cancel(event));
      on("contextmenu", (event) => event.preventDefault()); // a long press is a signature's start
      this.undoButton.addEventListener("click", () => this.undo());
      this.clearButton.addEventListener("click", () => this.clear());
      if (this.field.form) {
        this.field.form.addEventListener("reset", () => this.clear());
      }
      // a page that the browser brings back from its memory must not bring back a signature
      window.addEventListener("pageshow", (event) => event.persisted && this.clear());
      new ResizeObserver(() => this.size()).observe(this.canvas);
      window.addEventListener("resize", () => this.size()); // another screen: other pixel density
    }

    /* The canvas follows its box; the lines are drawn anew only if its pixels have changed. */
    size() {
      const { width, height } = this.area();
      const ratio = window.devicePixelRatio || 1;
      const [across, down] = [Math.round(width * ratio), Math.round(height * ratio)];
      if (across && (this.canvas.width !== across || this.canvas.height !== down)) {
        [this.canvas.width, this.canvas.height] = [across, down];
        this.redraw();
      }
    }

    /* Where on the screen one draws: the canvas within its border. */
    area() {
      const { left, top, width, height } = this.canvas.getBoundingClientRect();
      const { clientLeft, clientTop } = this.canvas;
      return {
        left: left + clientLeft,
        top: top + clientTop,
        width: width - 2 * clientLeft,
        height: height - 2 * clientTop,
      };
    }

    place(event) {
      const { left, top, width, height } = this.area();
      const within = (share) => Math.round(Math.min(1, Math.max(0, share)) * 1e4) / 1e4;
      return [within((event.clientX - left) / width), within((event.clientY - top) / height)];
    }

    down(event) {
      if (event.button !== 0 || !this.claims(event)) {
        return;
      }
      event.preventDefault();
      if (this.lines.length >= MOST_LINES || this.points() >= MOST_POINTS) {
        this.say("The box is full: clear it to sign again.");
        return;
      }
      this.pointer = { id: event.pointerId, type: event.pointerType };
      this.canvas.setPointerCapture(event.pointerId);
      this.lines.push([this.place(event)]);
      this.say("");
      this.redraw();
    }

    /* Whether this pointer may draw. A second one is a palm; but a pen takes over from a palm. */
    claims(event) {
      if (!this.pointer) {
        return true;
      }
      if (event.pointerType === "pen" && this.pointer.type === "touch") {
        this.lines.pop();
        this.pointer = null;
        return true;
      }
      return false;
    }

    draws(event) {
      return this.pointer !== null && this.pointer.id === event.pointerId;
    }

    move(event) {
      if (!this.draws(event)) {
        return;
      }
      const between = event.getCoalescedEvents ? event.getCoalescedEvents() : [];
      for (const moment of between.length ? between : [event]) {
        this.extend(moment);
      }
      this.redraw();
    }

    extend(moment) {
      const line = this.lines[this.lines.length - 1];
      const [x, y] = this.place(moment);
      const [lastX, lastY] = line[line.length - 1];
      const { width, height } = this.area();
      const step = Math.hypot((x - lastX) * width, (y - lastY) * height);
      if (step >= LEAST_STEP && this.points() < MOST_POINTS) {
        line.push([x, y]);
      }
    }

    up(event) {
      if (this.draws(event)) {
        this.extend(event);
        this.pointer = null;
        this.changed();
      }
    }

    /* The system took the pointer away, as for a palm: what it drew is not meant. */
    cancel(event) {
      if (this.draws(event)) {
        this.lines.pop();
        this.pointer = null;
        this.changed();
      }
    }

    undo() {
      this.pointer = null;
      this.lines.pop();
      this.changed();
      this.say(this.lines.length ? "Last line removed." : "The box is empty.");
    }

    clear() {
      this.pointer = null;
      this.lines = [];
      this.changed();
      this.say("The box is empty.");
    }

    points() {
      return this.lines.reduce((count, line) => count + line.length, 0);
    }

    say(words) {
      this.status.textContent = words;
    }

    changed() {
      this.field.value = this.lines.length ? JSON.stringify(this.lines) : "";
      this.undoButton.disabled = this.clearButton.disabled = !this.lines.length;
      this.redraw();
      this.field.dispatchEvent(new Event("input", { bubbles: true }));
    }

    redraw() {
      const { pen, canvas } = this;
      const { width, height } = canvas;
      pen.clearRect(0, 0, width, height);
      pen.strokeStyle = pen.fillStyle = getComputedStyle(this.box).color;
      pen.lineWidth = Math.max(1, (LINE_WIDTH * width) / 600);
      pen.lineCap = pen.lineJoin = "round";
      for (const line of this.lines) {
        pen.beginPath();
        pen.moveTo(line[0][0] * width, line[0][1] * height);
        for (const [x, y] of line.length > 1 ? line : [line[0], line[0]]) {
          pen.lineTo(x * width, y * height);
        }
        pen.stroke();
      }
    }
  }

  // remembered on the box itself, as a swapped-in page may bring this script a second time
  const setUp = () => {
    for (const box of document.querySelectorAll("[data-signature-pad]")) {
      const field = document.getElementById(box.dataset.for);
      if (field && !box.signaturePad) {
        box.signaturePad = new SignaturePad(box, field);
      }
    }
  };

  if (document.readyState === "loading") {
    document.addEventListener("DOMContentLoaded", setUp);
  } else {
    setUp();
  }
  document.addEventListener("htmx:load", setUp); // a step swapped in
})();
