/* Orders of a person to the supervisor and to the bench, each with its answer or the reason why there is none. */
import { say } from './texts.js';

const NOT_ALLOWED = 0x87;

/** An answer is awaited for so long, ms. */
const PATIENCE_MS = 6_000;

const LIFETIME_S = 10;

export class Commands {
  constructor(store, link) {
    this.store = store;
    this.link = link;
    this.waiting = new Map();
    // Counts on from the wall clock, so that two pages, or one that is loaded anew, do not share numbers.
    this.seq = Date.now();
  }

  /** @returns {Promise<{accepted: boolean, text: string}>} never rejects */
  supervisor(order, { key = '', forS = 0 } = {}) {
    return this.send('supervisor', order, { lifetimeS: LIFETIME_S * Math.max(1, this.store.speed), order, key, forS });
  }

  /** @returns {Promise<{accepted: boolean, text: string}>} never rejects */
  bench(order, { number = 0, text = '' } = {}) {
    return this.send('bench', order, { lifetimeS: LIFETIME_S, order, number, text });
  }

  async send(device, name, fields) {
    if (this.store.description.mode === 'site') {
      return { accepted: false, text: say('answer.lookingOn') };
    }
    const seq = ++this.seq;
    const prefix = this.store.description.topics;
    const message = { seq, at: new Date(Math.floor(this.store.now())).toISOString(), ...fields };
    const answer = this.answered(seq);
    let result;
    try {
      const code = await this.link().publish(`${prefix}${device}/command`, JSON.stringify(message), {
        qos: 1,
        responseTopic: `${prefix}${device}/ack`,
        correlation: String(seq),
        expiryS: LIFETIME_S,
      });
      if (code === NOT_ALLOWED) {
        result = { accepted: false, text: say('answer.notAllowed') };
      } else if (code >= 0x80) {
        result = { accepted: false, text: say('answer.broker', { code }) };
      } else if (device === 'supervisor' && this.store.paused) {
        result = { accepted: true, text: say('answer.paused') };
      } else {
        result = await answer;
      }
    } catch {
      result = { accepted: false, text: say('answer.down') };
    }
    this.waiting.delete(seq);
    return result;
  }

  answered(seq) {
    return new Promise((resolve) => {
      this.waiting.set(seq, resolve);
      setTimeout(() => resolve({ accepted: false, text: say('answer.none') }), PATIENCE_MS);
    });
  }

  /** Takes an ack from the wire. */
  hear(ack, correlation) {
    const seq = correlation ? Number(correlation) : ack.command;
    const resolve = this.waiting.get(seq);
    if (resolve) {
      const accepted = ack.result === 'ACCEPTED' || ack.result === 'DONE';
      resolve({ accepted, text: say(`answer.${ack.result}`) + (ack.reason ? ` ${ack.reason}` : '') });
    }
  }
}
