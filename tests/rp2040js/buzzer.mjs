// A buzzer on a pin of the PWM: how long each sound was, in milliseconds.
//
// A slice's channel A compares with the low half of its register, B with the high half (RP2040 data sheet, 4.5.3); a level of
// nothing is silence.

const COMPARE = 0x0c;
const SLICE = 0x14;

export class Buzzer {
  constructor() {
    this.sounds = [];
  }

  // On the pin of a chip that has just started.
  attach(chip, pin, now) {
    const pwm = chip.rp2040.peripherals[0x40050];
    const place = ((pin >> 1) % 8) * SLICE + COMPARE;
    const write = pwm.writeUint32.bind(pwm);
    let began = null;
    pwm.writeUint32 = (offset, value) => {
      write(offset, value);
      if (offset !== place) return;
      const sounds = (pin & 1 ? value >>> 16 : value & 0xffff) > 0;
      if (sounds && began === null) began = now();
      if (sounds || began === null) return;
      this.sounds.push(Math.round((now() - began) / 1e6));
      began = null;
    };
  }
}
