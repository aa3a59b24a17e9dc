// The hand on a panel: handles over its picture, names for its sliders, keys and presses that stay in the panel.
// No geometry here: where a handle is, and what a place means, is Python's to say.
// a phone's picture has room for one short line over what it says itself
const HINTS = { wide: "Drag a pulley or a ring, or press Tab and move it with the arrow keys.", phone: "Drag a pulley." };
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const MOST_UNDER_WAY = 2;
// so far, in pixels, a pointer may go before it drags
const TREMBLE = 3;

function put(node, name, value) {
  if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
}

// -- the panel round this widget: keys and names ------------------------------------------------------------

// The lab's shortcuts (D D deletes the cell) listen further up; what is typed in a panel is meant for the panel.
function keepKeys(panel) {
  const keep = event => {
    if (!event.ctrlKey && !event.metaKey && !(event.shiftKey && event.key === "Enter")) event.stopPropagation();
  };
  panel.addEventListener("keydown", keep);
  return () => panel.removeEventListener("keydown", keep);
}

// To press a button is to leave the field before it: what that changes above moves the button away from under the
// pointer, and the press would be lost. The button holds a press until the pointer itself goes off.
const STILL = 24;
function holdPresses(panel) {
  let held = null;
  const press = event => {
    const button = event.button === 0 && event.target.closest(".jk-button");
    if (!button || button.disabled) return;
    held = { button, id: event.pointerId, x: event.clientX, y: event.clientY };
    try { button.setPointerCapture(event.pointerId); } catch { held = null; /* a pointer that a test made up */ }
  };
  const go = event => {
    if (!held || event.pointerId !== held.id || Math.hypot(event.clientX - held.x, event.clientY - held.y) <= STILL) return;
    held.button.releasePointerCapture(held.id);
    held = null;
  };
  const end = () => { held = null; };
  const told = { pointerdown: press, pointermove: go, pointerup: end, pointercancel: end };
  for (const [name, what] of Object.entries(told)) panel.addEventListener(name, what);
  return () => { for (const [name, what] of Object.entries(told)) panel.removeEventListener(name, what); };
}

// A second change of a field waits in the page until the kernel has answered the first, and a press does not: it would
// be obeyed with the older text. So a press waits until nothing that was typed or moved is held back.
const AGAIN = 20;
function holdTyped(panel, manager) {
  const held = () => [...(manager?._modelsSync?.values() ?? [])].some(one => one._msg_buffer);
  const waiting = new Set();
  const press = event => {
    const button = event.target.closest(".jk-button");
    if (!button || !held()) return;
    event.stopImmediatePropagation();
    event.preventDefault();
    if (waiting.has(button)) return;
    waiting.add(button);
    const go = () => {
      if (button.isConnected && held()) { setTimeout(go, AGAIN); return; }
      waiting.delete(button);
      if (button.isConnected) button.click();
    };
    setTimeout(go, AGAIN);
  };
  panel.addEventListener("click", press, true);
  return () => panel.removeEventListener("click", press, true);
}

let count = 0;
function nameSliders(panel) {
  for (const control of panel.querySelectorAll(".jk-control")) {
    const label = control.querySelector("label"), field = control.querySelector("input[type=text], select");
    if (!label || !field) continue;
    const handle = control.querySelector(".noUi-handle"), echo = control.querySelector(".jk-echo");
    if (handle) {
      put(handle, "aria-label", label.textContent);
      put(handle, "aria-valuetext", field.value || "not known yet");
    }
    if (echo) {
      if (!echo.id) echo.id = `jk-echo-${++count}`;
      put(field, "aria-describedby", echo.id);
    }
    put(field, "aria-invalid", control.classList.contains("jk-bad"));
  }
}

function watchPanel(panel) {
  let asked = 0;
  const soon = () => { asked ||= setTimeout(() => { asked = 0; nameSliders(panel); }, 200); };
  const seen = new MutationObserver(soon);
  seen.observe(panel, { subtree: true, childList: true, attributes: true, attributeFilter: ["class", "aria-valuenow"] });
  panel.addEventListener("change", soon);
  soon();
  return () => { seen.disconnect(); clearTimeout(asked); panel.removeEventListener("change", soon); };
}

