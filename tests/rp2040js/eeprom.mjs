// A memory chip of the 24xx256 class on the I2C bus, kept in a file.
//
// It latches up to 64 bytes of one page, begins to write at the stop, and does not answer for 5 ms, the longest that the
// data sheets of this class allow. Transfers themselves take no time here.

import { closeSync, existsSync, openSync, readFileSync, writeFileSync, writeSync } from 'node:fs';

const BYTES = 32768;
const PAGE = 64;
const WRITE_NANOS = 5_000_000;

export class Eeprom {
  address = 0x50;

  constructor(path) {
    if (!existsSync(path)) writeFileSync(path, Buffer.alloc(BYTES, 0xff));
    this.cells = readFileSync(path);
    if (this.cells.length !== BYTES) throw new Error(`${path}: ${this.cells.length} bytes, not ${BYTES}`);
    this.file = openSync(path, 'r+');
    this.counter = 0;
    this.written = 0;
    this.due = { at: -1, act: () => {} };
    this.began();
  }

  // Whose bus it is on has just started.
  started() {
    this.busyUntil = 0;
  }

  answers(now) {
    return now >= this.busyUntil;
  }

  began() {
    this.place = [];
    this.latch = [];
  }

  took(byte) {
    if (this.place.length < 2) {
      this.place.push(byte);
      this.counter = ((this.place[0] << 8) | (this.place[1] ?? 0)) % BYTES;
    } else this.latch.push(byte);
  }

  gives() {
    const byte = this.cells[this.counter];
    this.counter = (this.counter + 1) % BYTES;
    return byte;
  }

  ended(now) {
    if (this.latch.length > 0) this.write(now);
  }

  write(now) {
    const page = this.counter - (this.counter % PAGE);
    this.latch.forEach((byte, n) => (this.cells[page + ((this.counter + n) % PAGE)] = byte));
    writeSync(this.file, this.cells, page, PAGE, page);
    this.busyUntil = now + WRITE_NANOS;
    this.written++;
    this.began();
    if (this.written === this.due.at) this.due.act();
  }

  // Something happens when so many more pages were written.
  after(pages, act) {
    this.due = { at: this.written + pages, act };
  }

  close() {
    closeSync(this.file);
  }
}
