// A memory chip of the 24xx256 class on the I2C bus, kept in a file.
//
// It latches up to 64 bytes of one page, begins to write at the stop, and does not answer for 5 ms, the longest that the
// data sheets of this class allow. Transfers themselves take no time here.

import { closeSync, existsSync, openSync, readFileSync, writeFileSync, writeSync } from 'node:fs';

const ADDRESS = 0x50;
const BYTES = 32768;
const PAGE = 64;
const WRITE_NANOS = 5_000_000;

export class Eeprom {
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

  // On the bus of a chip that has just started.
  attach(chip, i2c) {
    this.busyUntil = 0;
    i2c.onStart = () => i2c.completeStart();
    i2c.onConnect = (address, mode) => {
      const answers = address === ADDRESS && chip.clock.nanos >= this.busyUntil;
      const reads = mode === 1;
      if (!reads) this.began();
      i2c.completeConnect(answers);
      // The controller says so when its queue was emptied by the missing answer; rp2040js does not.
      if (!answers) i2c.setInterrupts(1 << 4);
    };
    i2c.onWriteByte = (byte) => {
      this.took(byte);
      i2c.completeWrite(true);
    };
    i2c.onReadByte = () => {
      const byte = this.cells[this.counter];
      this.counter = (this.counter + 1) % BYTES;
      i2c.completeRead(byte);
    };
    i2c.onStop = () => {
      if (this.latch.length > 0) this.write(chip.clock.nanos);
      i2c.completeStop();
    };
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
