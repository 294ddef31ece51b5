/*
 * How a page gets its description and its link to the broker, and gets both again: after a lost link, after another run
 * has begun, and when an account was refused.
 */
import { connect } from './mqtt5.js';
import { say } from './texts.js';

/** How often a missing or an outdated description is asked for again, ms. */
const ASK_AGAIN_MS = 1_500;

const byId = (id) => document.getElementById(id);
const pause = (millis) => new Promise((resolve) => setTimeout(resolve, millis));

async function fetchDescription() {
  const answer = await fetch('description.json', { cache: 'no-store' });
  if (!answer.ok) {
    throw new Error(`${answer.status} ${answer.statusText}`);
  }
  return answer.json();
}

export class Joining {
  /**
   * @param {{begin: Function, hear: Function, linked: Function, topics: Function}} page what it does with a description,
   *   with a message, and with news of the link; and which topics a description speaks of
   */
  constructor(page) {
    this.page = page;
    this.account = { user: '', password: '' };
    this.state = 'connecting';
    this.refreshed = true;
    this.asking = false;
    byId('sign-in-form').addEventListener('submit', (event) => {
      event.preventDefault();
      this.account = { user: byId('user').value, password: byId('password').value };
      byId('password').value = '';
      byId('sign-in').close();
      this.link = undefined;
      this.join();
    });
  }

  async start() {
    this.notice(say('page.loading'));
    for (;;) {
      try {
        this.begin(await fetchDescription());
        return;
      } catch (error) {
        this.notice(say('page.noDescription', { why: error.message }));
        await pause(ASK_AGAIN_MS);
      }
    }
  }

  begin(description) {
    this.description = description;
    this.notice('');
    this.page.begin(description);
    // A recording has no broker.
    if (description.mqtt.url) {
      this.join();
    }
  }

  /** Waits for the description of the next run; the link stays, since it is the same broker. */
  async describeAgain() {
    if (this.asking) {
      return;
    }
    this.asking = true;
    const { run } = this.description;
    while (this.description.run === run) {
      try {
        const description = await fetchDescription();
        if (description.run > run) {
          this.begin(description);
          break;
        }
      } catch {
        // Asked for again below.
      }
      await pause(ASK_AGAIN_MS / 5);
    }
    this.asking = false;
  }

  join() {
    const { mqtt } = this.description;
    const filters = this.page.topics(this.description).map((prefix) => `${prefix}#`);
    if (this.link && this.state !== 'refused') {
      this.link.subscribe(filters);
      return;
    }
    const byAccount = mqtt.signIn === 'account';
    if (byAccount && !this.account.user) {
      this.ask('');
      return;
    }
    const { user = '', password = '' } = byAccount ? this.account : mqtt;
    this.user = byAccount ? user : say('who.here');
    this.page.linked();
    this.link = connect({
      url: mqtt.url,
      user,
      password,
      filters,
      onMessage: (...message) => this.page.hear(...message),
      onState: (state) => this.linked(state),
    });
  }

  linked(state) {
    this.state = state;
    if (state === 'refused') {
      if (this.description.mqtt.signIn === 'account') {
        this.account = { user: '', password: '' };
        this.ask(say('signIn.refused'));
      } else {
        this.link = undefined;
        pause(ASK_AGAIN_MS).then(() => this.start());
      }
    } else if (state === 'down') {
      this.notice(say('link.lost'));
      if (this.refreshed) {
        this.refreshed = false;
        this.refresh();
      }
    } else if (state === 'up') {
      this.notice('');
    }
    this.page.linked();
  }

  /** After a lost link the server may be another process with another description. */
  async refresh() {
    while (!this.refreshed) {
      await pause(ASK_AGAIN_MS);
      try {
        const description = await fetchDescription();
        this.refreshed = true;
        const { mqtt } = this.description;
        if (description.mqtt.url !== mqtt.url) {
          // This document's own policy lets it speak to the former port only.
          location.reload();
        } else if (description.mqtt.password !== mqtt.password) {
          this.link.close();
          this.link = undefined;
          this.begin(description);
        } else if (description.run !== this.description.run || String(this.page.topics(description)) !== String(this.page.topics(this.description))) {
          this.begin(description);
        }
      } catch {
        // The server is away too; asked again.
      }
    }
  }

  ask(why) {
    byId('sign-in-why').textContent = why;
    if (!byId('sign-in').open) {
      byId('sign-in').showModal();
    }
  }

  notice(text) {
    byId('notice').textContent = text;
  }
}
