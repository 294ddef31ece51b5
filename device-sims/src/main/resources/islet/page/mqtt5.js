/**
 * A client for MQTT 5 over WebSocket, as far as the page needs it: it connects with a clean session, subscribes
 * with QoS 1, hears what comes with QoS 0 or 1, publishes with QoS 0 or 1, keeps the link alive and comes back by
 * itself. Packets and their fields are those of OASIS MQTT Version 5.0; the section stands beside each.
 *
 * Nothing is queued while the link is down: an order that could not leave must not leave later.
 */

const CONNECT = 1;
const CONNACK = 2;
const PUBLISH = 3;
const PUBACK = 4;
const SUBSCRIBE = 8;
const SUBACK = 9;
const UNSUBSCRIBE = 10;
const PINGREQ = 12;
const PINGRESP = 13;
const DISCONNECT = 14;

const EXPIRY = 0x02;
const RESPONSE_TOPIC = 0x08;
const CORRELATION = 0x09;

/** Length of each property's value by its identifier (2.2.2.2): bytes, or how it is written. */
const PROPERTY_FORM = {
  0x01: 1, 0x02: 4, 0x03: 'data', 0x08: 'data', 0x09: 'data', 0x0b: 'varint', 0x11: 4, 0x12: 'data', 0x13: 2,
  0x15: 'data', 0x16: 'data', 0x17: 1, 0x18: 4, 0x19: 1, 0x1a: 'data', 0x1c: 'data', 0x1f: 'data', 0x21: 2,
  0x22: 2, 0x23: 2, 0x24: 1, 0x25: 1, 0x26: 'pair', 0x27: 4, 0x28: 1, 0x29: 1, 0x2a: 1,
};

/** Reason codes of a CONNACK that another try will not mend (3.2.2.2). */
const HOPELESS = new Set([0x84, 0x85, 0x86, 0x87, 0x8a, 0x8c, 0x95]);

const FIRST_PAUSE_MS = 250;
const LONGEST_PAUSE_MS = 5_000;
const CONNECT_LIMIT_MS = 10_000;
const ANSWER_LIMIT_MS = 10_000;

/** No packet of Islet's is near this; a longer one is taken as a broken stream. */
const LONGEST_PACKET = 1 << 20;

const encoder = new TextEncoder();
const decoder = new TextDecoder();

/** Bytes in the order in which they are written. */
class Writer {
  constructor() {
    this.parts = [];
    this.length = 0;
  }

  bytes(part) {
    this.parts.push(part);
    this.length += part.length;
    return this;
  }

  byte(value) {
    return this.bytes(Uint8Array.of(value));
  }

  short(value) {
    return this.bytes(Uint8Array.of(value >> 8, value & 0xff));
  }

  int(value) {
    return this.bytes(Uint8Array.of(value >>> 24, (value >>> 16) & 0xff, (value >>> 8) & 0xff, value & 0xff));
  }

  /** A variable byte integer (1.5.5). */
  varint(value) {
    let rest = value;
    do {
      const digit = rest % 128;
      rest = Math.floor(rest / 128);
      this.byte(rest > 0 ? digit | 0x80 : digit);
    } while (rest > 0);
    return this;
  }

  /** Binary data or a text with its length before it (1.5.4, 1.5.6). */
  data(value) {
    const bytes = typeof value === 'string' ? encoder.encode(value) : value;
    return this.short(bytes.length).bytes(bytes);
  }

  done() {
    const out = new Uint8Array(this.length);
    let at = 0;
    for (const part of this.parts) {
      out.set(part, at);
      at += part.length;
    }
    return out;
  }
}

/** Reads a packet's body; throws a RangeError where it ends too early. */
class Reader {
  constructor(bytes) {
    this.all = bytes;
    this.at = 0;
  }

  left() {
    return this.all.length - this.at;
  }

