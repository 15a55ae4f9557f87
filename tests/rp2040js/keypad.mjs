// The keypad's image for the Pico in an emulated RP2040, with the parts around it: keys, display, memory, USB host.
//
//   node keypad.mjs IMAGE.uf2 MEMORY SOCKET PINS
//
// MEMORY is a file of 32 KiB, made blank where there is none. SOCKET is a local socket that carries the serial port:
// while something is connected a program has the port open. PINS is JSON: which pin is which key, the display's and the
// buzzer's, and in `clock` whether a clock chip is beside the memory. The chip runs no faster than our time. First it
// prints `usb` with what the host read from the device; when the watchdog starts the chip again, `restarted` with why and
// when, and `usb` again. It takes lines:
//
//   up, down, left, right, centre, hold KEY     press a key; nothing is answered
//   wait MS                                     let the chip's time pass before the next line
//   picture                                     64 rows of the display, `#` lit
//   figures                                     one line of JSON: time, instructions, stack, what went over the buses
//   ram ADDRESS BYTES                           so many bytes from there, one line of hexadecimal digits
//   stall                                       the main loop stands still
//   call ADDRESS | fault                        the program goes on there; the processor refuses to go on
//   unexpected                                  an interrupt comes that nothing handles
//   once ADDRESS call ADDRESS | fault           the same when the program comes to the first address, in this start or later
//   always ADDRESS call ADDRESS | fault         the same each time, until `never`
//   disturb                                     the display's wires are disturbed
//   during PAGES KEY MS                         the key is pressed for so long when so many more pages were written
//   quit                                        end

import { createServer } from 'node:net';
import { createInterface } from 'node:readline';
import { attach } from './bus.mjs';
import { Buzzer } from './buzzer.mjs';
import { Chip } from './chip.mjs';
import { Clock } from './clock.mjs';
import { Display } from './display.mjs';
import { Eeprom } from './eeprom.mjs';
import { Host } from './host.mjs';

const PRESS_MS = 60;
const HOLD_MS = 900;
const BETWEEN_MS = 60;
// The chip runs in stretches of so much of its own time.
const STRETCH_NANOS = 2_000_000;

const [image, memory, socket, pinsText] = process.argv.slice(2);
if (pinsText === undefined) throw new Error('usage: node keypad.mjs IMAGE.uf2 MEMORY SOCKET PINS');
const pins = JSON.parse(pinsText);

const eeprom = new Eeprom(memory);
// One takes everything that the other takes.
const displays = [{ chargePump: true }, { chargePump: false }].map((kind) => new Display(kind));
const clock = pins.clock ? new Clock() : null;
const host = new Host();
const buzzer = new Buzzer();
let chip = null;
// What happens at an address, in this start and in those that follow.
let awaited = null;
// The time that went by before the chip was started for the last time.
let pastNanos = 0;
const now = () => pastNanos + chip.clock.nanos;

function start(before) {
  chip = new Chip(image, before);
  const { gpio, i2c, spi, usbCtrl } = chip.rp2040;
  const high = (pin) => gpio[pin].outputEnable && gpio[pin].outputValue;
  const low = (pin) => gpio[pin].outputEnable && !gpio[pin].outputValue;
  attach(chip, i2c[0], clock === null ? [eeprom] : [eeprom, clock]);
  // What a display shows stays until it is reset.
  spi[0].onTransmit = (byte) => {
    if (low(pins.select)) displays.forEach((display) => display.take(byte, high(pins.command)));
    spi[0].completeTransmit(0);
  };
  gpio[pins.reset].addListener(() => low(pins.reset) && displays.forEach((display) => display.reset()));
  buzzer.attach(chip, pins.buzzer, now);
  chip.trap = awaited;
  host.attach(usbCtrl, chip.clock);
  // Pull-ups, at the keys and on the memory's bus.
  for (const pin of [...Object.values(pins.keys), ...pins.bus]) gpio[pin].setInputValue(true);
}

