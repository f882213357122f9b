// Headings of sections as sheets write them, in many styles and some languages.

export interface Heading {
  readonly name: string;
  readonly times: number;
  /** What follows the name on its line: chords, bars or words. */
  readonly rest: string;
  /** Where the rest starts in the line. */
  readonly restAt: number;
}

/** Names of sections (common practice, no source), in English and a dozen other languages. */
const NAMES =
  'intro(?:duction)?|verse|vers|strophe|couplet|estrofa|verso|pre[- ]?chorus|prechorus|chorus|refrain|ref|refr|estribillo|coro|bridge|pont|puente|br[üu]cke|middle(?: eight| 8)?|solo|guitar solo|interlude|zwischenspiel|vorspiel|nachspiel|instrumental|turnaround|riff|break(?:down)?|outro|coda|ending|schluss|tag|vamp|hook|part|teil|lift|build|post[- ]?chorus|zwischenteil|mittelteil|finale?|' +
  'refrein|tussenspel|refräng|refreng|omkvæd|mellemspil|stick|sista vers|zwrotka|refren|mostek|wstęp|refrão|ponte|estrofe|strofa|ritornello|inciso|intermezzo|copla|interludio|' +
  'sloka|refrén|mezihra|säkeistö|kertosäe|versszak|refrén|куплет|припев|проигрыш|вступление';
const WORD_NUMBER = 'one|two|three|four|five|six';
const NUMBER = `(?:\\s*#?(?:\\d{1,2}|[ivx]{1,4}|[a-h]|${WORD_NUMBER})(?![\\p{L}\\d]))?`;
const TIMES =
  '(?:\\s*[,–-]?\\s*\\(?\\s*(?:[x×]\\s*(\\d{1,2})|(\\d{1,2})\\s*[x×]|(twice|2 times)|repeat)\\s*\\)?)?';
const TAIL = '(?:\\s*[([–-]\\s*[\\p{L}\\d\\s,.]{1,24}[)\\]]?|,(?:\\s+\\p{L}{2,12}){1,3})?';

const NAMED = new RegExp(
  `^(?:(?:\\d{1,2}|[a-h])[.)]\\s*)?((?:${NAMES})${NUMBER})${TIMES}${TAIL}\\s*([:.\\]>}|–-]*)$`,
  'iu',
);
/** "Bridge / Solo", "Verse & chorus": two names on one line. */
const JOINED = new RegExp(
  `^((?:${NAMES})${NUMBER}\\s*[/&+]\\s*(?:${NAMES})${NUMBER})${TIMES}\\s*([:.\\]>}|–-]*)$`,
  'iu',
);
/** "[Verse 1: Ada]": who sings stands behind the name. */
const SUNG_BY = new RegExp(
  `^[[({]\\s*((?:${NAMES})${NUMBER})\\s*:\\s*[^\\])}]{1,40}[\\])}]$`,
  'iu',
);
/** "2nd Verse", "the last chorus". */
const ORDINAL = new RegExp(
  `^((?:the\\s+)?(?:\\d{1,2}(?:st|nd|rd|th)|first|second|third|fourth|last|final)\\s+(?:${NAMES}))${TIMES}\\s*([:.\\]>}|–-]*)$`,
  'iu',
);
/** "V1:", "Ch:", "Br": only with a figure or a colon, as anything else may be a word or a chord. */
const SHORT =
  /^(?:(v|vs|ch|cho|pre|br|int|out|sol)\s?(\d{1,2})\s*:?|(v|vs|ch|cho|pre|br|int|out|sol)\s*:)$/iu;
