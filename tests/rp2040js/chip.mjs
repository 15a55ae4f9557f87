// The RP2040 with an image in its flash, as far as rp2040js goes, and what it leaves out: a boot ROM, a flash chip that
// tells its number, and USB buffers that wait for the host.
//
// The boot ROM here is our own and does the little that the image asks for: a look-up by the two letters of a
// function's code (RP2040 data sheet, 2.8.2), a copy of words, and functions of the flash chip that do nothing. The real
// one's work before the image runs (to copy 256 bytes, check their sum and start them) is not emulated; the sum is
// checked here.

import { readFileSync } from 'node:fs';
import { BasePeripheral, ConsoleLogger, LogLevel, Simulator } from 'rp2040js';

const FLASH = 0x10000000;
const RAM = 0x20000000;
const RAM_BYTES = 264 * 1024;
const UNTOUCHED = 0xa5a5a5a5;
const HARD_FAULT = 3;

// The flash chip's own number as the command 0x4b tells it, behind four bytes of no meaning.
export const FLASH_ID = [0xe6, 0x61, 0x41, 0x04, 0x03, 0x2a, 0x5b, 0x17];

// Thumb instructions from address 0x40 on.
const LOOK_UP = 0x40;
const NOTHING = 0x4a;
const COPY = 0x4c;
const ROM_CODE = [
  0x0a09, // look_up:  lsrs r1, r1, #8     the code's second letter
  0x204b, //           movs r0, #NOTHING | 1
  0x2934, //           cmp r1, #'4'        C4 copies words
  0xd100, //           bne nothing
  0x204d, //           movs r0, #COPY | 1
  0x4770, // nothing:  bx lr
  0x3a04, // copy:     subs r2, #4
  0xdb02, //           blt done
  0x588b, //           ldr r3, [r1, r2]
  0x5083, //           str r3, [r0, r2]
  0xe7fa, //           b copy
  0x4770, // done:     bx lr
  0xbf30, // stall:    wfi
  0xe7fd, //           b stall
];

// Where the processor goes round and serves nothing but interrupts; it waits for them, since busy waiting is slow here.
const STALL = LOOK_UP + 2 * ROM_CODE.indexOf(0xbf30);

function bootRom() {
  const halves = new Uint16Array(0x4000 / 2);
  halves.set([0x2000, 0x2004], 0); // the stack, at the top of RAM
  halves[0x14 / 2] = 0x20; // the table of functions, which our look-up does not read
  halves[0x18 / 2] = LOOK_UP | 1;
  halves.set(ROM_CODE, LOOK_UP / 2);
  if (LOOK_UP + 2 * ROM_CODE.indexOf(0x4770) !== NOTHING || NOTHING + 2 !== COPY) throw new Error('boot ROM');
  return new Uint32Array(halves.buffer);
}

// Puts a UF2 file into the flash. Written from the format's specification, apart from our converter.
export function loadUf2(path, flash) {
  const file = readFileSync(path);
  const count = file.length / 512;
  if (!Number.isInteger(count) || count === 0) throw new Error(`${path}: ${file.length} bytes are no UF2 blocks`);
  for (let number = 0; number < count; number++) {
    const word = (n) => file.readUInt32LE(number * 512 + n);
    const right =
      word(0) === 0x0a324655 && word(4) === 0x9e5d5157 && word(508) === 0x0ab16f30 &&
      word(8) === 0x2000 && word(28) === 0xe48bff56 && word(16) === 256 &&
      word(20) === number && word(24) === count && word(12) % 256 === 0 && word(12) >= FLASH;
    if (!right) throw new Error(`${path}: block ${number} is not one for an RP2040`);
    flash.set(file.subarray(number * 512 + 32, number * 512 + 32 + 256), word(12) - FLASH);
  }
}

// The sum that the boot ROM wants at the end of the first 256 bytes: CRC-32 with polynomial 0x04c11db7, from all
// ones, neither reflected nor inverted (data sheet, 2.8.1.3.1).
function checkBoot2(flash) {
  let crc = 0xffffffff;
  for (const byte of flash.subarray(0, 252)) {
    crc ^= byte << 24;
    for (let bit = 0; bit < 8; bit++) crc = crc & 0x80000000 ? (crc << 1) ^ 0x04c11db7 : crc << 1;
  }
  const stored = new DataView(flash.buffer, flash.byteOffset).getUint32(252, true);
  if (crc >>> 0 !== stored) throw new Error('the boot ROM would not start this image: the sum of its first 256 bytes is wrong');
}

// The flash chip's serial interface: rp2040js has it do nothing; here it tells the chip's number.
function tellFlashId(ssi) {
  const DATA = 0x60;
  let answer = [];
  const [read, write] = [ssi.readUint32.bind(ssi), ssi.writeUint32.bind(ssi)];
  ssi.readUint32 = (offset) => (offset === DATA && answer.length > 0 ? answer.shift() : read(offset));
  ssi.writeUint32 = (offset, value) => {
    if (offset === DATA && (value & 0xff) === 0x4b) answer = [0, 0, 0, 0, ...FLASH_ID];
    else write(offset, value);
  };
}

