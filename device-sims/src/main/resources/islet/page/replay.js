/* Winds a recording: a slider over its time, events as stops, and a pace at which it plays. */
import { make } from './sheet.js';
import { say } from './texts.js';

const PACES = [1, 10, 60, 600];

/** How often the instant moves while it plays, ms: as often as frames are drawn. */
const BEAT_MS = 80;

const SECOND_MS = 1_000;
const MINUTE_MS = 60_000;

/** Events that are marked beside the slider. */
const MARKED = new Set(['mode', 'source', 'alarm', 'fault']);

export class Replay {
  /** @param moves is told each new instant, ms since 1970 */
  constructor(room, moves) {
    this.moves = moves;
    this.pace = PACES[0];
    this.beat = 0;
    this.build(room);
  }

  get playing() {
    return this.beat !== 0;
  }

  build(room) {
    const line = document.createElement('div');
    line.className = 'row';
    const button = (text, does) => {
      const made = document.createElement('button');
      made.type = 'button';
      made.textContent = text;
      made.addEventListener('click', does);
      line.append(made);
      return made;
    };
    button(say('replay.previous'), () => this.toEvent(false));
    this.playButton = button(say('replay.play'), () => this.toggle());
    button(say('replay.next'), () => this.toEvent(true));
    this.paces = PACES.map((pace) => {
      const made = button(say('replay.speed', { speed: pace }), () => this.setPace(pace));
      made.setAttribute('aria-label', `${say('replay.speedLabel')} ${say('replay.speed', { speed: pace })}`);
      return made;
    });
    this.told = document.createElement('output');
    this.told.className = 'replay-instant';
    line.append(this.told);

    const track = document.createElement('div');
    track.className = 'replay-track';
    this.marks = make(track, 'svg', { class: 'replay-marks', viewBox: '0 0 1000 10', preserveAspectRatio: 'none', 'aria-hidden': 'true' });
    this.slider = document.createElement('input');
    this.slider.type = 'range';
    this.slider.id = 'replay-slider';
    this.slider.min = '0';
    this.slider.step = '1';
    this.slider.setAttribute('aria-label', say('replay.slider'));
    this.slider.addEventListener('input', () => this.go(this.recording.from + Number(this.slider.value)));
    this.slider.addEventListener('keydown', (event) => this.pressed(event));
    track.append(this.slider);
    room.replaceChildren(line, track);
    this.showPace();
  }

  begin(recording, clock) {
    this.recording = recording;
    this.clock = clock;
    this.slider.max = String(recording.to - recording.from);
    this.marks.replaceChildren();
    const span = Math.max(1, recording.to - recording.from);
    for (const event of recording.events.filter((one) => MARKED.has(one.kind))) {
      make(this.marks, 'path', { class: `mark ${event.kind}`, d: `M${((1000 * (event.at - recording.from)) / span).toFixed(2)} 0V10` });
    }
    this.go(recording.from);
  }

  /** Goes to an instant, ms since 1970, as far as the recording goes. */
  go(at) {
    const { from, to } = this.recording;
    this.at = Math.min(to, Math.max(from, at));
    this.slider.value = String(this.at - from);
    const text = say('replay.instant', { time: this.clock.time(this.at), day: this.clock.day(this.at) });
    if (this.told.value !== text) {
      this.told.value = text;
      this.slider.setAttribute('aria-valuetext', text);
    }
    if (this.playing && this.at >= to) {
      this.stop();
    }
    this.moves(this.at);
  }

  toEvent(forward) {
    const event = this.recording.neighbour(this.at, forward);
    this.go(event?.at ?? (forward ? this.recording.to : this.recording.from));
  }

  toggle() {
    if (this.playing) {
      this.stop();
    } else {
      if (this.at >= this.recording.to) {
        this.go(this.recording.from);
      }
      let before = performance.now();
      this.beat = setInterval(() => {
        const now = performance.now();
        const passed = (now - before) * this.pace;
        before = now;
        this.go(this.at + passed);
      }, BEAT_MS);
    }
    this.showPlaying();
  }

  stop() {
    clearInterval(this.beat);
    this.beat = 0;
    this.showPlaying();
  }

  showPlaying() {
    this.playButton.textContent = say(this.playing ? 'replay.pause' : 'replay.play');
    this.moves(this.at);
  }

  setPace(pace) {
    this.pace = pace;
    this.showPace();
    this.moves(this.at);
  }

  /** @param {number} steps to the next faster pace, or back */
  changePace(steps) {
    const place = PACES.indexOf(this.pace) + steps;
    this.setPace(PACES[Math.min(PACES.length - 1, Math.max(0, place))]);
  }

  showPace() {
    this.paces.forEach((made, i) => made.setAttribute('aria-pressed', String(PACES[i] === this.pace)));
  }

  /** Keys on the slider: the browser's own steps would be thousandths of a second. */
  pressed(event) {
    const steps = {
      ArrowLeft: -SECOND_MS, ArrowDown: -SECOND_MS, ArrowRight: SECOND_MS, ArrowUp: SECOND_MS,
      PageDown: -MINUTE_MS, PageUp: MINUTE_MS, Home: -Infinity, End: Infinity,
    };
    if (event.ctrlKey || event.altKey || event.metaKey) {
      return;
    }
    if (event.key in steps) {
      event.preventDefault();
      this.go(this.at + steps[event.key]);
    } else if (event.key === ' ') {
      event.preventDefault();
      this.toggle();
    }
  }
}