  bytes(count) {
    if (count > this.left()) {
      throw new RangeError('a packet of the broker ends too early');
    }
    const part = this.all.subarray(this.at, this.at + count);
    this.at += count;
    return part;
  }

  byte() {
    return this.bytes(1)[0];
  }

  short() {
    const [high, low] = this.bytes(2);
    return high * 256 + low;
  }

  varint() {
    let value = 0;
    let weight = 1;
    for (let i = 0; i < 4; i++) {
      const digit = this.byte();
      value += (digit & 0x7f) * weight;
      if ((digit & 0x80) === 0) {
        return value;
      }
      weight *= 128;
    }
    throw new RangeError('a length of the broker is too long');
  }

  data() {
    return this.bytes(this.short());
  }

  /** The properties (2.2.2): the last value of each, as bytes. */
  properties() {
    const end = this.varint() + this.at;
    const found = new Map();
    while (this.at < end) {
      const id = this.varint();
      const form = PROPERTY_FORM[id];
      if (form === undefined) {
        throw new RangeError('a property of the broker is unknown');
      } else if (form === 'data') {
        found.set(id, this.data());
      } else if (form === 'varint') {
        this.varint();
      } else if (form === 'pair') {
        this.data();
        this.data();
      } else {
        found.set(id, this.bytes(form));
      }
    }
    return found;
  }
}

function packet(type, flags, body) {
  return new Writer().byte((type << 4) | flags).varint(body.length).bytes(body).done();
}

/** 3.1: clean start, no will, the session ends with the link. */
function connectPacket(clientId, user, password, keepAliveS) {
  const named = user !== '';
  const body = new Writer()
    .data('MQTT')
    .byte(5)
    .byte(0x02 | (named ? 0x80 : 0) | (named && password !== '' ? 0x40 : 0))
    .short(keepAliveS)
    .varint(0)
    .data(clientId);
  if (named) {
    body.data(user);
    if (password !== '') {
      body.data(password);
    }
  }
  return packet(CONNECT, 0, body.done());
}

/** 3.3; without a packet identifier at QoS 0. */
function publishPacket(id, topic, text, options) {
  const properties = new Writer();
  if (options.expiryS > 0) {
    properties.byte(EXPIRY).int(options.expiryS);
  }
  if (options.responseTopic) {
    properties.byte(RESPONSE_TOPIC).data(options.responseTopic);
  }
  if (options.correlation) {
    properties.byte(CORRELATION).data(options.correlation);
  }
  const body = new Writer().data(topic);
  if (id > 0) {
    body.short(id);
  }
  const written = properties.done();
  body.varint(written.length).bytes(written).bytes(encoder.encode(text));
  return packet(PUBLISH, id > 0 ? 0x02 : 0, body.done());
}

/** 3.8: QoS 1, what is retained comes as such. */
function subscribePacket(id, filters) {
  const body = new Writer().short(id).varint(0);
  for (const filter of filters) {
    body.data(filter).byte(0x01);
  }
  return packet(SUBSCRIBE, 0x02, body.done());
}

/** 3.10. */
function unsubscribePacket(id, filters) {
  const body = new Writer().short(id).varint(0);
  for (const filter of filters) {
    body.data(filter);
  }
  return packet(UNSUBSCRIBE, 0x02, body.done());
}

function randomName() {
  const bytes = crypto.getRandomValues(new Uint8Array(8));
  return 'page-' + Array.from(bytes, (b) => b.toString(16).padStart(2, '0')).join('');
}

class Link {
  constructor(options) {
    this.options = {
      user: '',
      password: '',
      clientId: randomName(),
      keepAliveS: 15,
      filters: [],
      onMessage: () => {},
      onState: () => {},
      ...options,
    };
    this.filters = [...this.options.filters];
    this.closed = false;
    this.up = false;
    this.pauseMs = FIRST_PAUSE_MS;
    this.nextId = 1;
    this.awaited = new Map();
    this.rest = new Uint8Array(0);
    this.open();
  }