/** "A section", "B-Teil". */
const LETTERED = /^[A-H][- ](?:section|part|teil)\s*[:.]?$/iu;
/** "1." on a line of its own is a verse; "A:" a part with a letter. */
const ALONE = /^(?:(\d{1,2})[.):]|([A-Z]):|\[([A-Z]\d)\]:?)$/u;
/** "Intro: G D", "Verse 1:  | G | D |", "[Intro] G D". */
const LEADING = new RegExp(
  `^\\s*(?:[[(<]((?:${NAMES})${NUMBER})${TIMES}\\s*[\\])>]\\s*:?|((?:${NAMES})${NUMBER})${TIMES}\\s*:)\\s*(?=\\S)`,
  'iu',
);
const LEADING_BARS = new RegExp(`^\\s*((?:${NAMES})${NUMBER})${TIMES}\\s+(?=\\|)`, 'iu');
/** "Intro - G Em C D", "Intro G D Em C": what follows is a row of chords (two of them where no dash stands between). */
const BEFORE_ROW = new RegExp(
  `^\\s*((?:${NAMES})${NUMBER})${TIMES}(\\s*[-–—]\\s*|\\s+)(?=[A-H])`,
  'iu',
);
const ROW =
  /^(?:[A-H](?:[#b♯♭]|is|es)?(?:maj|min|m|dim|aug|sus|add|[\d#b♯♭+°øΔ()]|\/[A-H])*(?:[\s,|–→-]+|$))+$/u;
/** Signs around a heading: [Verse], (Verse), <Verse>, *Verse*, == Verse ==, # Verse. */
const SIGNS = /^[\s[({<>*=#~_/–—-]*(.*?)[\s\])}<>*=~_#/–—-]*$/u;

const count = (...numbers: readonly (string | undefined)[]): number => {
  const found = numbers.find((n) => n !== undefined);
  if (found === undefined) return 1;
  return /^\d+$/u.test(found) ? Number(found) : 2;
};

export function headingOf(line: string): Heading | undefined {
  const whole = line.trim();
  if (whole === '' || line.length > 120) return undefined;
  const row = beforeRow(line);
  if (row) return row;
  const inner = bracketless(whole);
  const named = NAMED.exec(inner);
  if (named && !isSentence(whole, inner)) {
    const times = timesOf(whole) ?? count(named[2], named[3], named[4]);
    return { name: tidy(named[1]!), times, rest: '', restAt: line.length };
  }
  const sungBy = SUNG_BY.exec(whole)?.[1];
  if (sungBy !== undefined) return { name: tidy(sungBy), times: 1, rest: '', restAt: line.length };
  const short =
    JOINED.exec(inner) ?? ORDINAL.exec(inner) ?? SHORT.exec(whole) ?? LETTERED.exec(inner);
  if (short)
    return { name: tidy(inner), times: timesOf(whole) ?? 1, rest: '', restAt: line.length };
  const [alone, number, letter, numbered] = ALONE.exec(whole) ?? [];
  if (alone !== undefined) {
    return {
      name: letter ?? numbered ?? `Verse ${number!}`,
      times: 1,
      rest: '',
      restAt: line.length,
    };
  }
  const leading = LEADING.exec(line) ?? undefined;
  if (leading) {
    const name = leading[1] ?? leading[5];
    const times = count(
      leading[2] ?? leading[6],
      leading[3] ?? leading[7],
      leading[4] ?? leading[8],
    );
    return {
      name: tidy(name!),
      times,
      rest: line.slice(leading[0].length),
      restAt: leading[0].length,
    };
  }
  const bars = LEADING_BARS.exec(line);
  if (bars) {
    const times = count(bars[2], bars[3], bars[4]);
    return {
      name: tidy(bars[1]!),
      times,
      rest: line.slice(bars[0].length),
      restAt: bars[0].length,
    };
  }
  return ownName(whole);
}

function beforeRow(line: string): Heading | undefined {
  const found = BEFORE_ROW.exec(line);
  if (!found) return undefined;
  const rest = line.slice(found[0].length);
  const dashed = /\S/u.test(found[5]!);
  if (!ROW.test(rest) || (!dashed && rest.trim().split(/\s+/u).length < 2)) return undefined;
  return {
    name: tidy(found[1]!),
    times: count(found[2], found[3], found[4]),
    rest,
    restAt: found[0].length,
  };
}

const bracketless = (whole: string): string => {
  const outer = /^[[({<]([^\])}>]*)[\])}>]\s*:?\s*(\(?\s*(?:[x×]\s*\d+|\d+\s*[x×])\s*\)?)?$/u.exec(
    whole,
  );
  return outer
    ? `${outer[1]!.trim()}${outer[2] ? ` ${outer[2]}` : ''}`
    : (SIGNS.exec(whole)?.[1] ?? whole).trim();
};

const timesOf = (whole: string): number | undefined => {
  const [, a, b] = /(?:[x×]\s*(\d{1,2})|(\d{1,2})\s*[x×])\s*[)\]]*\s*:?$/iu.exec(whole) ?? [];
  return a || b ? Number(a ?? b) : undefined;
};

/** "Chorus of angels" and "Break my heart" are words: a heading has nothing after its name but signs. */
const isSentence = (whole: string, inner: string): boolean =>
  /[.!?]$/u.test(whole) && inner.split(/\s+/u).length > 3;

/** "[Slow part]", "== Landing ==": any short name that stands in square brackets or between rules. */
function ownName(whole: string): Heading | undefined {
  const [, bracketed, ruled] =
    /^\[([^[\]|]{2,30})\]\s*:?$/u.exec(whole) ??
    /^()(?:={2,}|-{2,}|#{1,3}\s|\*{2})\s*([\p{L}][^=|*#]{1,28}?)\s*(?:={2,}|-{2,}|\*{2})?$/u.exec(
      whole,
    ) ??
    [];
  const name = bracketed || ruled;
  if (!name || !/\p{L}{3}/u.test(name) || /^(?:repeat|laughs?|x\d|spoken|fade|page)/iu.test(name))
    return undefined;
  return { name: tidy(name), times: 1, rest: '', restAt: whole.length };
}

const tidy = (name: string): string => {
  const text = name
    .replace(/\s+/gu, ' ')
    .replace(/[:.\s]+$/u, '')
    .trim();
  const word =
    text === text.toUpperCase() || text === text.toLowerCase() ? text.toLowerCase() : text;
  return word.charAt(0).toUpperCase() + word.slice(1);
};
