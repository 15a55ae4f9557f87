"use strict";
// The page gives the keypad keys and time, and shows what it answers. What the keypad does is in the module alone.

const KEYS = ["up", "down", "left", "right", "centre"]; // in the order of the module's bits
/// Signs that are not read out, in words.
const SPOKEN = { "+": "more", "-": "less", "++": "much more", "--": "much less" };
const KEEP = "bevelbook keypad memory";
/// A tap can be shorter than a contact bounces: a key stays down for this long at least, in milliseconds.
const SHORTEST_MS = 50;
/// How often the keys are read while one moves, in milliseconds.
const SAMPLE_MS = 8;
/// How long a key that was let go may still bounce, in milliseconds.
const SETTLE_MS = 60;
/// What a small disc sounds at.
const TONE_HZ = 2700;

const one = (id) => document.getElementById(id);
const bytesOf = (text) => Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
const textOf = (bytes) => {
  let text = "";
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text);
};

/// The module, with the time since its keypad was plugged in. `feed` and `transmit` are its line to a console.
class Board {
  static async made() {
    const { instance } = await WebAssembly.instantiate(bytesOf(one("module").textContent.trim()), {});
    return new Board(instance.exports);
  }
  constructor(calls) {
    this.calls = calls;
    this.place = calls.place();
    this.since = 0;
  }
  /// Milliseconds since it was plugged in.
  get now() { return Math.floor(performance.now() - this.since); }
  left(count) { return new Uint8Array(this.calls.memory.buffer, this.place, count).slice(); }
  put(bytes) {
    new Uint8Array(this.calls.memory.buffer, this.place, bytes.length).set(bytes);
    return bytes.length;
  }
  start(kept) {
    this.since = performance.now();
    this.calls.start(this.put(kept), crypto.getRandomValues(new BigUint64Array(1))[0]);
  }
  keys(levels) { this.calls.keys(levels, this.now); }
  turn() { return this.calls.turn(performance.now() * 1000, this.now) === 1; }
  get rests() { return this.calls.rests(this.now); }
  get picture() { return this.left(this.calls.picture()); }
  get said() {
    const lines = new TextDecoder().decode(this.left(this.calls.said(this.now))).split("\n");
    const answers = lines.splice(0, KEYS.length).map((line) => line.split("\t"));
    return { answers, rows: lines };
  }
  get sound() { return [...new Uint16Array(this.left(this.calls.sound()).buffer)]; }
  get begun() { return this.calls.begun() === 1; }
  order() { this.calls.order(this.now); }
  get writes() { return this.calls.writes(); }
  get chip() { return this.left(this.calls.chip()); }
  feed(bytes) { this.calls.feed(this.put(bytes), this.now); }
  transmit() { return this.left(this.calls.transmit(this.now)); }
  get lastWords() { return new TextDecoder().decode(this.left(400)).split("\0")[0]; }
}

/// The display: each dot a whole number of the screen's own, unless it is shown at its real size.
class Display {
  constructor(canvas) {
    this.canvas = canvas;
    this.context = canvas.getContext("2d");
    this.dots = this.context.createImageData(canvas.width, canvas.height);
    this.real = "";
    new ResizeObserver(() => this.fit()).observe(canvas.parentElement);
  }
  draw(bits) {
    const { data, width } = this.dots;
    for (let dot = 0; dot < data.length / 4; dot++) {
      const [x, y] = [dot % width, Math.floor(dot / width)];
      const lit = (bits[(y >> 3) * width + x] >> (y & 7)) & 1;
      data.set(lit ? [233, 244, 255, 255] : [7, 9, 11, 255], dot * 4);
    }
    this.context.putImageData(this.dots, 0, 0);
  }
  fit() {
    const { canvas } = this;
    const ratio = window.devicePixelRatio;
    const around = getComputedStyle(canvas.parentElement);
    const room = canvas.parentElement.clientWidth - parseFloat(around.paddingLeft) - parseFloat(around.paddingRight);
    const times = Math.max(1, Math.floor((room * ratio) / canvas.width));
    const large = [canvas.width, canvas.height].map((dots) => `${(dots * times) / ratio}px`);
    const [width, height] = this.real ? this.real.split(" ").map((mm) => `${mm}mm`) : large;
    canvas.classList.toggle("true", this.real !== "");
    Object.assign(canvas.style, { width, height });
  }
}

