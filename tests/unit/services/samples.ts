// Invented passes, units and data directories for the tests of the machine side.
import { PLAIN_RULES } from '../../support/plain-rules.ts';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import Conf from 'conf';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import { servicesOver } from '../../../app/services/client/client.ts';
import type { SavedLadder, Services } from '../../../app/services/contract/contract.ts';
import type { LogEntry, PassRecord, PlayedUnit } from '../../../app/core/model/pass.ts';
import type { ServiceHost, ServicesOptions } from '../../../app/services/machine/host.ts';
import { openServices } from '../../../app/services/machine/services.ts';
import type { StoreEngine } from '../../../app/services/machine/store/store-file.ts';

/** `conf` under plain Node, as the browser host uses it. */
export const engine = Conf as unknown as StoreEngine;

export const temporaryDirectory = (): string =>
  fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-test-'));

/** What the view calls, answered by this machine side and not by a copy of it. */
export const viewOf = (host: ServiceHost): Services =>
  servicesOver({ call: host.handle, on: () => () => undefined });

/** A clock that stands still. */
export const standingClock = (at = '2031-04-05T18:20:00.000Z') => {
  return (): Date => new Date(at);
};

export const keepingAt = (root: string, at?: string) => ({ root, now: standingClock(at) });

export const sampleUnit = (fingerprint = 'f-verse'): PlayedUnit => ({
  fingerprint,
  bars: [
    {
      section: 'Verse',
      bar: 1,
      time: 1,
      meter: { numerator: 4, unit: 4, grouping: [1, 1, 1, 1] },
      feel: { kind: 'straight' },
      tempo: { bpm: 80, beat: 'quarter' },
      length: { n: 4, d: 1 },
      pickup: false,
      chords: [
        { at: { n: 0, d: 1 }, symbol: 'G' },
        { at: { n: 3, d: 1 }, symbol: 'D7' },
      ],
    },
  ],
});

export function samplePass(id: string, change: Partial<PassRecord> = {}): PassRecord {
  return {
    id,
    at: '2031-04-05T18:20:00.000+02:00',
    session: 's-1',
    climb: 'c-1',
    chart: { id: 'k-1', title: 'Harbour Lights Are Out' },
    unit: { key: 'section:Verse', name: 'Verse', fingerprint: 'f-verse' },
    rung: { bpm: 84, beat: 'quarter', index: 2, of: 9, target: 120 },
    verdict: 'clean',
    source: 'self',
    cold: false,
    duration: 11.428_571_428_571_429,
    ...change,
  };
}

export const passEntry = (id: string, change: Partial<PassRecord> = {}): LogEntry => {
  const pass = samplePass(id, change);
  return { kind: 'pass', pass, unit: sampleUnit(pass.unit.fingerprint) };
};

export const amendment = (amends: string, at: string): LogEntry => ({
  kind: 'amendment',
  amendment: { amends, at, verdict: 'missed', source: 'teacher' },
});

/** The services on a directory, with a host that does nothing and ids that count. */
export function openTestServices(
  directory: string,
  change: Partial<ServicesOptions> = {},
): ServiceHost {
  let id = 0;
  return openServices({
    directory,
    engine,
    host: {
      kind: 'browser',
      version: '0.0.0',
      climbing: () => undefined,
      openFolder: () => Promise.resolve(false),
      takeFiles: () => Promise.resolve([]),
      printPdf: () => Promise.resolve({ kind: 'use-browser-print' }),
    },
    now: standingClock(),
    newId: () => `id-${++id}`,
    demoCharts: () => [],
    ...change,
  });
}

/** The smallest chart that holds. */
export const sampleChart = (id: string, change: Partial<Chart> = {}): Chart => ({
  id,
  title: 'Demo',
  tempo: { bpm: 90, beat: 'quarter' },
  meter: { numerator: 4, unit: 4, grouping: [1, 1, 1, 1] },
  feel: { kind: 'straight' },
  capo: 0,
  tuning: { name: 'Standard', strings: [40, 45, 50, 55, 59, 64] },
  shapes: [],
  sections: [
    {
      name: 'Verse',
      bars: [{ content: { kind: 'chords', chords: [{ at: { n: 0, d: 1 }, symbol: 'G' }] } }],
    },
  ],
  form: [{ section: 'Verse', times: 1 }],
  ...change,
});

export const sampleLadder = (
  chart: string,
  unit: string,
  rules: Partial<LadderRules> = {},
): SavedLadder => ({
  chart,
  unit,
  rules: {
    ...PLAIN_RULES,
    ...{ target: 90, step: { kind: 'bpm', by: 4 } },
    ...{ cleanToClimb: 2, missedToDrop: 2, longestOnRung: 8, restBars: 2 },
    ...rules,
  },
  options: {
    countIn: 'one',
    restBars: 2,
    click: { kind: 'every-beat' },
    subdivision: 1,
    cueBeats: 1,
    markChanges: true,
  },
});
