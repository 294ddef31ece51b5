/*
 * What the one-line diagram shows, made from what the devices say on the wire: the page sees what an operator at a real
 * site would see. Only what no device measures (the sun that is not used, a disconnect somebody left open) is taken from
 * the bench, where there is one.
 */
import { fixed, percent, power, quantity, NONE } from './numbers.js';
import { has, say } from './texts.js';

/** Below this a conductor counts as dead, pu: the hazards' own bound (docs/hazards.md). */
const DEAD_PU = 0.1;

/** What is told and what is so must differ for this long before the page says so, s: news of both travel apart. */
const LIE_S = 1.5;

/** A meter that is off by more than this share of what is so is called wrong; good ones are of 1 % class. */
const WRONG = 0.02;

/** Less than this is drawn as no flow, W: within the meters' own noise. */
const NO_FLOW_W = 2;

export function viewOf(store) {
  const { site } = store.description;
  const meter = store.told('meter');
  const tie = store.told('tie');
  const inverter = store.told('inverter');
  const regulator = store.told('regulator');
  const charger = store.told('charger');
  const supervisor = store.told('supervisor');
  const truth = store.truth;

  const switched = Boolean(site.tie || site.changeover);
  const forming = inverter?.state === 'FORMING' || inverter?.state === 'SYNCHRONISING';
  const utilityPu = meter?.utilityVoltagePu ?? tie?.utilityVoltagePu;
  const serviceLive = utilityPu === undefined ? undefined : utilityPu > DEAD_PU;
  const leftOpen = serviceLive === false && truth?.utilityLive === true && truth.mainVoltagePu <= DEAD_PU;
  const panelPu = meter?.criticalVoltagePu;
  const panelLive = panelPu === undefined ? undefined : panelPu > DEAD_PU;
  const closed = tie?.closed;
  const fromUtility = switched && closed === true && serviceLive === true && (site.changeover ? true : !forming);
  const fedBack = site.tie && closed === true && serviceLive === true && forming;

  const zones = {
    service: leftOpen ? 'by-utility' : live(serviceLive, fedBack ? 'by-inverter' : 'by-utility'),
    pcc: live(serviceLive, fedBack ? 'by-inverter' : 'by-utility'),
    panel: live(panelLive, fromUtility ? 'by-utility' : 'by-inverter'),
    inverter: inverter === undefined ? 'unknown' : forming ? 'by-inverter' : 'dead',
    dc: live(anyLive(regulator?.busVoltageV, inverter?.busVoltageV, charger?.busVoltageV), 'by-battery'),
    battery: meter?.batteryPath === 'OPEN' ? 'dead' : live(anyLive(meter?.batteryVoltageV), 'by-battery'),
    pv: live(regulator === undefined ? undefined : regulator.pvVoltageV > 1, 'by-battery'),
  };

  const pcc = meter?.pccPowerW;
  const through = closed === true ? pcc - (meter?.noncriticalPowerW ?? 0) - (charger?.acPowerW ?? 0) : closed === false ? 0 : NaN;
  const battery = meter === undefined ? NaN : meter.batteryVoltageV * meter.batteryCurrentA;
  const flows = {
    pcc: flow(pcc),
    through: flow(through),
    'inverter.ac': flow(inverter?.acPowerW),
    'inverter.dc': flow(inverter === undefined ? NaN : -inverter.dcCurrentA * inverter.busVoltageV),
    'charger.ac': flow(charger?.acPowerW),
    'charger.dc': flow(charger === undefined ? NaN : charger.outputCurrentA * charger.busVoltageV),
    battery: flow(battery),
    regulator: flow(regulator === undefined ? NaN : regulator.outputCurrentA * regulator.busVoltageV),
  };

  // When the tie opens by itself its last word is of a dead panel; the inverter's is the newer one until it speaks again.
  const hz = tie && site.tie && tie.islandFrequencyHz > 0 ? tie.islandFrequencyHz : forming ? inverter.acFrequencyHz : meter?.utilityFrequencyHz;
  const soc = supervisor?.soc ?? truth?.batterySoc;
  const reserve = supervisor?.reserveSoc;
  const texts = {
    'utility.v': volts(utilityPu, site),
    'utility.hz': serviceLive === undefined ? NONE : serviceLive ? quantity(meter?.utilityFrequencyHz ?? tie?.utilityFrequencyHz, 2, 'Hz') : say('utility.dead'),
    'pcc.word': flows.pcc.sign > 0 ? say('flow.import') : flows.pcc.sign < 0 ? say('flow.export') : say('flow.none'),
    'main.p': meter === undefined ? NONE : power(meter.noncriticalPowerW),
    'tie.state': switchState(site, tie),
    'tie.detail': switchDetail(store, site, tie),
    'panel.p': meter === undefined ? NONE : power(meter.criticalPowerW),
    'panel.v':
      panelLive === undefined ? NONE : panelLive ? `${volts(panelPu, site)}${Number.isNaN(hz) ? '' : `  ${quantity(hz, 2, 'Hz')}`}` : say('panel.dead'),
    'inverter.state': deviceState(store, 'inverter', inverter, inverterState(inverter)),
    'bus.v': quantity(regulator?.busVoltageV ?? inverter?.busVoltageV ?? NaN, 2, 'V'),
    'bus.label': `${say('part.bus')}  ${quantity(regulator?.busVoltageV ?? inverter?.busVoltageV ?? NaN, 2, 'V')}`,
    'battery.va':
      meter === undefined ? NONE : `${quantity(meter.batteryVoltageV, 2, 'V')}  ${quantity(meter.batteryCurrentA, 1, 'A')}`,
    'battery.soc': soc === undefined ? NONE : percent(soc),
    'battery.words':
      reserve === undefined
        ? ''
        : wrongVolts(store, meter)
          ? say('battery.inTruth', { volts: quantity(truth.batteryVoltageV, 2, 'V') })
          : say(battery > NO_FLOW_W ? 'battery.charging' : battery < -NO_FLOW_W ? 'battery.discharging' : 'battery.resting', {
            reserve: percent(reserve),
          }),
    'regulator.state': deviceState(store, 'regulator', regulator, stage(regulator)),
    'regulator.stage': regulator === undefined ? deviceState(store, 'regulator', regulator, '') : say(regulator.enabled ? `stage.${regulator.stage}` : 'stage.OFF'),
    'regulator.set': regulator?.enabled && !Number.isNaN(regulator.voltageSetV) ? (regulator.local ? say('device.own') : quantity(regulator.voltageSetV, 1, 'V')) : '',
    'charger.stage': charger === undefined ? deviceState(store, 'charger', charger, '') : say(charger.enabled ? `stage.${charger.stage}` : 'stage.OFF'),
    'charger.set': charger?.enabled ? (charger.local ? say('device.own') : quantity(charger.voltageSetV, 1, 'V')) : '',
    'charger.state': deviceState(store, 'charger', charger, stage(charger)),
    'pv.p': regulator === undefined ? NONE : power(regulator.pvPowerW),
    'pv.available': truth?.pvAvailableW === undefined ? '' : say('pv.available', { power: power(truth.pvAvailableW) }),
  };

  const switches = {
    service: (leftOpen ? 'open' : 'closed') + dead(zones.service),
    'feeder pcc': `closed${dead(zones.pcc)}`,
    'feeder panel': `closed${dead(zones.panel)}`,
    tie: (closed === undefined ? 'unknown' : closed ? 'closed' : 'open') + (zones.panel === 'dead' ? dead(zones.pcc) : ''),
  };
  const shed = new Set((meter?.shedCircuits ?? '').split(',').map((name) => name.trim()));
  for (const circuit of site.circuits) {
    const zone = circuit.panel === 'critical' ? zones.panel : zones.pcc;
    switches[`circuit ${circuit.name}`] = (shed.has(circuit.name) ? 'open' : 'closed') + dead(zone);
  }

  return {
    zones,
    flows,
    texts,
    switches,
    alerts: {
      'panel.v': panelLive === false,
      'tie.detail': lies(store, tie),
      'battery.words': wrongVolts(store, meter),
      'inverter.state': inverter?.state === 'FAULT' || silent(store, 'inverter'),
      'regulator.state': silent(store, 'regulator'),
      'charger.state': silent(store, 'charger'),
      'tie.state': switched && silent(store, 'tie'),
    },
    held: tie?.held === true,
    soc: soc ?? 0,
    reserve: reserve ?? 0,
  };
}

