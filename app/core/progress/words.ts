// Says tempos, forecasts and reasons in plain words. Tempos are whole bpm; nothing is promised.
import { pretty } from '../harmony/notes.ts';
import { printTempo } from '../rhythm/meter.ts';
import type { BeatUnit, Bpm, IsoDate, Share } from '../base/units.ts';
import type { Forecast, Suggestion } from './forecast.ts';
import type { OwnedTempo, Surer } from './owned-tempo.ts';
import type { ChangeHeard, Judgement, PassRecord, VerdictSource } from '../model/pass.ts';
import type { DueOutlook } from './standing.ts';
import { isOverruled, judgedBefore } from '../log/teachers-word.ts';
import type { Reason } from './reasons.ts';
import type { Plan } from './today.ts';

/** Writes a chord's symbol for the eye, in its chart's own names. */
export type ShowSymbol = (symbol: string) => string;

const whole = (bpm: Bpm): string => String(Math.round(bpm));
/** What is sure is rounded down, so that it stays sure. */
const floor = (bpm: Bpm): string => String(Math.floor(bpm + 1e-6));
const days = (n: number): string => (n === 1 ? '1 day' : `${n} days`);

/** "82", "at least 80", "below 60", "not enough passes yet". */
export function sayTempo(owned: OwnedTempo): string {
  switch (owned.kind) {
    case 'number':
      return whole(owned.bpm);
    case 'at-least':
      return `at least ${floor(owned.bpm)}`;
    case 'below':
      return `below ${whole(owned.bpm)}`;
    case 'not-enough':
      return 'not enough passes yet';
  }
}

/** "Harbour Lights: Verse at ♩ = 96". */
export const sayUnit = (chart: string, unit: string, target: Bpm, beat: BeatUnit): string =>
  `${chart}: ${unit} at ${printTempo({ bpm: target, beat })}`;

/** "between 78 and 86, nine times in ten"; empty where no number stands. */
export const sayInterval = (owned: OwnedTempo): string =>
  owned.kind === 'number'
    ? `between ${whole(owned.low)} and ${whole(owned.high)}, nine times in ten`
    : '';

/** The same for a figure of which one end is known. */
const sayLimits = (owned: OwnedTempo): string =>
  owned.kind === 'number'
    ? `lies ${sayInterval(owned)}`
    : `is ${sayTempo(owned)}, nineteen times in twenty`;

/** Beside a count of what an owned tempo rests on: other counts hold these passes, too. */
export const FIRST_LEFT_OUT = 'the first of a day left out';

const JUDGES: Readonly<Record<Exclude<VerdictSource, 'self'>, string>> = {
  ear: 'by ear',
  pedal: 'by pedal',
  teacher: 'by the teacher',
};

/**
 * "12 judged by yourself, 3 by ear": every figure says who judged.
 * @param self what the reader calls the player who judged: on the desk it is the student.
 */
export function sayJudges(
  judgedBy: Readonly<Record<VerdictSource, number>>,
  self = 'by yourself',
): string {
  const words = { self, ...JUDGES };
  const parts = (Object.keys(words) as VerdictSource[])
    .filter((source) => judgedBy[source] > 0)
    .map((source, i) => `${judgedBy[source]} ${i === 0 ? 'judged ' : ''}${words[source]}`);
  return parts.join(', ') || 'no pass judged';
}

/** "clean by ear", "not judged". */
export const sayJudgement = ({ verdict, source }: Judgement, self = 'by yourself'): string =>
  verdict === 'unjudged' ? 'not judged' : `${verdict} ${{ self, ...JUDGES }[source]}`;

/**
 * "missed by the teacher (Ms Tern); before: clean by yourself; the ear said missed, upheld against it: Bm → G in bar 1":
 * what counts, what a teacher overruled, and what the player did.
 */
export function sayVerdict(pass: PassRecord, self?: string): string {
  const own = [sayJudgement(judgedBefore(pass), self), sayAgainstEar(pass)]
    .filter(Boolean)
    .join('; ');
  if (!isOverruled(pass)) return own;
  const by = pass.word?.by;
  return `${sayJudgement(pass)}${by ? ` (${by})` : ''}; before: ${own}`;
}

/** What the ear said where the player judged otherwise, and which changes the player upheld; empty where none. */
function sayAgainstEar(pass: PassRecord): string {
  const { earVerdict, changes = [], played = [] } = pass;
  const ear = judgedBefore(pass).source === 'ear' ? undefined : earVerdict;
  const upheld = changes.filter(({ change }) => played.includes(change)).map(sayChange);
  return [
    ...(ear ? [`the ear said ${ear}`] : []),
    ...(upheld.length > 0 ? [`upheld against it: ${upheld.join(', ')}`] : []),
  ].join(', ');
}

