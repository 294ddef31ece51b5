/*
 * What the page knows: the latest word of each device and of the bench, alarms, and the newest events. Bounded; the
 * course of things over time is kept by history.js.
 */

/** Nothing heard for so long, s of site time: a proof no longer counts (docs/mqtt.md). */
const STALE_S = 3;

const MOST_EVENTS = 400;
const MOST_LOG = 40;

export class Store {
  constructor() {
    this.devices = new Map();
    this.margins = new Map();
    this.alarms = new Map();
    this.events = [];
    this.answers = [];
    this.since = new Map();
    this.link = 'connecting';
    this.user = '';
    this.changed = true;
    this.alarmsChanged = true;
    this.eventsChanged = true;
    this.marginsChanged = true;
  }

  /** Begins anew with a description. */
  describe(description) {
    this.description = description;
    this.devices.clear();
    this.margins.clear();
    this.alarms.clear();
    this.events.length = 0;
    this.state = undefined;
    this.truth = undefined;
    this.transition = undefined;
    this.clockAt = Date.parse(description.startAt);
    this.clockWall = performance.now();
    this.began = false;
    this.touch();
  }

  /** Unhears everything, as when a recording is wound back. */
  forget() {
    this.devices.clear();
    this.alarms.clear();
    this.events.length = 0;
    this.transition = undefined;
    this.began = false;
    this.touch();
  }

  touch() {
    this.changed = true;
    this.alarmsChanged = true;
    this.eventsChanged = true;
    this.marginsChanged = true;
  }

  device(name) {
    let device = this.devices.get(name);
    if (!device) {
      device = { telemetry: undefined, wall: 0, online: undefined };
      this.devices.set(name, device);
    }
    return device;
  }

  /** Takes a message; true when it belongs to what the page shows. */
  hear(device, kind, message) {
    this.changed = true;
    const at = Date.parse(message.at);
    if (device === 'bench') {
      return this.hearBench(kind, message, at);
    }
    switch (kind) {
      case 'telemetry': {
        const known = this.device(device);
        known.telemetry = message;
        known.wall = performance.now();
        this.tick(at);
        this.began ||= device === 'supervisor';
        return true;
      }
      case 'online':
        this.device(device).online = message.online;
        return true;
      case 'alarm':
        this.alarm(message, at);
        return true;
      case 'event':
        this.event({ at, source: device, kind: message.kind, from: message.from, to: message.to, reason: message.reason });
        return true;
      default:
        return false;
    }
  }

  hearBench(kind, message, at) {
    switch (kind) {
      case 'state':
        this.state = message;
        this.tick(at);
        return true;
      case 'telemetry':
        this.truth = message;
        this.tick(at);
        return true;
      case 'margin':
        this.margins.set(message.hazard, message);
        this.marginsChanged = true;
        return true;
      case 'event':
        // The supervisor's own come from the supervisor.
        if (message.source !== 'supervisor') {
          this.event({ at, source: message.source, kind: message.kind, from: message.from, to: message.to, reason: message.reason });
        }
        return true;
      default:
        return false;
    }
  }

  event(event) {
    this.events.unshift(event);
    if (this.events.length > MOST_EVENTS) {
      this.events.pop();
    }
    if (event.kind === 'mode') {
      this.transition = event;
    }
    this.eventsChanged = true;
  }

  /** Takes an event from before the page was opened. */
  past(event) {
    if (!this.events.some((known) => known.at === event.at && known.source === event.source && known.kind === event.kind && known.to === event.to)) {
      this.events.push(event);
      this.events.sort((a, b) => b.at - a.at);
      this.events.length = Math.min(this.events.length, MOST_EVENTS);
      this.transition = this.events.find((known) => known.kind === 'mode');
      this.eventsChanged = true;
    }
  }

  alarm(message, at) {
    const before = this.alarms.get(message.id);
    // An alarm that rings again is a new one; otherwise it keeps the instant at which it rang.
    const rang = message.state === 'UNACKNOWLEDGED' && before?.state !== 'RETURNED' ? at : before?.rang ?? at;
    this.alarms.set(message.id, { ...message, rang, millis: at });
    this.alarmsChanged = true;
  }

  answer(answer) {
    this.answers.unshift(answer);
    if (this.answers.length > MOST_LOG) {
      this.answers.pop();
    }
    this.changed = true;
  }

  tick(at) {
    // When a site is that is only looked at, nobody tells before its first word.
    if (Number.isFinite(at) && !(at < this.clockAt - 60_000)) {
      this.clockAt = this.clockAt > at ? this.clockAt : at;
      this.clockWall = performance.now();
    }
  }

  /** Whether it is a run that is over and comes out of its folder. */
  get recorded() {
    return this.description?.mode === 'recording';
  }

  get paused() {
    return this.recorded || (this.state !== undefined && this.state.state !== 'RUNNING' && this.state.state !== 'STARTING');
  }

  get speed() {
    return this.state?.speed ?? 1;
  }

  /** The site's time, ms since 1970: what was heard last, and what must have passed since. */
  now() {
    if (this.paused || this.link !== 'up') {
      return this.clockAt;
    }
    const since = Math.min(performance.now() - this.clockWall, 2_000);
    return this.clockAt + since * (this.state?.achievedSpeed || this.speed);
  }

  /** The latest telemetry of a device, undefined when it is too old to count or was never heard. */
  told(name) {
    const device = this.devices.get(name);
    if (!device?.telemetry || device.online === false) {
      return undefined;
    }
    const limitMs = (STALE_S * 1000) / Math.min(1, this.speed);
    return this.paused || performance.now() - device.wall <= limitMs ? device.telemetry : undefined;
  }

  /** Whether something has held without a break for so long, s of the wall's time; to be asked at each frame. */
  lasting(name, holds, seconds) {
    if (!holds) {
      this.since.delete(name);
      return false;
    }
    const since = this.since.get(name) ?? performance.now();
    this.since.set(name, since);
    return performance.now() - since >= seconds * 1000;
  }

  /** Whether the broker says that a device is gone. */
  offline(name) {
    return this.devices.get(name)?.online === false;
  }

  /** The supervisor's mode, by its telemetry or by its event, whichever is the later; undefined while it is silent. */
  get mode() {
    const told = this.told('supervisor');
    const { transition } = this;
    return transition && (told || !this.began) && !(Date.parse(told?.at) > transition.at) ? transition.to : told?.mode;
  }
}