// The flash cache's control, which rp2040js has not: never busy, never streaming.
class CacheControl extends BasePeripheral {
  readUint32() {
    return 0;
  }
  writeUint32() {}
}

// A buffer that is available to the controller stays so until the host has taken the packet or brought one (data sheet,
// 4.1.2.5.3, 4.1.2.6.2 and 4.1.2.6.3). rp2040js takes the bit away at once, so that the driver finds a packet that never
// came each time it looks, and never waits for the host. Here `usb.onPacketReady` is told of a packet and takes it when
// it will. Endpoint 0 is left as it is: our host does not end its reads.
function waitForHost(usb, dpram) {
  const [FIRST, LAST, AVAILABLE] = [0x88, 0xfc, 1 << 10];
  const [updated, finish] = [usb.DPRAMUpdated.bind(usb), usb.finishRead.bind(usb)];
  const write = (offset, change) => dpram.setUint32(offset, change(dpram.getUint32(offset, true)), true);
  usb.DPRAMUpdated = (offset, value) => {
    const armed = offset >= FIRST && offset <= LAST && value & AVAILABLE;
    if (armed && !(offset & 4)) {
      usb.onPacketReady(() => updated(offset, value));
      return;
    }
    updated(offset, value);
    if (armed) write(offset, (was) => was | AVAILABLE);
  };
  usb.finishRead = (endpoint, buffer) => {
    write(FIRST + 8 * (endpoint - 1) + 4, (was) => was & ~AVAILABLE);
    finish(endpoint, buffer);
  };
}

export class Chip {
  // With power that was off, or restarted: what the chip `before` had in flash, RAM and the watchdog's registers is there.
  constructor(image, before) {
    const { clock, rp2040 } = new Simulator();
    this.clock = clock;
    this.rp2040 = rp2040;
    this.rp2040.logger = new ConsoleLogger(LogLevel.Error, true);
    this.rp2040.loadBootrom(bootRom());
    loadUf2(image, this.rp2040.flash);
    checkBoot2(this.rp2040.flash);
    this.watchdog = this.rp2040.peripherals[0x40058];
    // Set while the watchdog wants a restart.
    this.bitten = false;
    this.watchdog.onWatchdogTrigger = () => {
      this.bitten = true;
      // Or rp2040js has it bite again and again in the same moment.
      this.watchdog.alarm.enable = false;
    };
    if (before === undefined) {
      new Uint32Array(this.rp2040.sram.buffer, this.rp2040.sram.byteOffset, RAM_BYTES / 4).fill(UNTOUCHED);
    } else {
      this.rp2040.sram.set(before.rp2040.sram);
      this.watchdog.reason = before.watchdog.reason;
      this.watchdog.scratchData.set(before.watchdog.scratchData);
    }
    this.rp2040.peripherals[0x14000] = new CacheControl(this.rp2040, 'XIP_CTRL');
    tellFlashId(this.rp2040.peripherals[0x18000]);
    waitForHost(this.rp2040.usbCtrl, this.rp2040.usbDPRAMView);
    this.rp2040.core.PC = FLASH;
    this.instructions = 0;
    // What happens when the program comes to an address: `{ address, act }`.
    this.trap = null;
  }

  // Runs until the chip's own clock stands at `nanos`, or the watchdog bites.
  runTo(nanos) {
    const { clock } = this;
    const { core } = this.rp2040;
    while (clock.nanos < nanos && !this.bitten) {
      if (core.waiting) {
        clock.tick(Math.min(clock.nanosToNextAlarm || nanos, nanos - clock.nanos));
      } else {
        if (this.trap !== null && (core.PC & ~1) === this.trap.address) this.trap.act();
        clock.tick(core.executeInstruction() * 8);
        this.instructions++;
      }
    }
  }

  // The deepest that the stack has been, in bytes: from the top of RAM down to the longest stretch never written to.
  deepestStack() {
    const words = new Uint32Array(this.rp2040.sram.buffer, this.rp2040.sram.byteOffset, RAM_BYTES / 4);
    let [end, longest, run] = [0, 0, 0];
    for (let n = 0; n <= words.length; n++) {
      if (words[n] === UNTOUCHED) run++;
      else {
        if (run > longest) [longest, end] = [run, n];
        run = 0;
      }
    }
    return RAM_BYTES - end * 4;
  }

  // The main loop stands still; interrupts are served.
  stall() {
    this.rp2040.core.PC = STALL;
  }

  // What the processor is at calls `address` instead.
  call(address) {
    const { core } = this.rp2040;
    core.LR = core.PC | 1;
    core.PC = address & ~1;
  }

  // An interrupt comes that the keypad never asks for: of the converter for voltages (RP2040 data sheet, 2.3.2).
  unexpected() {
    const { core } = this.rp2040;
    core.enabledInterrupts |= 1 << 22;
    core.setInterrupt(22, true);
  }

  // The processor refuses what it is at. rp2040js knows no faults, so this is no instruction but what one leads to.
  fault() {
    this.rp2040.core.exceptionEntry(HARD_FAULT);
  }

  // Something happens `micros` of the chip's time from now.
  after(micros, what) {
    this.clock.createAlarm(what).schedule(micros * 1000);
  }
}

export { FLASH, RAM };