const sayChange = ({ from, to, bar }: ChangeHeard): string =>
  `${from === '' ? '' : `${pretty(from)} → `}${pretty(to)} in bar ${bar + 1}`;

/** "83 % clean", whole percent. */
export const sayShare = (share: Share | undefined): string =>
  share === undefined ? 'none judged' : `${Math.round(100 * share)} % clean`;

/** One sentence. @param show how chord symbols are written */
function saySuggestion(suggestion: Suggestion, show: ShowSymbol = pretty): string {
  switch (suggestion.kind) {
    case 'drill-change':
      return `Try the change ${show(suggestion.from)} to ${show(suggestion.to)} on its own: it breaks most.`;
    case 'smaller-step':
      return 'Try a smaller step between rungs.';
    case 'leave-a-day':
      return 'Leave it for a day and see what has stayed.';
  }
}

/** @param say writes a date as the reader's language does; `show` a chord's symbol. */
export function sayForecast(
  forecast: Forecast,
  target: Bpm,
  say: (date: IsoDate) => string,
  show: ShowSymbol = pretty,
): string {
  switch (forecast.kind) {
    case 'reached':
      return `${whole(target)} is reached.`;
    case 'not-enough':
      return `A forecast needs ${days(forecast.needed)} with a handful of judged passes; there ${forecast.days === 1 ? 'is' : 'are'} ${forecast.days}.`;
    case 'untested':
      return `Nearly every pass of the last ${days(forecast.days)} of practice was clean, so the log cannot tell how much faster it would go. Climb until something breaks.`;
    case 'date': {
      const { earliest, latest, pace } = forecast;
      return `Practised ${sayPace(pace.daysPerWeek)}, ${whole(target)} may come between ${say(earliest)} and ${say(latest)} (four times in five).`;
    }
    case 'open': {
      const { from, to, days: count, next } = forecast;
      const gained =
        to >= from * 1.02
          ? `From about ${whole(from)} to about ${whole(to)} in ${days(count)} of practice.`
          : `About ${whole(to)} now.`;
      return `${gained} The next small goal: ${whole(next)}. The log cannot name a day for ${whole(target)} yet.`;
    }
    case 'plateau':
      return `It has stood near ${whole(forecast.level)} over the last ${days(forecast.days)} of practice. ${saySuggestion(forecast.suggestion, show)}`;
    case 'slipping':
      return `It went from about ${whole(forecast.from)} to about ${whole(forecast.to)} over the last ${days(forecast.days)} of practice. ${saySuggestion(forecast.suggestion, show)}`;
  }
}

/** One sentence on the way to a date. */
export function sayOutlook(outlook: DueOutlook, target: Bpm): string {
  switch (outlook.kind) {
    case 'reached':
      return `${whole(target)} is reached.`;
    case 'overdue':
      return `Due ${days(outlook.days)} ago.`;
    case 'unknown':
      return `${dueIn(outlook.days)}; the log cannot say yet what to expect by then.`;
    case 'out-of-reach':
    case 'in-doubt':
    case 'on-course':
      return `${dueIn(outlook.days)}. ${expectation(outlook.expected)} The target is ${whole(target)}.`;
  }
}

/** "every day", "about 5 days a week". */
function sayPace(daysPerWeek: number): string {
  const count = Math.max(1, Math.round(daysPerWeek));
  if (count >= 7) return 'every day';
  return count === 1 ? 'once a week' : `about ${count} days a week`;
}

/** What would make the figure surer, as a thing to do. */
function saySurer(surer: Surer): string {
  switch (surer.kind) {
    case 'more-passes':
      return `${passes(surer.passes)} more, then a number stands here.`;
    case 'climb':
      return `${passes(surer.passes)} above ${floor(surer.above)} would make it surer: too little has broken lately to see where it ends.`;
    case 'slower':
      return `${passes(surer.passes)} slower than ${whole(surer.than)} would show what holds.`;
    case 'another-day':
      return 'Another day would make it surer: one day’s form is in it.';
    case 'near':
      return `${passes(surer.passes)} near ${whole(surer.bpm)} on another day would make it surer.`;
  }
}

/** What a missing figure lacks, in few words: "5 more passes". */
export function sayLacking(surer: Surer): string {
  switch (surer.kind) {
    case 'more-passes':
      return `${surer.passes} more ${surer.passes === 1 ? 'pass' : 'passes'}`;
    case 'climb':
      return `${surer.passes} passes above ${floor(surer.above)}`;
    case 'slower':
      return `${surer.passes} passes slower than ${whole(surer.than)}`;
    case 'another-day':
      return 'another day';
    case 'near':
      return `${surer.passes} passes near ${whole(surer.bpm)}`;
  }
}

