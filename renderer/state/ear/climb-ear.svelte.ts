// The ear of one climb: has every lap heard, gives each pass its verdict, and keeps what broke.
import { findingsWords } from '../../../app/core/ear/words.ts';
import { passVerdict, type PassHeard, type VerdictRule } from '../../../app/core/ear/verdict.ts';
import type { Grips } from '../../../app/core/ear/expectation.ts';
import { worstChange } from '../../../app/core/ear/broken.ts';
import { changesCounted } from '../../../app/core/log/players-word.ts';
import type { NoteNames } from '../../../app/core/model/chord.ts';
import type { LeadNote } from '../../../app/core/model/lead.ts';
import type { ChangeHeard, ChangeTold } from '../../../app/core/model/pass.ts';
import type { BreakPlace } from '../../../app/core/model/unit.ts';
import type { Problem } from '../../../app/core/base/result.ts';
import { fingersIn, voicingsOf } from '../../../app/core/units/hands/hands.ts';
import type { Bpm, Milliseconds, SampleRate, Seconds } from '../../../app/core/base/units.ts';
import type { Analysis } from '../../audio/capture/analysis.ts';
import type { HeardTake } from '../../audio/capture/takes.ts';
import type { Climb } from '../climb/climb.svelte.ts';
import type { TrackedLap } from '../climb/lap-track.ts';
import { changesOfLead, namingNotes } from './lead-changes.ts';
import { relativeTo, rightOffsets } from './relative.ts';
import { beatOf, ownMoments, takeOfLap } from './take-of-lap.ts';
import { type WeakChange } from '../../../app/core/ear/broken.ts';
import { weakestOf } from './weakest.ts';

export interface EarReport extends PassHeard {
  readonly pass: number;
  readonly bpm: Bpm;
  readonly beat: Seconds;
  /** As they count: what the ear heard, but where the player upholds a change against it. */
  readonly changes: readonly ChangeTold[];
  readonly heard: readonly ChangeHeard[];
  /** Where a lead was climbed: which note was due at each change, by its number. */
  readonly notes?: readonly LeadNote[];
  /** Numbers of the changes that the player upholds. */
  readonly played: readonly number[];
  /** Is the verdict the player's, because of changes that were upheld? */
  readonly overruled: boolean;
  /** Lateness is against the player's own middle, since the round trip is not known. */
  readonly relative: boolean;
  /** Did the sound arrive whole, so that the ear may judge? */
  readonly trusted: boolean;
  /** What the player should know about this pass's sound. */
  readonly problems: readonly Problem[];
}

export interface ClimbEarSettings {
  readonly rule: VerdictRule;
  readonly rate: SampleRate;
  /** As it is now: devices may change in the middle of a climb. */
  readonly roundTrip: () => RoundTrip;
}

interface RoundTrip {
  readonly seconds: Seconds;
  readonly measured: boolean;
}

/** A lap with the round trip by which it is heard. */
interface HeardLap {
  readonly lap: TrackedLap;
  readonly trip: RoundTrip;
}

/** More of a pass than this lost on its way from the microphone, and the ear says nothing of it. */
const MOST_MISSING: Seconds = 0.02;

export class ClimbEar {
  readonly #climb: Climb;
  readonly #analysis: Analysis;
  readonly #settings: ClimbEarSettings;
  readonly #grips: Grips;
  #laps: readonly HeardLap[] = [];
  readonly #leave: readonly (() => void)[];
  /** Of right changes, by the round trip that they were heard with: what the player's own middle is made of. */
  #offsets: readonly Milliseconds[] = [];
  #tripOfOffsets: RoundTrip | undefined;
  #reports = $state.raw<readonly EarReport[]>([]);

