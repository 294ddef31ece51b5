/* What the diagram shows, in a few sentences: for whoever does not see it, and for the back row. */
import { percent, power } from './numbers.js';
import { say } from './texts.js';

export function inWords(store, view) {
  const { site } = store.description;
  const out = [];
  const { panel } = view.zones;
  if (panel === 'dead') {
    out.push(say('words.panelDead'));
  } else if (panel === 'by-utility') {
    out.push(say('words.byUtility'));
  } else if (panel === 'by-inverter') {
    out.push(say(site.utility && view.zones.pcc === 'dead' ? 'words.byInverterAlone' : 'words.byInverter'));
  }
  if (site.utility && view.zones.pcc === 'dead') {
    out.push(say('words.utilityDead'));
  } else if (view.flows.pcc.sign !== 0 && site.utility) {
    out.push(say(view.flows.pcc.sign > 0 ? 'words.import' : 'words.export', { power: view.flows.pcc.text }));
  }
  const { battery } = view.flows;
  if (view.texts['battery.soc']) {
    out.push(say(battery.sign > 0 ? 'words.charging' : battery.sign < 0 ? 'words.discharging' : 'words.resting', { power: battery.text, soc: percent(view.soc) }));
  }
  const regulator = store.told('regulator');
  if (regulator) {
    const available = store.truth?.pvAvailableW;
    const curtailed = available - regulator.pvPowerW;
    out.push(say(regulator.pvPowerW > 2 ? 'words.sun' : 'words.noSun', { power: power(regulator.pvPowerW) }));
    if (curtailed > Math.max(50, 0.05 * available)) {
      out.push(say('words.curtailed', { power: power(curtailed) }));
    }
  }
  return out.join(' ');
}