/// The five keys, from whatever presses them. Tells `moved` the levels whenever they change.
class Keypad {
  constructor(cross, moved) {
    this.buttons = KEYS.map((_, key) => cross.querySelector(`[data-key="${key}"]`));
    this.moved = moved;
    this.pressed = new Map(); // who presses, and which key since when
    this.movedAt = 0;
    this.latched = false;
    this.buttons.forEach((button, key) => this.listen(button, key));
    document.addEventListener("keydown", (event) => this.typed(event));
    document.addEventListener("keyup", (event) => this.up(event.code));
    const all = () => [...this.pressed.keys()].forEach((who) => this.up(who));
    window.addEventListener("blur", all);
    document.addEventListener("visibilitychange", all);
  }
  listen(button, key) {
    button.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      // Enter is the centre's for whoever also types: a pointer leaves no focus behind.
      document.activeElement?.blur();
      button.setPointerCapture(event.pointerId);
      this.down(`pointer ${event.pointerId}`, key);
    });
    for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) {
      button.addEventListener(end, (event) => this.up(`pointer ${event.pointerId}`));
    }
    for (const own of ["mousedown", "contextmenu"]) button.addEventListener(own, (event) => event.preventDefault());
    // A click that no pointer made: a screen reader's, or a switch's.
    button.addEventListener("click", (event) => {
      if (event.detail !== 0) return;
      this.down("click", key);
      this.up("click");
    });
  }
  typed(event) {
    const { target, code, ctrlKey, altKey, metaKey } = event;
    if (ctrlKey || altKey || metaKey) return;
    const own = this.buttons.indexOf(target.closest?.("button"));
    // Other things on the page keep their keys.
    if (own < 0 && target.closest?.("button, input, summary")) return;
    const centre = ["Enter", "Space", "NumpadEnter"].includes(code) ? (own < 0 ? 4 : own) : -1;
    const arrow = ["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"].indexOf(code);
    const key = Math.max(centre, arrow);
    if (key < 0) return;
    event.preventDefault();
    if (!event.repeat) this.down(code, key);
  }
  down(who, key) {
    this.pressed.set(who, { key, since: performance.now() });
    this.tell();
  }
  up(who) {
    const press = this.pressed.get(who);
    if (!press || press.ends) return;
    press.ends = true;
    const least = this.latched ? this.holdMs + SETTLE_MS : SHORTEST_MS;
    if (this.latched) this.latch(false);
    const left = Math.max(0, press.since + least - performance.now());
    setTimeout(() => {
      if (this.pressed.get(who) === press) this.pressed.delete(who);
      this.tell();
    }, left);
  }
  latch(on) {
    this.latched = on;
    one("latch").setAttribute("aria-pressed", String(on));
  }
  focus() { this.buttons[4].focus({ preventScroll: true, focusVisible: false }); }
  get levels() { return [...this.pressed.values()].reduce((bits, { key }) => bits | (1 << key), 0); }
  get moves() { return this.pressed.size > 0 || performance.now() - this.movedAt < SETTLE_MS; }
  tell() {
    this.movedAt = performance.now();
    this.buttons.forEach((button, key) => button.classList.toggle("pressed", Boolean(this.levels & (1 << key))));
    this.moved();
  }
  show(answers) {
    answers.forEach(([says, held], key) => {
      const button = this.buttons[key];
      button.querySelector(".says").textContent = says;
      button.querySelector(".held").textContent = held && `hold: ${held}`;
      const said = SPOKEN[says] ?? says;
      button.setAttribute("aria-label", `${KEYS[key]}: ${said || "nothing"}${held && `; held: ${held}`}`);
    });
  }
}

