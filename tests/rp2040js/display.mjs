// An SSD1306 of 128 x 64 on the SPI bus, as far as a picture needs it (data sheet, tables 9-1 and 10-1): its memory,
// where the next byte goes, and whether it is on. It takes bytes only while it is selected.

const COLUMNS = 128;
const PAGES = 8;
// Commands with bytes behind them, and how many.
const LONG = new Map([
  [0x20, 1], [0x21, 2], [0x22, 2], [0x81, 1], [0x8d, 1], [0xa8, 1], [0xd3, 1], [0xd5, 1], [0xd9, 1], [0xda, 1], [0xdb, 1],
]);

export class Display {
  constructor() {
    this.took = 0;
    this.reset();
  }

  // What its reset line does. What its memory holds then is not specified: here nothing, so that an old picture cannot
  // pass for a new one.
  reset() {
    this.memory = new Uint8Array(COLUMNS * PAGES);
    this.window = { columns: [0, COLUMNS - 1], pages: [0, PAGES - 1] };
    this.at = { column: 0, page: 0 };
    this.on = false;
    this.horizontal = false;
    this.command = [];
  }

  // On the bus of a chip that has just started; what it shows stays until it is reset.
  attach(spi, selected, isData) {
    spi.onTransmit = (byte) => {
      if (selected()) {
        this.took++;
        if (isData()) this.data(byte);
        else this.takeCommand(byte);
      }
      spi.completeTransmit(0);
    };
  }

  takeCommand(byte) {
    this.command.push(byte);
    const [code, ...values] = this.command;
    if (values.length < (LONG.get(code) ?? 0)) return;
    this.command = [];
    if (code === 0xae || code === 0xaf) this.on = code === 0xaf;
    if (code === 0x20) this.horizontal = values[0] === 0;
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

  // 64 rows of `#` and `.`; all dark while the display is off, or written to in an order that is not emulated.
  picture() {
    const lit = (x, y) => this.on && this.horizontal && (this.memory[(y >> 3) * COLUMNS + x] >> (y & 7)) & 1;
    const row = (y) => Array.from({ length: COLUMNS }, (_, x) => (lit(x, y) ? '#' : '.')).join('');
    return Array.from({ length: PAGES * 8 }, (_, y) => row(y));
  }
}