// As an unplugged one the device is gone for a program that has its port open.
function restart() {
  const why = chip.watchdog.reason === 1 ? 'not fed' : 'asked for';
  console.log('restarted', JSON.stringify({ why, ms: Math.round(now() / 1e6) }));
  program?.destroy();
  program = null;
  pastNanos = now();
  start(chip);
}

let program = null;
start();
host.onConnected = () => console.log('usb', JSON.stringify(host.found));
host.onBytes = (bytes) => program?.write(bytes);
const server = createServer((connection) => {
  program = connection;
  host.raise(true);
  connection.on('data', (bytes) => host.send(bytes));
  connection.on('error', () => connection.destroy());
  connection.on('close', () => {
    if (program !== connection) return;
    program = null;
    host.raise(false);
  });
});
server.listen(socket);

const lines = [];
createInterface({ input: process.stdin }).on('line', (line) => lines.push(line.trim())).on('close', quit);
let notBefore = 0;

function press(key, ms) {
  const pin = pins.keys[key];
  if (pin === undefined) {
    console.log(`error: no key ${key}`);
    return;
  }
  const { gpio } = chip.rp2040;
  gpio[pin].setInputValue(false);
  chip.after(ms * 1000, () => gpio[pin].setInputValue(true));
  notBefore = now() + (ms + BETWEEN_MS) * 1e6;
}

function figures() {
  const { i2c, spi } = chip.rp2040;
  return {
    ms: Math.round(now() / 1e6),
    instructions: chip.instructions,
    stack: chip.deepestStack(),
    display_bytes: displays[0].took,
    sounds: buzzer.sounds,
    clock: clock === null ? null : [...clock.registers.subarray(0, 7)],
    pages_written: eeprom.written,
    spi_hz: spi[0].clockFrequency,
    i2c_hz: chip.rp2040.clkSys / (i2c[0].sclHighPeriod + i2c[0].sclLowPeriod),
  };
}

function ram(address, many) {
  return Buffer.from(Array.from({ length: many }, (_, n) => chip.rp2040.readUint8(address + n))).toString('hex');
}

// Of one kind as of the other.
function picture() {
  const [one, other] = displays.map((display) => display.picture().join('\n'));
  if (one !== other) throw new Error('an SSD1306 and an SSD1309 show different pictures');
  return one;
}

// What `call ADDRESS` and `fault` do.
function happening([word, argument]) {
  return () => (word === 'call' ? chip.call(Number(argument)) : chip.fault());
}

function when(address, act, again) {
  const happens = () => {
    if (!again) awaited = chip.trap = null;
    act();
  };
  awaited = chip.trap = { address, act: happens };
}

function take(line) {
  const [word, argument, many, ...rest] = line.split(/\s+/);
  if (word === 'wait') notBefore = now() + Number(argument) * 1e6;
  else if (word === 'hold') press(argument, HOLD_MS);
  else if (word === 'picture') console.log(picture());
  else if (word === 'figures') console.log(JSON.stringify(figures()));
  else if (word === 'ram') console.log(ram(Number(argument), Number(many)));
  else if (word === 'stall') chip.stall();
  else if (word === 'unexpected') chip.unexpected();
  else if (word === 'call' || word === 'fault') happening([word, argument])();
  else if (word === 'once' || word === 'always') {
    when(Number(argument), happening([many, ...rest]), word === 'always');
  } else if (word === 'never') awaited = chip.trap = null;
  else if (word === 'disturb') displays.forEach((display) => display.disturb());
  else if (word === 'during') eeprom.after(Number(argument), () => press(many, Number(rest[0])));
  else if (word === 'quit') quit();
  else press(word, PRESS_MS);
}

function quit() {
  server.close();
  eeprom.close();
  process.exit(0);
}

let began = performance.now();
function turn() {
  while (lines.length > 0 && now() >= notBefore) take(lines.shift());
  chip.runTo(chip.clock.nanos + STRETCH_NANOS);
  if (chip.bitten) restart();
  const ahead = now() / 1e6 - (performance.now() - began);
  // What was lost is not caught up: the chip is never faster than a real one.
  if (ahead < 0) began = performance.now() - now() / 1e6;
  if (ahead > 1) setTimeout(turn, ahead);
  else setImmediate(turn);
}
turn();
