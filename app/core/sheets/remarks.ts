// How unlikely it is that a line is a note for the player.
import { NEVER } from './evidence.ts';
import type { Line } from './line.ts';

/** Why a line is left out, or stands as a remark where its section has one. */
export const TO_THE_PLAYER = 'a note for the player';

/** Words that are said to the player rather than sung. */
export const TO_PLAYER =
  /\b(?:play(?:ed)?|repeat(?:ed)?|fade|hold|stop|softly|slow(?:ly|er|s)?|loud(?:er|ly)?|quiet(?:ly)?|spoken|ad lib|let (?:it )?ring|palm|mute[ds]?|strum(?:ming|med|s)?|watch|keep|key change|modulat\w+|capo|tempo|chord|same chords|bars?|beats?|times|once more|tacet|a cappella|leise|laut|langsam\w*|schnell\w*|wiederholen|gesprochen|ausklingen|ab hier|from here|(?:an|ab)?ge(?:zupft|schlagen|dämpft)|zupfen|anschlagen|dämpfen|betont|pluck(?:ed)?|down ?strokes?|up ?strokes?|damp(?:en|ed)|(?:low|high|open) strings?|half[- ]time|double[- ]time|unison|same (?:\w+ )?as|wie (?:strophe|vers)|like (?:the )?verse|no guitar|fingers?|changes?|count)\b/iu;

/** "repeat 3x", "play all of it twice", "repeat from the top". */
const PLAY_AGAIN =
  /^(?:repeat|play|wdh\.?|wiederholen)\s+(?:\S+\s+){0,4}?(?:\d+\s*[x×]|[x×]\s*\d+|\d+\s+(?:times|mal)|twice|zweimal|dreimal|(?:from|to)\s+(?:the\s+)?(?:top|start|beginning|fade))\W*$/iu;

/** "(watch the G here)", "NB: …", "* let it ring". */
export function remarkCost({ text, gap, open, label }: Line): number {
  const whole = text.trim();
  if (
    /^(?:note|nb|n\.b\.|tip|hint|hinweis|anmerkung|ps|work on|practi[sc]e|üben|achtung|remember|strum(?:ming)?(?: pattern)?|pattern)\s*:/iu.test(
      whole,
    )
  )
    return -1;
  if (/^\S{1,6}\s+=\s+\p{L}/u.test(whole)) return 0.3;
  if (PLAY_AGAIN.test(whole)) return 0.3;
  // "**Outro:** same as the intro" begins with a name in bold letters.
  if (/^\*\*[^*]+\*\*\s*\S/u.test(whole)) return NEVER;
  const framed =
    /^(?:[([{][^()[\]{}]*[)\]}]|\*[^*]*\*)$/u.test(whole) || /^\*+\s*\p{L}/u.test(whole);
  const name = label?.known === 'name' && label.rest === '' ? 3 : 0;
  if (framed) return name + (TO_PLAYER.test(whole) ? 0.4 : 2.2 - (gap && open ? 0.4 : 0));
  return NEVER;
}
