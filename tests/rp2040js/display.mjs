// An SSD1306 or an SSD1309 of 128 x 64 on the SPI bus, as far as a picture needs it (SSD1306 data sheet, tables 9-1 and
// 10-1; SSD1309 from memory, unconfirmed): its memory, where the next byte goes, how it is shown, and whether it is on. It
// takes bytes only while it is selected.

const COLUMNS = 128;
const PAGES = 8;
// Commands with bytes behind them, and how many.
const LONG = new Map([
  [0x20, 1], [0x21, 2], [0x22, 2], [0x26, 6], [0x27, 6], [0x29, 5], [0x2a, 5], [0x81, 1], [0xa3, 2], [0xa8, 1],
  [0xd3, 1], [0xd5, 1], [0xd9, 1], [0xda, 1], [0xdb, 1],
]);
const CHARGE_PUMP = 0x8d;
// What shows a picture as it is meant, by the command's code or, where a code carries its value, by its highest bits.
const MEANT = { 0x20: 0x00, 0xa8: 0x3f, 0xd3: 0x00, 0xda: 0x12, 0xa3: 0x40, scroll: 0x2e, line: 0x40, columns: 0xa1, rows: 0xc8, all: 0xa4, inverted: 0xa6 };

export class Display {
  constructor({ chargePump }) {
    this.took = 0;
    this.long = new Map(LONG);
    // The SSD1309 takes the command as none, and the byte behind it as another one.
    if (chargePump) this.long.set(CHARGE_PUMP, 1);
    this.chargePump = chargePump;
    this.reset();
  }

  // What its reset line does. What its memory holds then is not specified: here nothing, so that an old picture cannot
  // pass for a new one.
  reset() {
    this.memory = new Uint8Array(COLUMNS * PAGES);
    this.window = { columns: [0, COLUMNS - 1], pages: [0, PAGES - 1] };
    this.at = { column: 0, page: 0 };
    this.on = false;
    this.pumped = !this.chargePump;
    this.set = { 0x20: 0x02, 0xa8: 0x3f, 0xd3: 0x00, 0xda: 0x12, 0xa3: 0x40, scroll: 0x2e, line: 0x40, columns: 0xa0, rows: 0xc0, all: 0xa4, inverted: 0xa6 };
    this.command = [];
  }

  // What a disturbance on its wires may do: all that a command can say is wrong, and so is what it shows; and it waits for
  // the six bytes that scrolling takes.
  disturb() {
    this.memory.fill(0x55);
    this.window = { columns: [7, 90], pages: [2, 3] };
    this.at = { column: 9, page: 3 };
    this.set = { 0x20: 0x01, 0xa8: 0x1f, 0xd3: 0x05, 0xda: 0x02, 0xa3: 0x20, scroll: 0x2f, line: 0x47, columns: 0xa0, rows: 0xc0, all: 0xa5, inverted: 0xa7 };
    this.command = [0x27];
  }

  // Takes a byte of the bus.
  take(byte, isData) {
    this.took++;
    if (isData) this.data(byte);
    else this.takeCommand(byte);
  }

  takeCommand(byte) {
    this.command.push(byte);
    const [code, ...values] = this.command;
    if (values.length < (this.long.get(code) ?? 0)) return;
    this.command = [];
    if (code === 0xae && this.on) throw new Error('the display was switched off: it blinks');
    if (code === 0xaf) this.on = this.pumped;
    if (code === CHARGE_PUMP && this.chargePump) this.pumped = values[0] === 0x14;
    if (code in this.set) this.set[code] = values.at(-1);
    if (code >> 1 === 0x2e >> 1) this.set.scroll = code;
    if (code >> 6 === 1) this.set.line = code;
    if (code >> 1 === 0xa0 >> 1) this.set.columns = code;
    if (code >> 1 === 0xa4 >> 1) this.set.all = code;
    if (code >> 1 === 0xa6 >> 1) this.set.inverted = code;
    if (code >> 4 === 0xc) this.set.rows = code & 0xf8;
    if (code === 0x21) [this.window.columns, this.at.column] = [values, values[0]];
    if (code === 0x22) [this.window.pages, this.at.page] = [values, values[0]];
  }

  data(byte) {
    const { at, window } = this;
    this.memory[at.page * COLUMNS + at.column] = byte;
    if (at.column++ < window.columns[1]) return;
    at.column = window.columns[0];
    if (at.page++ >= window.pages[1]) at.page = window.pages[0];
  }

  // 64 rows of `#` and `.`; all dark while the display is off, or shows what it holds in another way than meant.
  picture() {
    const shows = this.on && Object.entries(MEANT).every(([what, value]) => this.set[what] === value);
    const lit = (x, y) => shows && (this.memory[(y >> 3) * COLUMNS + x] >> (y & 7)) & 1;
    const row = (y) => Array.from({ length: COLUMNS }, (_, x) => (lit(x, y) ? '#' : '.')).join('');
    return Array.from({ length: PAGES * 8 }, (_, y) => row(y));
  }
}