// -- handles over the picture ------------------------------------------------------------------------------------

function render({ model, el }) {
  el.classList.add("jk-hand");
  const ends = [];
  const line = document.createElement("div");
  line.className = "jk-hand-line";
  line.setAttribute("role", "status");
  const ring = document.createElement("div");
  ring.className = "jk-ring";
  ring.hidden = true;
  el.append(ring, line);
  const grips = new Map();
  let hand = null, sent = 0, waiting = null, frame = 0;

  const canvas = () => el.closest(".jk-canvas");
  // Once the kernel knows which width is seen it draws that one alone; the style sheet says which, where it has room.
  const mine = String(Math.random());
  let told = "";
  function tell(which) {
    if (which === told) return;
    try {
      model.send({ do: "shows", view: mine, which });
      told = which;
    } catch { /* without a kernel the picture stays as it is */ }
  }
  function tellWidth() {
    const around = canvas();
    if (around?.offsetWidth) tell(getComputedStyle(around).getPropertyValue("--jk-shows").trim());
  }

  // the picture may be there twice, for a page and for a phone; the style sheet shows one
  function sheet() {
    for (const which of ["wide", "phone"]) {
      const svg = canvas()?.querySelector(`.jk-${which} svg`);
      const box = svg?.getBoundingClientRect();
      const map = model.get("maps")[which];
      if (box && box.width > 0 && map) return { box, map, which };
    }
    return null;
  }
  const toPage = (on, x, y) => [on.box.width * (on.map[0] + on.map[1] * x), on.box.height * (on.map[2] + on.map[3] * y)];

  function show() {
    const on = sheet(), list = on ? model.get("grips") : [];
    const own = el.getBoundingClientRect();
    const there = new Set();
    for (const grip of list) {
      let node = grips.get(grip.part);
      if (!node) grips.set(grip.part, (node = make(grip.part)));
      there.add(grip.part);
      const [left, top] = toPage(on, grip.x, grip.y);
      const size = Math.min(Math.max(2 * grip.r * on.map[1] * on.box.width, 44), 64);
      node.style.left = `${on.box.left - own.left + left}px`;
      node.style.top = `${on.box.top - own.top + top}px`;
      node.style.width = node.style.height = `${size}px`;
      node.classList.toggle("jk-seen", grip.seen);
      node.style.zIndex = String(1000 - Math.round(size));
      put(node, "aria-label", grip.label);
      put(node, "aria-valuetext", grip.words);
      put(node, "aria-valuenow", Math.round(grip.x));
    }
    for (const [part, node] of grips) if (!there.has(part)) { node.remove(); grips.delete(part); }
    line.textContent = list.length ? model.get("says") || (hand ? "" : HINTS[on.which]) : "";
    follow(on, own);
  }

  function make(part) {
    const node = document.createElement("div");
    node.className = "jk-grip";
    node.tabIndex = 0;
    for (const [name, value] of [["role", "slider"], ["aria-valuemin", -100000], ["aria-valuemax", 100000]]) put(node, name, value);
    node.addEventListener("pointerdown", event => take(event, part));
    node.addEventListener("pointermove", move);
    node.addEventListener("pointerup", event => leave(event, "drop"));
    node.addEventListener("pointercancel", event => leave(event, "cancel"));
    node.addEventListener("keydown", event => key(event, part));
    el.append(node);
    return node;
  }

  // at most two messages under way; of the moves that wait only the newest counts
  function send(message) {
    if (message.do === "move" && sent - model.get("done") >= MOST_UNDER_WAY) { waiting = message; return; }
    waiting = null;
    try {
      model.send({ ...message, n: ++sent });
    } catch {
      hand = null;
      line.textContent = "The kernel is gone. Run this cell again.";
    }
  }

  // How far the pointer has gone since it took hold, in the drawing's own lengths: the words above the picture may
  // grow by a line meanwhile and push it down under the pointer, which moves nothing.
  function gone(event) {
    const { box, map } = hand.on;
    return [(event.clientX - hand.left) / (box.width * map[1]), (event.clientY - hand.top) / (box.height * map[3])];
  }

  // handles may lie over each other: the one is meant whose middle is nearest, by its own size
  function meant(event, part) {
    const off = node => {
      const box = node.getBoundingClientRect();
      return Math.hypot(event.clientX - box.left - box.width / 2, event.clientY - box.top - box.height / 2) / box.width;
    };
    return [...grips].reduce((best, one) => (off(one[1]) < off(best[1]) ? one : best), [part, grips.get(part)])[0];
  }

  function take(event, touched) {
    const on = sheet();
    if (hand || event.button > 0 || !on) return;
    const part = meant(event, touched), { x, y, r } = model.get("grips").find(one => one.part === part);
    hand = { part, id: event.pointerId, on, left: event.clientX, top: event.clientY, from: [x, y], x, y, r };
    try { event.currentTarget.setPointerCapture(event.pointerId); } catch { /* a pointer that a test made up */ }
    grips.get(part).focus({ preventScroll: true });
    el.classList.add("jk-holding");
    send({ do: "take", part });
    event.preventDefault();
    show();
  }

  function move(event) {
    if (!hand || event.pointerId !== hand.id) return;
    // a hand that only takes hold trembles: what was measured stays as it is
    hand.moved ||= Math.hypot(event.clientX - hand.left, event.clientY - hand.top) > TREMBLE;
    if (!hand.moved) return;
    const [x, y] = gone(event);
    hand.x = hand.from[0] + x;
    hand.y = hand.from[1] + y;
    follow(sheet(), el.getBoundingClientRect());
    frame ||= requestAnimationFrame(() => { frame = 0; if (hand) send({ do: "move", part: hand.part, x: hand.x, y: hand.y }); });
  }

  function leave(event, what) {
    if (!hand || event.pointerId !== hand.id) return;
    const { part, x, y, moved } = hand;
    hand = null;
    waiting = null;
    el.classList.remove("jk-holding");
    send(moved ? { do: what, part, x, y } : { do: "cancel", part, still: true });
    show();
  }

  // the ring is where the hand is, at the screen's own rate; the pulley is where Python put it
  function follow(on, own) {
    ring.hidden = !hand || !on;
    if (ring.hidden) return;
    const [left, top] = toPage(on, hand.x, hand.y), size = 2 * hand.r * on.map[1] * on.box.width;
    ring.style.cssText = `left:${on.box.left - own.left + left}px;top:${on.box.top - own.top + top}px;width:${size}px;height:${size}px`;
  }

  function key(event, part) {
    const arrow = ARROWS[event.key];
    if (arrow) send({ do: "key", part, dx: arrow[0], dy: arrow[1], fine: event.shiftKey });
    else if (event.key === "PageUp" || event.key === "PageDown") send({ do: "stop", part, way: event.key === "PageUp" ? 1 : -1 });
    else if (event.key === "Escape") { hand = null; send({ do: "cancel", part }); }
    else return;
    event.preventDefault();
  }

  model.on("change:done", () => { show(); if (waiting) send(waiting); });
  for (const name of ["grips", "maps", "says"]) model.on(`change:${name}`, show);

  // the widget is put into the page after it is rendered
  const start = setTimeout(() => {
    const panel = el.closest(".jk-panel");
    if (panel) ends.push(keepKeys(panel), holdPresses(panel), holdTyped(panel, model.widget_manager), watchPanel(panel));
    const around = canvas();
    if (!around) el.style.display = "none";
    if (around) {
      const size = new ResizeObserver(() => { tellWidth(); show(); });
      size.observe(around);
      ends.push(() => { size.disconnect(); tell(""); });
    }
    show();
  }, 50);
  return () => { clearTimeout(start); ends.forEach(end => end()); };
}

export default { render };