/** Switches and feeders on a dead conductor are drawn as it is. */
function dead(zone) {
  return zone === 'dead' || zone === 'unknown' ? ' dead' : '';
}

function live(is, look) {
  return is === undefined ? 'unknown' : is ? look : 'dead';
}

/** Whether any meter of a DC conductor sees more than 1 V; undefined when none is heard. */
function anyLive(...volts) {
  const heard = volts.filter((one) => one !== undefined);
  return heard.length === 0 ? undefined : heard.some((one) => one > 1);
}

function flow(watts) {
  const sign = Number.isFinite(watts) && Math.abs(watts) >= NO_FLOW_W ? Math.sign(watts) : 0;
  return { sign, text: Number.isFinite(watts) ? power(sign === 0 ? 0 : watts) : NONE, watts };
}

function volts(pu, site) {
  return pu === undefined ? NONE : quantity(pu * site.nominalVoltageV, 0, 'V');
}

function inverterState(inverter) {
  return inverter === undefined ? '' : say(`inverter.${inverter.state}`, { trip: inverter.trip.toLowerCase().replace('_', ' ') });
}

function stage(device) {
  if (device === undefined) {
    return '';
  }
  if (!device.enabled) {
    return say('stage.OFF');
  }
  const name = say(`stage.${device.stage}`);
  return Number.isNaN(device.voltageSetV) ? name : `${name}, ${fixed(device.voltageSetV, 1)}\u202fV`;
}

