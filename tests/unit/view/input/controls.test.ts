// From keys and pedals to what a climb is asked: two pedals do everything, and nothing is done twice.
import { describe, expect, it } from 'vitest';
import {
  bindingName,
  learn,
  parseBinding,
  printBinding,
  readBindings,
  wantedOf,
} from '../../../../renderer/input/bindings.ts';
import { Controls } from '../../../../renderer/input/controls.ts';

/** Controls with a clock turned by hand. */
class Feet {
  readonly asked: string[] = [];
  bindings = readBindings({}, {});
  now = 0;
  #pending: { at: number; run: () => void } | undefined;
  readonly controls = new Controls({
    bindings: () => this.bindings,
    now: () => this.now,
    later: (wait, run) => {
      const pending = { at: this.now + wait, run };
      this.#pending = pending;
      return () => {
        if (this.#pending === pending) this.#pending = undefined;
      };
    },
    steered: () => ({
      go: () => this.asked.push('go'),
      judge: (verdict, source) => this.asked.push(`${verdict} (${source})`),
      undo: () => this.asked.push('undo'),
      stop: (reason) => this.asked.push(`stop (${reason})`),
      drill: () => this.asked.push('drill'),
      record: () => this.asked.push('record'),
    }),
  });

  wait(ms: number): this {
    const until = this.now + ms;
    while (this.#pending && this.#pending.at <= until) {
      const { at, run } = this.#pending;
      this.#pending = undefined;
      this.now = at;
      run();
    }
    this.now = until;
    return this;
  }

  down(signal: string): this {
    this.controls.edge({ signal, down: true, at: this.now });
    return this;
  }

  up(signal: string): this {
    this.controls.edge({ signal, down: false, at: this.now });
    return this;
  }

  tap(signal: string, held = 80): this {
    return this.down(signal).wait(held).up(signal).wait(40);
  }
}

describe('two pedals that type page keys', () => {
  it('do everything a climb needs', () => {
    const feet = new Feet();
    feet.tap('PageUp', 700).wait(400);
    feet.tap('PageUp').wait(400);
    feet.tap('PageDown').wait(400);
    feet.tap('PageDown', 700).wait(400);
    feet.tap('PageDown').tap('PageDown').wait(400);
    expect(feet.asked).toEqual(['go', 'clean (self)', 'missed (self)', 'undo', 'stop (player)']);
  });
});

describe('keys', () => {
  it.each([
    ['Space', 'go'],
    ['ArrowUp', 'clean (self)'],
    ['Enter', 'clean (self)'],
    ['ArrowDown', 'missed (self)'],
    ['Backspace', 'undo'],
    ['KeyD', 'drill'],
    ['KeyR', 'record'],
    ['Escape', 'stop (player)'],
    ['KeyH', 'stop (hurts)'],
  ])('%s asks at once for %s', (key, asked) => {
    expect(new Feet().down(key).asked).toEqual([asked]);
  });

  it('that mean nothing are left to others', () => {
    const { controls } = new Feet();
    expect(controls.edge({ signal: 'KeyQ', down: true, at: 0 })).toBe(false);
  });
});

describe('one pass, one verdict', () => {
  it('although the contact bounces', () => {
    const feet = new Feet().down('ArrowUp').wait(10).up('ArrowUp').wait(10).down('ArrowUp');
    expect(feet.wait(60).up('ArrowUp').wait(500).asked).toEqual(['clean (self)']);
  });

  it('although two devices send for the same tap', () => {
    const feet = new Feet()
      .down('ArrowUp')
      .wait(20)
      .down('cc:64')
      .wait(60)
      .up('ArrowUp')
      .up('cc:64');
    expect(feet.wait(500).asked).toEqual(['clean (self)']);
  });

  it('although two devices contradict each other', () => {
    const feet = new Feet().down('ArrowUp').wait(5).down('ArrowDown').wait(500);
    expect(feet.asked).toEqual(['clean (self)']);
  });
});

it('drops a verdict that was taken back while it waited for a second press', () => {
  const feet = new Feet().tap('cc:64').tap('Backspace');
  expect(feet.wait(500).asked).toEqual(['undo']);
  expect(feet.tap('cc:64').wait(400).asked).toEqual(['undo', 'clean (pedal)']);
});

it('says that a MIDI pedal judged', () => {
  expect(new Feet().tap('cc:64').wait(400).asked).toEqual(['clean (pedal)']);
});

it.each([
  ['cc:67', 'undo'],
  ['cc:66', 'record'],
])('a board of three switches as it comes: %s asks at once for %s', (signal, asked) => {
  expect(new Feet().down(signal).asked).toEqual([asked]);
});

it('records by two presses of the pedal for clean, once that was taught', () => {
  const feet = new Feet();
  const taught = { action: 'record', gesture: 'double', signal: 'PageUp' } as const;
  const kept = learn(feet.bindings, taught);
  feet.bindings = readBindings(kept.keys, kept.pedals);
  feet.tap('PageUp').wait(400).tap('PageUp').tap('PageUp').wait(400).tap('PageUp', 700);
  expect(feet.asked).toEqual(['clean (self)', 'record', 'go']);
});

it('forgets a key that is held while the window loses the keyboard', () => {
  const feet = new Feet().down('PageDown');
  feet.controls.release();
  expect(feet.wait(2000).asked).toEqual([]);
});

describe('the table of bindings', () => {
  it('gives a key and its neighbour on a laptop one meaning: page down is Fn and the arrow down', () => {
    const table = readBindings({}, {});
    expect(wantedOf(table, 'PageDown').press).toBe(wantedOf(table, 'ArrowDown').press);
    expect(wantedOf(table, 'PageUp').press).toBe(wantedOf(table, 'ArrowUp').press);
  });

  it('keeps the usual ones for every action that the settings do not name', () => {
    const table = readBindings({ clean: ['KeyC'] }, {});
    expect(wantedOf(table, 'KeyC').press).toBe('clean');
    expect(wantedOf(table, 'ArrowUp').press).toBeUndefined();
    expect(wantedOf(table, 'ArrowDown').press).toBe('missed');
  });

  it.each([
    [{ drill: ['KeyR'] }, {}, 'KeyR', 'drill'],
    [{ hurts: ['KeyR'] }, {}, 'KeyR', 'hurts'],
    [{}, { stop: ['cc:66'] }, 'cc:66', 'stop'],
  ] as const)(
    'leaves what was taught where it is, also when a later action usually has it: %o %o',
    (keys, pedals, signal, action) => {
      expect(wantedOf(readBindings(keys, pedals), signal).press).toBe(action);
    },
  );

  it('takes a learned signal away from the action that had it', () => {
    const kept = learn(readBindings({}, {}), { action: 'undo', gesture: 'press', signal: 'Enter' });
    const table = readBindings(kept.keys, kept.pedals);
    expect(wantedOf(table, 'Enter').press).toBe('undo');
    expect(kept.keys.clean).not.toContain('Enter');
  });

  it('keeps keys and MIDI apart', () => {
    const kept = learn(readBindings({}, {}), {
      action: 'go',
      gesture: 'double',
      signal: 'note:36',
    });
    expect(kept.pedals.go).toEqual(['hold:cc:64', 'double:note:36']);
    expect(kept.keys.go).toEqual(['Space', 'hold:PageUp', 'hold:ArrowRight']);
  });

  it('gives a gesture to one action even if a damaged file names two', () => {
    expect(wantedOf(readBindings({ go: ['KeyG'], stop: ['KeyG'] }, {}), 'KeyG').press).toBe('go');
  });

  it.each(['PageDown', 'hold:PageDown', 'double:cc:64', 'note:36'])(
    'prints %s as it was read',
    (text) => {
      expect(printBinding(parseBinding('go', text))).toBe(text);
    },
  );

  it('has a name for every binding', () => {
    expect(
      ['KeyH', 'hold:PageUp', 'double:cc:64'].map((t) => bindingName(parseBinding('go', t))),
    ).toEqual(['H', 'hold Page Up', 'twice control 64']);
  });
});
