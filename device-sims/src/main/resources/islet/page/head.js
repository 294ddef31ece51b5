/* The title block: where, which mode, when, how fast, over which link, as whom. */
import { duration, plain } from './numbers.js';
import { say } from './texts.js';

const PARTS = ['site-name', 'scenario', 'mode', 'time', 'day', 'speed', 'link', 'who'];

export class Head {
  constructor() {
    this.parts = Object.fromEntries(PARTS.map((id) => [id, document.getElementById(id)]));
  }

  show(store) {
    const { description, clock } = store;
    const now = store.now();
    this.put('site-name', description.site.name);
    this.put('scenario', description.mode === 'site' ? say('head.atSite') : description.title);
    const { mode } = store;
    this.put('mode', mode ? say(`mode.${mode}`) : say(store.began ? 'head.silent' : 'head.listening'));
    if (this.parts.mode.dataset.mode !== (mode ?? '')) {
      this.parts.mode.dataset.mode = mode ?? '';
    }
    this.put('time', clock.time(now));
    this.put('day', clock.day(now));
    this.put('speed', speedWords(store));
    this.put('link', say(`link.${store.link}`));
    this.put('who', store.user ? store.user : say('who.nobody'));
  }

  put(id, text) {
    if (this.parts[id].textContent !== text) {
      this.parts[id].textContent = text;
    }
  }
}

/** How fast time goes on, in words. */
export function speedWords(store) {
  const { state } = store;
  if (!state) {
    return say('speed.field');
  }
  switch (state.state) {
    case 'RECORDED':
      return say(state.playing ? 'replay.plays' : 'replay.stands', { speed: plain(state.speed) });
    case 'PAUSED':
      return say('speed.paused');
    case 'ENDED':
      return say('speed.ended');
    case 'CHANGING':
      return say('speed.changing');
    default:
      return state.behindS > Math.max(1, state.speed)
        ? say('speed.behind', { asked: plain(state.speed), kept: plain(Math.round(state.achievedSpeed * 10) / 10), behind: duration(state.behindS) })
        : say('speed.kept', { asked: plain(state.speed) });
  }
}