  readonly latest: EarReport | undefined = $derived.by(() => this.#reports.at(-1));
  /** The change that breaks most, once there is one that does. */
  readonly weakest: WeakChange | undefined = $derived.by(() =>
    weakestOf(this.#reports, this.#settings.rule),
  );

  constructor(climb: Climb, analysis: Analysis, settings: ClimbEarSettings) {
    this.#climb = climb;
    this.#analysis = analysis;
    this.#settings = settings;
    this.#grips = gripsFor(climb);
    this.#leave = [
      climb.onLap(this.#handed),
      climb.onEffect(({ kind }) => {
        if (kind === 'halt') this.#drop(() => true);
        if (kind === 'unqueue') this.#drop((pass) => this.#passOf(pass) === undefined);
      }),
      analysis.onHeard(this.#heard),
    ];
  }

  /** How the chart of the climb names notes. */
  get names(): NoteNames | undefined {
    return this.#climb.setup.unit.names;
  }
  get rule(): VerdictRule {
    return this.#settings.rule;
  }

  /** "That was wrong, I played it": the player's word on one change of a pass, or that word taken back. */
  uphold = (pass: number, change: number, played: boolean): void => {
    const before = this.#reports.find((report) => report.pass === pass);
    if (!before) return;
    const others = before.played.filter((one) => one !== change);
    const upheld = played ? [...others, change].toSorted((a, b) => a - b) : others;
    const changes = changesCounted({ changes: before.heard, played: upheld });
    const { rule } = this.#settings;
    const judged = passVerdict(changes, rule, before.beat);
    // A verdict that the ear did not give, or that the player gave otherwise, is not touched.
    const byEar = before.trusted ? passVerdict(before.heard, rule, before.beat).verdict : null;
    const stands = this.#passOf(pass)?.verdict;
    const follows =
      byEar !== null && judged.verdict !== null && stands === before.verdict
        ? ({ verdict: judged.verdict, source: judged.verdict === byEar ? 'ear' : 'self' } as const)
        : undefined;
    this.#climb.uphold(pass, upheld, follows);
    // Where the time to judge is over, the climb lets its verdict stand.
    const stood = follows && this.#passOf(pass)?.verdict;
    const verdict = stood === 'clean' || stood === 'missed' ? stood : before.verdict;
    const overruled = byEar !== null && verdict !== byEar;
    const report = { ...before, ...judged, verdict, overruled, changes, played: upheld };
    this.#reports = this.#reports.map((one) => (one === before ? report : one));
    // It is not asked any more whether it broke where the player has just said that it did not.
    const place = this.#climb.asked?.place;
    if (played && place?.change === change) this.#climb.brokeByEar(pass, this.#worstOf(report));
  };

  /** Hears no more; what it heard stays to be looked at. */
  end = (): void => {
    this.#drop(() => true);
    for (const leave of this.#leave) leave();
  };

  /** A lap that takes the unit up in its middle is left alone; one that replaces another takes its place. */
  #handed = (tracked: TrackedLap): void => {
    this.#drop((pass) => pass === tracked.pass);
    if (tracked.fromBar > 0) return;
    const trip = this.#settings.roundTrip();
    this.#laps = [...this.#laps, { lap: tracked, trip }];
    const { lap, startsAt } = tracked.scheduled;
    this.#analysis.ask(
      takeOfLap(
        { pass: tracked.pass, lap, startsAt },
        {
          ...this.#settings,
          unit: this.#climb.setup.unit,
          roundTrip: trip.seconds,
          ...this.#grips,
        },
      ),
    );
  };

  /** Laps that will not sound to their end. */
  #drop(which: (pass: number) => boolean): void {
    const dropped = this.#laps.filter(({ lap }) => which(lap.pass));
    for (const { lap } of dropped) this.#analysis.drop(lap.pass);
    this.#laps = this.#laps.filter((heard) => !dropped.includes(heard));
  }

  #passOf = (number: number) => this.#climb.state.passes.find((p) => p.number === number);

  #heard = (take: HeardTake): void => {
    const heard = this.#laps.find(({ lap }) => lap.pass === take.id);
    if (!heard) return;
    this.#laps = this.#laps.filter((other) => other !== heard);
    const report = this.#reportOf(take, heard);
    this.#reports = [...this.#reports, report];
    const place = this.#worstOf(report);
    this.#climb.judgeByEar(take.id, report.verdict, report.changes, place ?? undefined);
  };

