// What a line that cannot be read was most likely meant to be, so that the cure says what to type.

/** Longer lines are lyrics or remarks rather than a name. */
const LONGEST_NAME = 30;

/** Looks like a chord at a glance: a whole text is looked at with every key, so nothing is read in full here. */
const CHORDLIKE =
  /^(?:[A-G][#b♯♭]?(?:maj|min|m|dim|aug|sus|add|[\d#b♯♭+°ø()-]|\/[A-G])*|N\.?C\.?)$/u;

export interface LinePlace {
  readonly within: 'head' | 'section' | 'form';
  /** Nothing is written above it. */
  readonly opens: boolean;
}

/** One sentence that names the cure. */
export function cureOfLine(text: string, { within, opens }: LinePlace): string {
  const bars = barsOf(text);
  if (bars !== undefined && within === 'section') return `Put bar lines around bars: “${bars}”.`;
  if (bars !== undefined) {
    return `Put a section’s name in [ ] above it, e.g. “[Verse]”, and bar lines around bars: “${bars}”.`;
  }
  if (text.includes('|')) return 'Start a line of bars with |, under a section’s name in [ ].';
  const named = text.length <= LONGEST_NAME;
  if (named && opens) return `If it is the title, write “title: ${text}”.`;
  if (named) return `If it is a section’s name, write “[${text}]”.`;
  return within === 'section'
    ? 'Start a line of bars with |, or take the line out.'
    : 'Write e.g. “title: …”, “tempo: ♩ = 96”, or a section’s name in [ ].';
}

/** "G D" → "| G | D |"; undefined where a word looks like no chord. */
function barsOf(text: string): string | undefined {
  const words = text.split(/\s+/u);
  return words.every((word) => CHORDLIKE.test(word)) ? `| ${words.join(' | ')} |` : undefined;
}
