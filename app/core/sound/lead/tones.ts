// A lead line as a string really sounds it: notes reached by hammer-on, pull-off or slide go on in one
// tone; its pitch follows bends, slides and vibrato. Sound, MIDI files and the ear read the same curves.
import type { LeadMoment, PlayedLeadNote } from '../../timeline/lead.ts';
import type { Cents, Hertz, Midi, Seconds, Share, StringNo } from '../../base/units.ts';

/** Between two points the pitch moves in a straight line of semitones. Fractions are pitches between notes. */
export interface PitchPoint {
  readonly at: Seconds;
  readonly pitch: Midi;
}

/** A pick stroke is 1; a hammer-on or pull-off restarts the string more softly; a slide does not. */
export interface Attack {
  readonly at: Seconds;
  readonly strength: Share;
}

export interface Vibrato {
  readonly from: Seconds;
  readonly until: Seconds;
  readonly depth: Cents;
  readonly rate: Hertz;
}

/** One string from its pick stroke until it is stopped. Times are from the start of the lap. */
export interface LeadTone {
  readonly string: StringNo;
  readonly start: Seconds;
  readonly end: Seconds;
  /** In order of time; empty for a muted stroke. */
  readonly points: readonly PitchPoint[];
  readonly attacks: readonly Attack[];
  readonly vibratos: readonly Vibrato[];
}

// How hands do it. Ours, by ear; no source.
const SOFT: Readonly<Record<'hammer-on' | 'pull-off', Share>> = {
  'hammer-on': 0.5,
  'pull-off': 0.55,
};
const SLIDE: Seconds = 0.09;
const GRACE: Seconds = 0.07;
/** A bend leaves its fret after this share of the note, and arrives; a release starts and is down. */
const BEND = { leaves: 0.08, arrives: 0.35, turns: 0.6, down: 0.85, longest: 0.35 } as const;
const VIBRATO = { after: 0.12, depth: 22, rate: 5.5 } as const;
const MUTED_LENGTH: Seconds = 0.06;
/** A ringing note goes on this long unless its string is struck again. */
const RING: Seconds = 3;

/** The tones of a part, by start. Moments are those of `leadMoments`. */
export function leadTones(moments: readonly LeadMoment[]): readonly LeadTone[] {
  const done: LeadTone[] = [];
  const open = new Map<StringNo, LeadTone>();
  const close = (string: StringNo, at: Seconds): void => {
    const tone = open.get(string);
    open.delete(string);
    if (tone) done.push({ ...tone, end: Math.min(tone.end, at) });
  };
  for (const moment of moments) {
    for (const note of moment.notes) {
      const before = note.reach === 'picked' ? undefined : open.get(note.string);
      if (before) {
        open.set(note.string, goOn(before, note, moment));
        continue;
      }
      const tone = startTone(note, moment);
      close(note.string, tone.start);
      open.set(note.string, tone);
    }
  }
  return [...done, ...open.values()].toSorted((a, b) => a.start - b.start);
}

function startTone(note: PlayedLeadNote, moment: LeadMoment): LeadTone {
  const { string } = note;
  if (note.pitch === undefined) {
    const attacks = [{ at: moment.seconds, strength: 0.7 }];
    const end = moment.seconds + MUTED_LENGTH;
    return { string, start: moment.seconds, end, points: [], attacks, vibratos: [] };
  }
  const lead = graceOf(note, moment);
  const picked = { at: lead?.start ?? moment.seconds, strength: 1 };
  return {
    string,
    start: picked.at,
    end: endOf(note, moment),
    points: [...(lead?.points ?? []), ...pitchesOf(note, moment)],
    attacks: [picked, ...(lead?.attacks ?? [])],
    vibratos: vibratoOf(note, moment),
  };
}

