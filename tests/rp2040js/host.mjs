// The host's end of the USB cable: takes the device in, and carries bytes of its serial port.
//
// Asked in turn: the device's descriptor, its configuration, its strings; then address and configuration are set. Bytes
// for the device wait until it takes some. The device's packets wait until they are asked for: once in a frame, as on a
// bus where much is going on, and not at all while no program has the port open.

import { createSetupPacket, DataDirection, SetupRecipient, SetupType } from 'rp2040js';

const DEVICE = 1;
const CONFIGURATION = 2;
const STRING = 3;
const BULK = 2;
const DATA_CLASS = 10;
const PACKET = 64;
const FRAME_NANOS = 1_000_000;

export class Host {
  constructor() {
    this.onConnected = () => {};
    this.onBytes = () => {};
  }

  // A device that has just started is at the other end; what went before is gone with the one before.
  attach(usb, clock) {
    this.usb = usb;
    this.open = false;
    this.steps = [];
    this.got = [];
    this.outgoing = [];
    this.asked = 0;
    this.found = {};
    usb.onUSBEnabled = () => usb.resetDevice();
    usb.onResetReceived = () => this.takeIn();
    usb.onEndpointWrite = (endpoint, bytes) => {
      if (endpoint === 0) this.answered(bytes);
      else if (endpoint === this.found.in) this.onBytes(bytes);
    };
    usb.onPacketReady = (take) => {
      const asks = clock.createAlarm(() => (this.open ? take() : asks.schedule(FRAME_NANOS)));
      asks.schedule(FRAME_NANOS);
    };
    usb.onEndpointRead = (endpoint, most) => {
      if (endpoint !== 0 && endpoint === this.found.out) this.asked = most;
      this.serve();
    };
  }

  takeIn() {
    const request = (bRequest, wValue) => this.set(SetupType.Standard, SetupRecipient.Device, bRequest, wValue);
    this.steps = [];
    request(5, 1); // address 1
    this.get(DEVICE, 0, 18, (bytes) => {
      Object.assign(this.found, { ids: [bytes[8] | (bytes[9] << 8), bytes[10] | (bytes[11] << 8)], serialIndex: bytes[16] });
      this.get(CONFIGURATION, 0, 9, (head) => {
        this.get(CONFIGURATION, 0, head[2] | (head[3] << 8), (all) => {
          Object.assign(this.found, bulkEndpoints(all));
          this.get(STRING, this.found.serialIndex, 255, (text) => {
            this.found.serial = Buffer.from(text.slice(2)).toString('utf16le');
            request(9, 1); // configuration 1
            this.raise(false, () => this.onConnected());
          });
        });
      });
    });
  }

  // A program opens the port (it raises DTR and RTS), or closes it.
  raise(open, then = () => {}) {
    this.open = open;
    this.set(SetupType.Class, SetupRecipient.Interface, 0x22, open ? 3 : 0, then);
  }

  set(type, recipient, bRequest, wValue, then = () => {}) {
    this.ask({ dataDirection: DataDirection.HostToDevice, type, recipient, bRequest, wValue, wIndex: 0, wLength: 0 }, then);
  }

  get(kind, index, wLength, then) {
    const to = { dataDirection: DataDirection.DeviceToHost, type: SetupType.Standard, recipient: SetupRecipient.Device };
    this.ask({ ...to, bRequest: 6, wValue: (kind << 8) | index, wIndex: kind === STRING ? 0x409 : 0, wLength }, then);
  }

  ask(packet, then) {
    this.steps.push({ packet, then });
    if (this.steps.length === 1) this.next();
  }

  next() {
    this.got = [];
    if (this.steps.length > 0) this.usb.sendSetupPacket(createSetupPacket(this.steps[0].packet));
  }

  answered(bytes) {
    if (this.steps.length === 0) return;
    this.got.push(...bytes);
    const { packet, then } = this.steps[0];
    if (bytes.length === PACKET && this.got.length < packet.wLength) return;
    const got = this.got;
    this.steps.shift();
    if (this.steps.length > 0) this.next();
    then(got);
  }

  send(bytes) {
    for (let n = 0; n < bytes.length; n += PACKET) this.outgoing.push(bytes.subarray(n, n + PACKET));
    this.serve();
  }

  serve() {
    if (this.asked === 0 || this.outgoing.length === 0) return;
    this.asked = 0;
    this.usb.endpointReadDone(this.found.out, this.outgoing.shift());
  }
}

// The two endpoints of the serial port's data interface.
function bulkEndpoints(descriptors) {
  const found = {};
  let ofData = false;
  for (let at = 0; at + 2 <= descriptors.length && descriptors[at] >= 2; at += descriptors[at]) {
    const [, kind, address, attributes] = descriptors.slice(at);
    if (kind === 4) ofData = descriptors[at + 5] === DATA_CLASS;
    if (kind === 5 && ofData && (attributes & 3) === BULK) found[address & 0x80 ? 'in' : 'out'] = address & 0xf;
  }
  return found;
}
