// Above a capo everything sounds higher, and chords are still told by the names that are fingered.
import { describe, expect, it } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { type TakeJudged, judgeTake } from '../../../app/core/ear/judge-take.ts';
import type { Take } from '../../../app/core/ear/take.ts';
import { USUAL_RULE } from '../../../app/core/ear/verdict.ts';
import { pitchesOf } from '../../../app/core/fretboard/capo.ts';
import { parseFrets } from '../../../app/core/fretboard/frets.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { type Voicing, unitVoicings } from '../../../app/core/units/hands/hands.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { mixGuitar } from '../../../app/core/sound/guitar.ts';
import { plucksAt } from '../../support/plucks.ts';
import { strumNotes } from '../../../app/core/sound/strum-notes.ts';
import { BARE_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { NETWORK } from '../../support/network.ts';

const RATE = 22_050;
const BPM = 80;
/** Where the unit begins in a take. */
const START = 0.5;
/** The bench hears them all. */
const CAPOS = [0, 1, 3, 7];

const unitAt = (capo: number): Unit => {
  const text = `title: Capo\ntempo: 80\ncapo: ${capo}\n[A]\nstrum: eighths D- D- D- D-\n| C | Dm | A7 | F | G | Em |`;
  return unwrap(resolveUnit(unwrap(parseChart(text)), { kind: 'section', section: 'A' }));
};

/** The unit as the model guitar plays it, with some chords gripped otherwise. */
function judged(capo: number, gripped: Record<number, string> = {}, known = true): TakeJudged {
  const unit = unitAt(capo);
  const shown = unitVoicings(unit);
  const played = shown.map((voicing, i): Voicing => {
    const frets = gripped[i];
    return frets ? pitchesOf(unwrap(parseFrets(frets)), unit.tuning.strings, capo) : voicing;
  });
  const lap = buildLap(unit, BPM, BARE_LAP);
  const samples = new Float32Array(Math.ceil((lap.end + 1) * RATE));
  mixGuitar(samples, -START * RATE, strumNotes(lap, unit, played), plucksAt(RATE));
  const take: Take = { samples, rate: RATE, length: samples.length / RATE, remarks: [] };
  return judgeTake(take, unit, {
    bpm: BPM,
    rule: USUAL_RULE,
    start: START,
    voicings: known ? shown : null,
    network: NETWORK,
  });
}

describe.each(CAPOS)('with the capo at fret %i', (capo) => {
  it('a perfect take is clean, with the shapes known and with the symbols alone', () => {
    for (const known of [true, false]) {
      const { pass, findings } = judged(capo, {}, known);
      expect(pass).toMatchObject({ verdict: 'clean', held: 6, unsure: 0 });
      expect(findings.shift).toBe(0);
    }
  });

  it('a chord that is held too long is told, and none sounds shifted', () => {
    const { changes, findings } = judged(capo, { 3: 'x02020' });
    expect(changes[3]).toMatchObject({ from: 'A7', to: 'F', chord: 'held' });
    expect(findings.shift).toBe(0);
  });

  it('a wrong chord is told by the name of what is gripped', () => {
    const { changes } = judged(capo, { 1: 'xx0232', 3: 'x24432' });
    expect(changes[1]).toMatchObject({ to: 'Dm', chord: 'other', heard: 'D' });
    expect(changes[3]).toMatchObject({ to: 'F', chord: 'other', heard: 'Bm' });
  });
});