  open() {
    this.rest = new Uint8Array(0);
    this.options.onState('connecting', '');
    const socket = new WebSocket(this.options.url, ['mqtt']);
    socket.binaryType = 'arraybuffer';
    this.socket = socket;
    this.limit = setTimeout(() => this.drop('no answer to the connect'), CONNECT_LIMIT_MS);
    socket.onopen = () =>
      this.send(
        connectPacket(this.options.clientId, this.options.user, this.options.password, this.options.keepAliveS),
      );
    socket.onmessage = (event) => {
      if (socket === this.socket) {
        this.take(new Uint8Array(event.data));
      }
    };
    socket.onclose = () => {
      if (socket === this.socket) {
        this.lost('the connection was closed');
      }
    };
  }

  send(bytes) {
    if (this.socket.readyState === WebSocket.OPEN) {
      this.socket.send(bytes);
      this.sentAt = Date.now();
    }
  }

  /** Packets and frames of the WebSocket need not begin together (6). */
  take(bytes) {
    let all = bytes;
    if (this.rest.length > 0) {
      all = new Uint8Array(this.rest.length + bytes.length);
      all.set(this.rest);
      all.set(bytes, this.rest.length);
    }
    this.heardAt = Date.now();
    try {
      let at = 0;
      for (;;) {
        const whole = wholePacket(all, at);
        if (whole === undefined) {
          break;
        }
        at = whole.end;
        this.handle(all[whole.start] >> 4, all[whole.start] & 0x0f, new Reader(all.subarray(whole.body, whole.end)));
      }
      this.rest = all.slice(at);
    } catch (e) {
      if (!(e instanceof RangeError)) {
        throw e;
      }
      this.drop(e.message);
    }
  }

  handle(type, flags, body) {
    switch (type) {
      case CONNACK:
        body.byte();
        this.connected(body.byte());
        break;
      case PUBLISH:
        this.heard(flags, body);
        break;
      case PUBACK: {
        const id = body.short();
        this.answered(id, body.left() > 0 ? body.byte() : 0);
        break;
      }
      case SUBACK:
      case PINGRESP:
        break;
      case DISCONNECT: {
        const reason = body.left() > 0 ? body.byte() : 0;
        this.drop('the broker ended the connection, reason code ' + reason);
        break;
      }
      default:
        break;
    }
  }

  connected(reason) {
    clearTimeout(this.limit);
    if (reason === 0) {
      this.up = true;
      this.pauseMs = FIRST_PAUSE_MS;
      this.beat = setInterval(() => this.keepAlive(), (this.options.keepAliveS * 1000) / 3);
      this.askFor(this.filters);
      this.options.onState('up', '');
    } else if (HOPELESS.has(reason)) {
      this.closed = true;
      this.silence();
      this.options.onState('refused', 'reason code ' + reason);
    } else {
      this.drop('the broker refused the connection, reason code ' + reason);
    }
  }

  heard(flags, body) {
    const qos = (flags >> 1) & 0x03;
    const topic = decoder.decode(body.data());
    const id = qos > 0 ? body.short() : 0;
    const properties = body.properties();
    const text = decoder.decode(body.bytes(body.left()));
    if (qos > 0) {
      this.send(packet(PUBACK, 0, new Writer().short(id).done()));
    }
    const correlation = properties.get(CORRELATION);
    this.options.onMessage(topic, text, {
      retain: (flags & 0x01) !== 0,
      correlation: correlation === undefined ? '' : decoder.decode(correlation),
    });
  }

  answered(id, reason) {
    const waiting = this.awaited.get(id);
    if (waiting !== undefined) {
      this.awaited.delete(id);
      clearTimeout(waiting.limit);
      waiting.resolve(reason);
    }
  }

