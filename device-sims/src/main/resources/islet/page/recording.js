/*
 * A run that is over, as its folder has it. It speaks to the store as the devices, the bench and the supervisor do on the
 * wire, with what was so at one instant, so that all views draw it as they draw a live site. A trace holds what was so
 * at the plant, not what devices said of it; what it does not hold stays unknown.
 */
import { COLUMNS } from './history.js';
import { MODES } from './strips.js';

/** Events are told to the millisecond: what is recorded within the half of it has happened with them. */
const ROUNDING_MS = 0.5;

/** With less than this to be had the array is dead, W. */
const DARK_W = 1;

/** What the page is told of a conductor of which only whether it lives is known, V. */
const LIVES_V = 100;

export class Recording {
  constructor(told, description) {
    this.description = description;
    this.rows = told.rows;
    this.events = told.events;
    this.margins = told.margins;
    this.told = told;
    this.place = new Map(told.columns.map((name, i) => [name, i + 1]));
    this.words = new Map(description.signals.map((signal) => [signal.name, signal.words]));
    this.alarmsKnown = new Map(description.alarms.map((alarm) => [alarm.id, alarm]));
    this.from = told.rows[0][0];
    this.to = told.rows[told.rows.length - 1][0];
    this.begin();
  }

  begin() {
    this.heard = 0;
    this.shed = '';
    this.holds = new Set();
  }

  /** The newest row at an instant. */
  row(at) {
    const { rows } = this;
    let low = 0;
    let high = rows.length - 1;
    while (low < high) {
      const middle = Math.ceil((low + high) / 2);
      if (rows[middle][0] <= at + ROUNDING_MS) {
        low = middle;
      } else {
        high = middle - 1;
      }
    }
    return rows[low];
  }

  /** The first event after an instant, or the last one before it. */
  neighbour(at, forward) {
    const { events } = this;
    if (forward) {
      return events.find((event) => event.at > at);
    }
    for (let i = events.length - 1; i >= 0; i--) {
      if (events[i].at < at) {
        return events[i];
      }
    }
    return undefined;
  }

  /** Lets the store know what was so at an instant, and nothing of what came after it. */
  tell(store, at) {
    if (this.events[this.heard - 1]?.at > at) {
      store.forget();
      this.begin();
    }
    while (this.heard < this.events.length && this.events[this.heard].at <= at) {
      this.happen(store, this.events[this.heard++]);
    }
    const row = this.row(at);
    const value = (name) => row[this.place.get(name)];
    const word = (name) => this.words.get(name)?.[value(name)];
    // What a row says stands back behind an event that is younger: rows may be thinned.
    const told = new Date(Math.floor(row[0])).toISOString();
    const say = (device, fields) => store.hear(device, 'telemetry', { at: told, ...fields });
    const bus = value('bus.voltage_V');
    say('meter', {
      utilityVoltagePu: value('utility.voltage_pu'),
      utilityFrequencyHz: value('utility.frequency_Hz'),
      pccPowerW: value('pcc.power_W'),
      criticalVoltagePu: value('critical.voltage_pu'),
      criticalPowerW: value('critical.power_W'),
      noncriticalPowerW: value('noncritical.power_W'),
      batteryVoltageV: value('battery.voltage_V'),
      batteryCurrentA: value('battery.current_A'),
      shedCircuits: this.shed,
    });
    const closed = value('tie.closed') === 1;
    if (this.description.site.tie || this.description.site.changeover) {
      say('tie', { closed, orderedClosed: closed, held: this.holds.size > 0, utilityVoltagePu: value('utility.voltage_pu'), islandFrequencyHz: closed ? value('utility.frequency_Hz') : NaN });
    }
    say('inverter', {
      state: word('inverter.state'), trip: '', acPowerW: value('inverter.power_W'), acFrequencyHz: NaN, dcCurrentA: NaN, busVoltageV: bus,
    });
    const stage = word('regulator.stage');
    const array = value('pv.power_W');
    say('regulator', {
      enabled: stage !== 'OFF', stage, voltageSetV: NaN, busVoltageV: bus, outputCurrentA: NaN, pvPowerW: array,
      pvVoltageV: value('pv.available_W') > DARK_W || array > DARK_W ? LIVES_V : 0,
    });
    say('supervisor', {
      mode: word('supervisor.mode'), soc: value('supervisor.soc') ?? value('battery.soc'), reserveSoc: value('supervisor.reserve_soc'),
    });
    store.hear('bench', 'telemetry', {
      at: told,
      utilityLive: value('utility.live') === 1,
      mainVoltagePu: value('main.voltage_pu'),
      pvAvailableW: value('pv.available_W'),
      batteryVoltageV: value('battery.voltage_V'),
      batterySoc: value('battery.soc'),
      tieClosed: closed,
      priceImport: value('price.import'),
      priceExport: value('price.export'),
      phase: '',
    });
    store.clockAt = at;
  }

  happen(store, event) {
    store.event(event);
    switch (event.kind) {
      case 'online':
        store.hear(event.source, 'online', { online: event.to === 'online' });
        break;
      case 'alarm':
        this.alarm(store, event);
        break;
      case 'shed':
        this.shed = event.to;
        break;
      case 'hold':
        this.holds.delete(event.from);
        if (event.to) {
          this.holds.add(event.to);
        }
        break;
      default:
    }
  }

  /** An alarm's line says which and what: `tie-not-open: The tie was told …`. */
  alarm(store, event) {
    const end = event.reason.indexOf(':');
    const id = event.reason.slice(0, end).toUpperCase().replaceAll('-', '_');
    const known = this.alarmsKnown.get(id) ?? { id, priority: 'LOW', consequence: '', action: '' };
    store.hear('supervisor', 'alarm', {
      ...known, text: event.reason.slice(end + 1).trim(), state: event.to, at: new Date(event.at).toISOString(),
    });
  }

  /** The verdict's margins, which are of the whole run. */
  tellMargins(store) {
    for (const margin of this.margins) {
      store.hear('bench', 'margin', { ...margin, at: this.description.endAt });
    }
  }
}

/** Rows of all signals, as the server tells them, in the order of the history's columns. */
export function historyRows(told, description) {
  const at = (name) => told.columns.indexOf(name) + 1;
  const names = {
    bus: 'bus.voltage_V', battery: 'battery.voltage_V', soc: 'battery.soc', reserve: 'supervisor.reserve_soc', pcc: 'pcc.power_W',
    pv: 'pv.power_W', critical: 'critical.power_W', noncritical: 'noncritical.power_W', import: 'price.import', export: 'price.export',
  };
  const columns = COLUMNS.map((name) => (names[name] ? at(names[name]) : 0));
  const current = at('battery.current_A');
  const volts = at('battery.voltage_V');
  const mode = at('supervisor.mode');
  const modeWords = description.signals.find((signal) => signal.name === 'supervisor.mode')?.words ?? [];
  const out = [];
  for (const row of told.rows) {
    if (!(row[volts] > 0)) {
      continue; // nothing had been measured yet
    }
    const number = (index) => (index > 0 && typeof row[index] === 'number' ? row[index] : NaN);
    const made = columns.map(number);
    made[0] = row[0] / 1000;
    made[COLUMNS.indexOf('batteryPower')] = number(current) * number(volts);
    made[COLUMNS.indexOf('mode')] = MODES.indexOf(modeWords[row[mode]]);
    out.push(made);
  }
  return out;
}