/// The buzzer: one tone, in turns of sound and silence.
class Buzzer {
  play(rhythm) {
    this.context ??= new AudioContext();
    let at = this.context.currentTime;
    rhythm.forEach((ms, turn) => {
      if (turn % 2 === 0) this.tone(at, at + ms / 1000);
      at += ms / 1000;
    });
  }
  tone(from, to) {
    const [tone, volume] = [this.context.createOscillator(), this.context.createGain()];
    tone.frequency.value = TONE_HZ;
    volume.gain.value = 0.2;
    tone.connect(volume).connect(this.context.destination);
    tone.start(from);
    tone.stop(to);
  }
}

/// What this browser keeps of the memory, if it keeps anything.
const kept = {
  read() { try { return localStorage.getItem(KEEP); } catch { return null; } },
  write(text) { try { localStorage.setItem(KEEP, text); return true; } catch { return false; } },
  forget() { try { localStorage.removeItem(KEEP); } catch { /* nothing is kept then */ } },
};

async function main() {
  const display = new Display(one("display"));
  const buzzer = new Buzzer();
  let board = await Board.made();
  let chip = new Uint8Array(); // what is on it, whatever becomes of the board
  let [timer, written, text] = [0, 0, ""];

  const show = () => {
    display.draw(board.picture);
    const { answers, rows } = board.said;
    keypad.show(answers);
    const shown = rows.filter((row) => row).join("\n");
    if (shown !== text) [one("letters").textContent, one("spoken").textContent] = [rows.join("\n"), shown];
    text = shown;
    one("order").disabled = !board.begun;
    one("ordered").hidden = board.begun;
  };
  const line = () => {}; // takes the bytes of a console's line: nobody does yet
  const run = () => {
    clearTimeout(timer);
    try {
      board.keys(keypad.levels);
      if (board.turn()) show();
      const { sound } = board;
      if (one("buzzer").checked && sound.length > 0) buzzer.play(sound);
      for (let bytes; (bytes = board.transmit()).length > 0; ) line(bytes);
      if (board.writes !== written) {
        [written, chip] = [board.writes, board.chip];
        if (one("keep").checked) kept.write(textOf(chip));
      }
      timer = setTimeout(run, keypad.moves ? SAMPLE_MS : Math.min(Math.max(board.rests, SAMPLE_MS), 500));
    } catch (why) {
      one("stopped").hidden = false;
      one("stopped").textContent = `The keypad stopped, which is a defect: ${board.lastWords || why}. “Pull the plug” starts it again.`;
    }
  };
  const start = async (memory) => {
    one("stopped").hidden = true;
    board = await Board.made();
    [chip, written] = [memory, 0];
    board.start(memory);
    run();
  };
  const keypad = new Keypad(one("cross"), run);
  keypad.holdMs = board.calls.hold();
  one("cross").style.setProperty("--hold", `${keypad.holdMs}ms`);

  one("latch").onclick = () => keypad.latch(!keypad.latched);
  one("order").onclick = () => {
    board.order();
    keypad.focus();
    run();
  };
  one("pull").onclick = () => start(chip).then(() => keypad.focus());
  one("anew").onclick = () => {
    if (!confirm("Empty the keypad's memory? Its log and its orders are gone then.")) return;
    kept.forget();
    one("keep").checked = false;
    start(new Uint8Array()).then(() => keypad.focus());
  };
  one("keep").onchange = ({ target }) => {
    if (!target.checked) return kept.forget();
    target.checked = kept.write(textOf(chip));
    one("unkept").hidden = target.checked;
  };
  for (const size of document.getElementsByName("size")) {
    size.onchange = () => {
      display.real = size.value;
      display.fit();
      one("ruler").hidden = size.value === "";
    };
  }
  const before = kept.read();
  one("keep").checked = before !== null;
  await start(before === null ? new Uint8Array() : bytesOf(before));
}

main().catch((why) => {
  one("stopped").hidden = false;
  one("stopped").textContent = `The keypad does not start here: ${why}. It needs a browser with WebAssembly, of 2023 or newer.`;
});
