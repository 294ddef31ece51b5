/* How quantities are written. A thin, unbreakable space stands between number and unit. */

const GAP = '\u202f';
const MINUS = '\u2212';
export const NONE = '\u2013';

/** A number with a fixed count of decimals, and a true minus sign; a dash for what is not known. */
export function fixed(value, decimals) {
  if (!Number.isFinite(value)) {
    return NONE;
  }
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? MINUS + text : text;
}

export function quantity(value, decimals, unit) {
  return unit ? fixed(value, decimals) + GAP + unit : fixed(value, decimals);
}

/** Power without its direction: W below 1 kW, then kW with three digits. */
export function power(watts) {
  const size = Math.abs(watts);
  if (!Number.isFinite(size)) {
    return NONE;
  }
  if (size < 999.5) {
    return quantity(size, 0, 'W');
  }
  return quantity(size / 1000, size < 9_995 ? 2 : size < 99_950 ? 1 : 0, 'kW');
}

export function percent(share) {
  return quantity(share * 100, 0, '%');
}

/** Set points and bounds: as many decimals as tell them apart, at most three. */
export function plain(value) {
  if (!Number.isFinite(value)) {
    return NONE;
  }
  return String(Math.round(value * 1000) / 1000).replace('-', MINUS);
}

/** What changes while it is read: three digits, and no more decimals than three. */
export function figure(value) {
  const size = Math.abs(value);
  const decimals = size >= 99.95 ? 0 : size >= 9.995 ? 1 : size >= 0.9995 ? 2 : 3;
  return plain(Math.round(value * 10 ** decimals) / 10 ** decimals);
}

export function duration(seconds) {
  if (!Number.isFinite(seconds)) {
    return NONE;
  }
  const s = Math.max(0, Math.round(seconds));
  if (s < 120) {
    return quantity(s, 0, 's');
  }
  if (s < 7_200) {
    return `${Math.floor(s / 60)}${GAP}min ${s % 60}${GAP}s`;
  }
  return `${Math.floor(s / 3_600)}${GAP}h ${Math.floor((s % 3_600) / 60)}${GAP}min`;
}

/** A duration that was set, not measured: without the parts that are zero. */
export function span(seconds) {
  if (seconds >= 3_600 && seconds % 3_600 === 0) {
    return quantity(seconds / 3_600, 0, 'h');
  }
  return seconds >= 60 && seconds % 60 === 0 ? quantity(seconds / 60, 0, 'min') : `${plain(seconds)}${GAP}s`;
}

/** `tie-not-open` and `TIE_NOT_OPEN` as `Tie not open`. */
export function words(name) {
  const text = name.replace(/[-_]/g, ' ').toLowerCase();
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Clock times at the site. */
export class SiteClock {
  constructor(zone) {
    const base = { timeZone: zone, hourCycle: 'h23' };
    this.times = new Intl.DateTimeFormat('en-GB', { ...base, hour: '2-digit', minute: '2-digit', second: '2-digit' });
    this.short = new Intl.DateTimeFormat('en-GB', { ...base, hour: '2-digit', minute: '2-digit' });
    this.days = new Intl.DateTimeFormat('en-GB', { timeZone: zone, weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' });
  }

  time(millis) {
    return Number.isFinite(millis) ? this.times.format(millis) : NONE;
  }

  minute(millis) {
    return Number.isFinite(millis) ? this.short.format(millis) : NONE;
  }

  day(millis) {
    return Number.isFinite(millis) ? this.days.format(millis) : '';
  }
}