/** The string sounds on: a slide glides into the note, the others step into it with a soft attack. */
function goOn(tone: LeadTone, note: PlayedLeadNote, moment: LeadMoment): LeadTone {
  const { seconds } = moment;
  const glides = note.reach === 'slide-up' || note.reach === 'slide-down';
  const points = tone.points.filter((point) => point.at < seconds - (glides ? SLIDE : 0));
  const last = points.at(-1) ?? tone.points[0]!;
  const hold = { at: glides ? Math.max(last.at, seconds - SLIDE) : seconds, pitch: last.pitch };
  const attack = isSoft(note.reach) ? [{ at: seconds, strength: SOFT[note.reach] }] : [];
  return {
    ...tone,
    end: endOf(note, moment),
    points: [...points, hold, ...pitchesOf(note, moment)],
    attacks: [...tone.attacks, ...attack],
    vibratos: [
      ...tone.vibratos.map((v) => ({ ...v, until: Math.min(v.until, seconds) })),
      ...vibratoOf(note, moment),
    ],
  };
}

const isSoft = (reach: PlayedLeadNote['reach']): reach is keyof typeof SOFT =>
  reach === 'hammer-on' || reach === 'pull-off';

const endOf = (
  note: PlayedLeadNote,
  { seconds, until }: Pick<LeadMoment, 'seconds' | 'until'>,
): Seconds => (note.ring ? Math.max(until, seconds + RING) : until);

/** A grace note is played before the beat, so that the main note arrives on it; never before the lap. */
function graceOf(
  note: PlayedLeadNote,
  { seconds }: LeadMoment,
): Pick<LeadTone, 'start' | 'points' | 'attacks'> | undefined {
  if (!note.grace || typeof note.fret !== 'number') return undefined;
  const start = Math.max(0, seconds - GRACE);
  const pitch = note.pitch! + note.grace.fret - note.fret;
  const { into } = note.grace;
  const attacks = isSoft(into) ? [{ at: seconds, strength: SOFT[into] }] : [];
  const turn = isSoft(into) ? seconds : (start + seconds) / 2;
  return {
    start,
    points: [
      { at: start, pitch },
      { at: turn, pitch },
    ],
    attacks,
  };
}

/** The written pitch from the start of the note, up a bend and, if released, down again. */
function pitchesOf(note: PlayedLeadNote, { seconds, until }: LeadMoment): PitchPoint[] {
  const pitch = note.pitch!;
  const start = { at: seconds, pitch };
  if (!note.bend) return [start];
  const length = until - seconds;
  const top = pitch + note.bend.semitones;
  const leaves = seconds + Math.min(BEND.leaves * length, BEND.longest / 4);
  const arrives = seconds + Math.min(BEND.arrives * length, BEND.longest);
  const up = [start, { at: leaves, pitch }, { at: arrives, pitch: top }];
  if (!note.bend.release) return up;
  const turns = seconds + BEND.turns * length;
  const down = seconds + BEND.down * length;
  return [...up, { at: turns, pitch: top }, { at: down, pitch }];
}

function vibratoOf(note: PlayedLeadNote, { seconds, until }: LeadMoment): Vibrato[] {
  if (!note.vibrato) return [];
  const settled = note.bend ? BEND.arrives * (until - seconds) : 0;
  const from = seconds + Math.max(settled, VIBRATO.after);
  if (from >= until) return [];
  const { depth, rate } = VIBRATO;
  return [{ from, until: endOf(note, { seconds, until }), depth, rate }];
}

/** The pitch of a tone at a time, vibrato included. @throws RangeError for a muted tone. */
export function pitchAt(tone: LeadTone, at: Seconds): Midi {
  const { points } = tone;
  if (points.length === 0) throw new RangeError('pitchAt: a muted tone has no pitch');
  const after = points.findIndex((point) => point.at > at);
  const base =
    after < 0
      ? points.at(-1)!.pitch
      : after === 0
        ? points[0]!.pitch
        : between(points[after - 1]!, points[after]!, at);
  const vibrato = tone.vibratos.find((v) => at >= v.from && at < v.until);
  return vibrato ? base + swayOf(vibrato, at) : base;
}

const between = (a: PitchPoint, b: PitchPoint, at: Seconds): Midi =>
  b.at === a.at ? b.pitch : a.pitch + ((b.pitch - a.pitch) * (at - a.at)) / (b.at - a.at);

/** Semitones: upward only, since a fretting hand can stretch a string but not slacken it. */
const swayOf = ({ from, depth, rate }: Vibrato, at: Seconds): number =>
  ((depth / 100) * (1 - Math.cos(2 * Math.PI * rate * (at - from)))) / 2;