function deviceState(store, device, telemetry, state) {
  if (telemetry === undefined) {
    return say(store.offline(device) ? 'device.offline' : store.recorded ? 'device.notRecorded' : 'device.silent');
  }
  return telemetry.local && has('device.alone') ? say('device.alone', { state }) : state;
}

function silent(store, device) {
  return store.began && store.told(device) === undefined && (!store.recorded || store.offline(device));
}

function switchState(site, tie) {
  if (tie === undefined) {
    return say('device.silent');
  }
  if (site.changeover) {
    return say(tie.closed ? 'switch.onUtility' : 'switch.onInverter');
  }
  return say(tie.closed ? 'switch.closed' : 'switch.open');
}

/** Whether the switch's own word has differed from the plant for a while; known on a bench only. */
function lies(store, tie) {
  return store.lasting('tie', tie !== undefined && store.truth?.tieClosed !== undefined && store.truth.tieClosed !== tie.closed, LIE_S);
}

function wrongVolts(store, meter) {
  const so = store.truth?.batteryVoltageV;
  return store.lasting('volts', meter !== undefined && so > 0 && Math.abs(meter.batteryVoltageV - so) > WRONG * so, LIE_S);
}

function switchDetail(store, site, tie) {
  if (tie === undefined) {
    return store.offline('tie') ? say('device.offline') : '';
  }
  if (lies(store, tie)) {
    const { tieClosed } = store.truth;
    return say('switch.inTruth', { state: say(site.changeover ? (tieClosed ? 'switch.onUtility' : 'switch.onInverter') : tieClosed ? 'switch.closed' : 'switch.open') });
  }
  if (tie.closed !== tie.orderedClosed) {
    return say(tie.orderedClosed ? 'switch.closing' : 'switch.opening');
  }
  return tie.held ? say('switch.held') : '';
}