  /** 3.1.2.10: something is sent within each keep-alive, and silence of one and a half ends the link. */
  keepAlive() {
    const keepMs = this.options.keepAliveS * 1000;
    const now = Date.now();
    if (now - this.heardAt > keepMs * 1.5) {
      this.drop('nothing was heard of the broker');
    } else if (now - this.sentAt > keepMs / 2 || now - this.heardAt > keepMs / 2) {
      this.send(packet(PINGREQ, 0, new Uint8Array(0)));
    }
  }

  askFor(filters) {
    if (filters.length > 0) {
      this.send(subscribePacket(this.takeId(), filters));
    }
  }

  takeId() {
    do {
      this.nextId = (this.nextId % 0xffff) + 1;
    } while (this.awaited.has(this.nextId));
    return this.nextId;
  }

  silence() {
    clearTimeout(this.limit);
    clearTimeout(this.again);
    clearInterval(this.beat);
    const socket = this.socket;
    socket.onopen = null;
    socket.onmessage = null;
    socket.onclose = null;
    socket.close();
    this.up = false;
    for (const waiting of this.awaited.values()) {
      clearTimeout(waiting.limit);
      waiting.reject(new Error('The link to the broker went down before the answer came.'));
    }
    this.awaited.clear();
  }

  drop(reason) {
    this.lost(reason);
  }

  lost(reason) {
    this.silence();
    this.options.onState('down', reason);
    if (!this.closed) {
      this.again = setTimeout(() => this.open(), this.pauseMs);
      this.pauseMs = Math.min(this.pauseMs * 2, LONGEST_PAUSE_MS);
    }
  }

  /**
   * Publishes a text. The promise gives the broker's reason code, 0 or 16 when it was taken and 135 when this account
   * may not write there; at QoS 0 it gives 0 at once. It is rejected when the link is down or goes down.
   */
  publish(topic, text, options = {}) {
    if (!this.up) {
      return Promise.reject(new Error('The link to the broker is down.'));
    }
    if (options.qos === 0) {
      this.send(publishPacket(0, topic, text, options));
      return Promise.resolve(0);
    }
    const id = this.takeId();
    return new Promise((resolve, reject) => {
      const limit = setTimeout(() => {
        this.awaited.delete(id);
        reject(new Error('The broker did not acknowledge in time.'));
      }, ANSWER_LIMIT_MS);
      this.awaited.set(id, { resolve, reject, limit });
      this.send(publishPacket(id, topic, text, options));
    });
  }

  /** Hears these topics and no others from now on. */
  subscribe(filters) {
    if (this.up) {
      const former = this.filters.filter((filter) => !filters.includes(filter));
      if (former.length > 0) {
        this.send(unsubscribePacket(this.takeId(), former));
      }
      this.askFor(filters);
    }
    this.filters = [...filters];
  }

  /** Says farewell and does not come back. */
  close() {
    this.closed = true;
    if (this.up) {
      this.send(packet(DISCONNECT, 0, new Uint8Array(0)));
    }
    this.silence();
    this.options.onState('down', '');
  }
}

/** Where the packet that begins at an offset has its body and its end; undefined while it is not whole. */
function wholePacket(bytes, start) {
  let length = 0;
  let weight = 1;
  for (let i = 1; i <= 4; i++) {
    if (start + i >= bytes.length) {
      return undefined;
    }
    const digit = bytes[start + i];
    length += (digit & 0x7f) * weight;
    weight *= 128;
    if ((digit & 0x80) === 0) {
      if (length > LONGEST_PACKET) {
        throw new RangeError('a packet of the broker is too long');
      }
      const body = start + i + 1;
      return body + length <= bytes.length ? { start, body, end: body + length } : undefined;
    }
  }
  throw new RangeError('a length of the broker is too long');
}

/**
 * Opens a link and keeps it.
 *
 * @param options `url`, `user`, `password`, `clientId`, `keepAliveS`, `filters`;
 *     `onMessage(topic, text, {retain, correlation})`; `onState(state, reason)` with the states connecting, up, down
 *     and refused, after which no more is tried
 */
export function connect(options) {
  return new Link(options);
}