const passes = (n: number): string => (n === 1 ? 'One pass' : `${COUNT[n] ?? n} passes`);
const COUNT: readonly string[] = [
  'No',
  'One',
  'Two',
  'Three',
  'Four',
  'Five',
  'Six',
  'Seven',
  'Eight',
];

/**
 * Why a figure is what it is: which passes it rests on, who judged them, and what would make it surer.
 * @param self what the reader calls the player who judged.
 */
export function sayGrounds(owned: OwnedTempo, surer: Surer, self?: string): string {
  const { passes: count, judgedBy } = owned.evidence;
  if (count === 0) return `No judged pass yet. ${saySurer(surer)}`;
  const from = `From ${count === 1 ? 'one pass' : `${count} passes`} of the last days of practice, ${sayJudges(judgedBy, self)}; the first pass of a day is left out.`;
  const band = owned.kind === 'not-enough' ? '' : ` It ${sayLimits(owned)}.`;
  return `${from}${band} ${saySurer(surer)}`;
}

const lastPlayed = (n: number): string =>
  `You last played it ${n === 1 ? 'yesterday' : `${days(n)} ago`}`;

const dueIn = (n: number): string => (n === 0 ? 'Due today' : `Due in ${days(n)}`);

const expectation = ({ low, middle, high }: { low: Bpm; middle: Bpm; high: Bpm }): string =>
  `At this pace about ${whole(middle)} by then (${whole(low)} to ${whole(high)}).`;

/** One short sentence per reason. */
export function sayReason(reason: Reason): string {
  switch (reason.kind) {
    case 'overdue':
      return reason.settled
        ? `Its date was ${days(reason.days)} ago; that is all right. It comes round like the others now, and a new date would help.`
        : `${whole(reason.target)} was due ${days(reason.days)} ago.`;
    case 'cannot-meet':
      return `${dueIn(reason.days)}, but at this pace it reaches about ${whole(reason.expected)} (at best ${whole(reason.high)}), not ${whole(reason.target)}. A later date or a lower target would be fair.`;
    case 'due':
      return `${dueIn(reason.days)} at ${whole(reason.target)}.`;
    case 'minutes':
      return `${Math.floor(reason.done)} of ${reason.asked} minutes done this week.`;
    case 'slipping':
      return `It slipped from about ${whole(reason.from)} to ${whole(reason.to)}.`;
    case 'standing-still':
      return `It stands still near ${whole(reason.level)}.`;
    case 'see-what-stayed':
      return `${lastPlayed(reason.days)}: the first pass shows what stayed.`;
    case 'long-ago':
      return `${lastPlayed(reason.days)}.`;
    case 'new':
      return 'You have not played it yet.';
    case 'other-bars':
      return reason.differs
        ? 'Your chart has other bars here than were set: see ‘What was set’ below.'
        : `${reason.passes === 1 ? 'One pass was' : `${reason.passes} passes were`} on other bars than were set, and not counted.`;
    case 'changed':
      return 'Its bars were changed since you last played it.';
    case 'played-today':
      return 'Played today already.';
    case 'breaks':
      return `${reason.from} to ${reason.to} broke ${reason.times} times lately.`;
    case 'tight':
      return `${reason.from} to ${reason.to} is one of the hardest changes of today.`;
    case 'keep':
      return `It is yours; last played ${reason.days === 0 ? 'today' : `${days(reason.days)} ago`}. It comes back at widening gaps, now after ${days(reason.again)}.`;
  }
}

/** Why the plan stands in this order, and what it claims. */
export function sayOrder({ round, lines }: Plan): string {
  const rounds =
    round <= 1
      ? 'There is time for everything today.'
      : `At these minutes everything gets its turn within about ${days(round)}.`;
  const looks = lines.some(({ look }) => look)
    ? ' Short looks follow: the first pass shows what stayed.'
    : '';
  return `What is due within a week comes first, by its date.${looks} Then comes what has waited longest, what is new, and the rest. ${rounds} This is an order to begin with, not a proven best one: move what you like.`;
}

/** Why what is due within a week has no turn today; undefined where everything due has one. */
export function sayWaiting({ waiting }: Plan): string | undefined {
  const [first, ...more] = waiting;
  if (!first) return undefined;
  const { unit, standing } = first.candidate;
  const others =
    more.length === 0
      ? ''
      : more.length === 1
        ? ' Nor has one other with a date.'
        : ` Nor have ${more.length} others with a date.`;
  return `${unit.name} ${sayDate(standing.outlook!)} and has no turn today: others are due sooner, have waited longer or are new.${others} Give yourself more minutes, or bring it in below.`;
}

function sayDate(outlook: DueOutlook): string {
  if (outlook.kind === 'overdue') return `was due ${days(outlook.days)} ago`;
  return outlook.kind === 'reached' || outlook.days === 0
    ? 'is due today'
    : `is due in ${days(outlook.days)}`;
}
