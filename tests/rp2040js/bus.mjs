// The I2C bus and the chips on it: who is spoken to, and what goes to and fro. Transfers themselves take no time here.

export function attach(chip, i2c, chips) {
  let spokenTo = null;
  chips.forEach((one) => one.started());
  i2c.onStart = () => i2c.completeStart();
  i2c.onConnect = (address, mode) => {
    spokenTo = chips.find((one) => one.address === address && one.answers(chip.clock.nanos)) ?? null;
    // What is read goes on where a write has pointed to.
    if (mode !== 1) spokenTo?.began();
    i2c.completeConnect(spokenTo !== null);
    // The controller says so when its queue was emptied by the missing answer; rp2040js does not.
    if (spokenTo === null) i2c.setInterrupts(1 << 4);
  };
  i2c.onWriteByte = (byte) => {
    spokenTo?.took(byte);
    i2c.completeWrite(true);
  };
  i2c.onReadByte = () => i2c.completeRead(spokenTo?.gives() ?? 0xff);
  i2c.onStop = () => {
    spokenTo?.ended(chip.clock.nanos);
    i2c.completeStop();
  };
}