  /** The first chord comes out of the count-in: it may be late, but it is no change to ask about. */
  #worstOf({ changes, beat }: EarReport): BreakPlace | null {
    const asked = changes.filter((change) => this.#climb.placeOf(change));
    const worst = worstChange(asked, this.#settings.rule, beat);
    return (worst && this.#climb.placeOf(worst)) ?? null;
  }

  #reportOf({ heard, missing }: HeardTake, { lap, trip }: HeardLap): EarReport {
    const { pass, bpm, scheduled } = lap;
    const beat = beatOf(scheduled.lap);
    const steady = isSame(trip, this.#settings.roundTrip());
    const { unit } = this.#climb.setup;
    const moments = ownMoments(unit, bpm);
    const lead = heard.kind === 'lead' && { notes: namingNotes(moments) };
    const told = heard.kind === 'lead' ? changesOfLead(unit, moments, heard.lead) : heard.changes;
    const changes = this.#timed(told, trip);
    const problems = [...problemsOf(heard), ...(missing > MOST_MISSING ? [LOST_SOUND] : [])];
    const played = this.#passOf(pass);
    const judged = passVerdict(changes, this.#settings.rule, beat);
    const nothing = problems.some((p) => p.code === 'ear-silence');
    const trusted =
      steady && missing <= MOST_MISSING && !nothing && !played?.underrun && !played?.interrupted;
    if (played?.underrun) problems.push(UNDERRUN);
    if (!steady) problems.push(OTHER_DEVICES);
    return {
      ...judged,
      verdict: trusted ? judged.verdict : null,
      ...{ pass, bpm, beat, changes, problems },
      ...{ heard: changes, ...lead, played: [], trusted, overruled: false },
      relative: !trip.measured,
    };
  }

  #timed(changes: readonly ChangeHeard[], trip: RoundTrip): readonly ChangeHeard[] {
    if (trip.measured) return changes;
    // What was heard through other devices says nothing of the middle through these.
    const before = isSame(trip, this.#tripOfOffsets) ? this.#offsets : [];
    this.#tripOfOffsets = trip;
    this.#offsets = [...before, ...rightOffsets(changes)];
    return relativeTo(this.#offsets, changes);
  }
}

const isSame = (a: RoundTrip, b: RoundTrip | undefined): boolean =>
  a.measured === b?.measured && Math.abs(a.seconds - b.seconds) < SAME_TRIP;

/** While it is not measured, the output's own delay stands in, which wanders a little. */
const SAME_TRIP: Seconds = 0.02;

/** What sounds and which fingers hold it by the shapes on the stage; nothing where they do not match the bars. */
function gripsFor({ setup }: Climb): Grips {
  const steps = setup.hands?.steps ?? [];
  const chords = setup.unit.bars.reduce((sum, bar) => sum + bar.chords.length, 0);
  const opening = setup.unit.bars[0]?.held === undefined ? 0 : 1;
  if (steps.length !== chords + opening) return { voicings: null };
  return { voicings: voicingsOf(steps), fingers: fingersIn(steps) };
}

function problemsOf(heard: HeardTake['heard']): Problem[] {
  if (heard.kind === 'chords') return findingsWords(heard.findings);
  const { peak, clipped, lead } = heard;
  return findingsWords({
    ...{ peak, clipped, tuning: lead.tuning ?? 0 },
    ...{ shift: 0, clicksHeard: false, lost: 0, length: 0 },
  });
}

const LOST_SOUND: Problem = {
  code: 'ear-lost-sound',
  message:
    'Part of the microphone’s sound was lost on its way, so the ear does not judge this pass.',
  cure: 'Judge it yourself; close other programs if it comes again.',
};

const UNDERRUN: Problem = {
  code: 'ear-underrun',
  message: 'The sound output stumbled in this pass, so the ear does not judge it.',
  cure: 'Judge it yourself; close other programs if it comes again.',
};

const OTHER_DEVICES: Problem = {
  code: 'ear-other-devices',
  message: 'The sound devices changed in this pass, so the ear does not judge it.',
  cure: 'Judge it yourself; measure the delay of the new ones in the Ear room.',
};
