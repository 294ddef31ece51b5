/*
 * The course of things since the run's start in bounded memory: the newest rows one by one, older ones thinned. When the
 * older part is full, every two neighbours become one, which keeps of each signal the value that stands out more, so that
 * a short peak stays visible however long the run is.
 */

export const COLUMNS = [
  'at', 'bus', 'battery', 'set', 'soc', 'reserve', 'pcc', 'pv', 'batteryPower', 'critical', 'noncritical', 'import', 'export', 'mode',
];

const RECENT = 1_500;
const OLDER = 2_400;

export class History {
  /** @param {string[]} columns the instant first, s since 1970 */
  constructor(columns = COLUMNS) {
    this.recent = new Block(RECENT, columns.length);
    this.older = new Block(OLDER, columns.length);
    this.out = columns.map(() => new Array(RECENT + OLDER).fill(0));
    this.clear();
  }

  clear() {
    this.recent.length = 0;
    this.older.length = 0;
    this.merge = 1;
    this.held = 0;
    this.version = 0;
    this.last = -Infinity;
  }

  get length() {
    return this.recent.length + this.older.length;
  }

  /** Takes a row in the order of the columns; a time that does not go on is passed over. */
  add(row) {
    if (!(row[0] > this.last)) {
      return;
    }
    this.last = row[0];
    this.version++;
    if (this.recent.length === RECENT) {
      // A third at once, so that rows are seldom moved.
      const leaving = RECENT / 3;
      for (let i = 0; i < leaving; i++) {
        this.retire(i);
      }
      this.recent.drop(leaving);
    }
    this.recent.push(row);
  }

  retire(index) {
    if (this.held > 0 && this.older.length > 0) {
      this.older.mergeLast(this.recent, index);
    } else {
      if (this.older.length === OLDER) {
        this.older.halve();
        this.merge *= 2;
      }
      this.older.pushFrom(this.recent, index);
    }
    this.held = (this.held + 1) % this.merge;
  }

  /** All rows, oldest first, as they were added. */
  rows() {
    const columns = this.columns();
    return Array.from({ length: this.length }, (ignored, i) => columns.map((column) => column[i] ?? NaN));
  }

  /** All columns, oldest first; the arrays are the same at each call. */
  columns() {
    const { older, recent, out } = this;
    const length = older.length + recent.length;
    for (let c = 0; c < out.length; c++) {
      const column = out[c];
      column.length = length;
      for (let i = 0; i < older.length; i++) {
        column[i] = gap(older.columns[c][i]);
      }
      for (let i = 0; i < recent.length; i++) {
        column[older.length + i] = gap(recent.columns[c][i]);
      }
    }
    return out;
  }
}

const gap = (value) => (Number.isNaN(value) ? null : value);

/** Rows in columns of a fixed size. */
class Block {
  constructor(size, width) {
    this.columns = Array.from({ length: width }, () => new Float64Array(size));
    this.length = 0;
  }

  push(row) {
    for (let c = 0; c < this.columns.length; c++) {
      this.columns[c][this.length] = row[c];
    }
    this.length++;
  }

  pushFrom(other, index) {
    for (let c = 0; c < this.columns.length; c++) {
      this.columns[c][this.length] = other.columns[c][index];
    }
    this.length++;
  }

  drop(count) {
    for (const column of this.columns) {
      column.copyWithin(0, count, this.length);
    }
    this.length -= count;
  }

  mergeLast(other, index) {
    const last = this.length - 1;
    for (let c = 1; c < this.columns.length; c++) {
      const before = last > 0 ? this.columns[c][last - 1] : this.columns[c][last];
      this.columns[c][last] = standsOut(before, this.columns[c][last], other.columns[c][index]);
    }
  }

  halve() {
    const half = this.length / 2;
    for (let c = 0; c < this.columns.length; c++) {
      const column = this.columns[c];
      for (let i = 0; i < half; i++) {
        const before = i > 0 ? column[i - 1] : column[0];
        column[i] = c === 0 ? column[2 * i] : standsOut(before, column[2 * i], column[2 * i + 1]);
      }
    }
    this.length = half;
  }
}

function standsOut(before, a, b) {
  if (Number.isNaN(a) || Number.isNaN(before)) {
    return b;
  }
  return Math.abs(b - before) > Math.abs(a - before) ? b : a;
}
